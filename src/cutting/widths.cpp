#include "cutting/widths.h"

#include <algorithm>

namespace tackcloth::cutting {
namespace {

constexpr int kMostWidths = 50;

std::string say(Length um, units::System system) {
  return units::format_length(static_cast<double>(um) / 1000, system);
}

struct Width {
  std::string where;
  Length from = 0, to = 0;  // cut, from the panel's left cut edge
};

// How a panel of `cut` is put together from a roll that gives `usable`, its pattern unbroken.
class OnPattern {
 public:
  OnPattern(const Cloth& cloth, Length cut, Length usable)
      : repeat_(cloth.repeat_x), seam_(cloth.seam), cut_(cut), usable_(usable), middle_(cut / 2) {
    if (cloth.centred) origin_ = *cloth.first_x - cloth.selvedge - middle_;
    // The middle width has its own middle under the panel's: of all places the lattice gives, the widest.
    for (Length at = place(middle_); at < usable_; at += repeat_) half_ = std::max(half_, std::min(at, usable_ - at));
  }

  bool fits(Length from, Length to) const { return place(from) + to - from <= usable_; }

  // Empty: the repeat leaves no width.
  std::vector<Width> widths() const {
    std::vector<Width> out = {{"middle width", middle_ - half_, middle_ + half_}};
    Length seen = half_ - seam_;  // of the panel, on either side of its middle
    if (seen <= 0) return {};
    for (int pair = 1; pair < kMostWidths / 2; ++pair) {
      const std::string number = pair == 1 ? "" : " " + std::to_string(pair);
      Length next = cut_ - middle_;
      Width left{"left width" + number, 0, middle_ - seen + seam_};
      Width right{"right width" + number, middle_ + seen - seam_, cut_};
      const bool last = fits(left.from, left.to) && fits(right.from, right.to);
      if (!last) {
        // As much as fits wherever the pattern begins.
        const Length more = usable_ - repeat_ - 2 * seam_;
        if (more <= 0) return {};
        next = seen + more;
        left.from = middle_ - next - seam_;
        right.to = middle_ + next + seam_;
      }
      out.push_back(left);
      out.push_back(right);
      if (last) return out;
      seen = next;
    }
    return {};
  }

 private:
  // Where on the roll a cut begins that stands at `from` in the panel: the first place the pattern allows.
  Length place(Length from) const { return (((origin_ + from) % repeat_) + repeat_) % repeat_; }

  Length repeat_, seam_, cut_, usable_, middle_;
  Length origin_ = 0;  // the panel's left cut edge on the lattice
  Length half_ = 0;
};

class Joiner {
 public:
  Joiner(const Order& order, units::System system, std::vector<std::string>& notes)
      : order_(order),
        cloth_(order.cloth),
        system_(system),
        notes_(notes),
        usable_(cloth_.roll_width - 2 * cloth_.selvedge) {}

  std::vector<Wanted> all() {
    for (const Wanted& part : order_.parts) {
      const bool can = order_.join && cloth_.roll_width > 0 && usable_ > 2 * cloth_.seam;
      if (!can || !(cloth_.repeat_x > 0 ? on_pattern(part) : plain(part))) out_.push_back(part);
    }
    return std::move(out_);
  }

 private:
  void put(const Wanted& part, const std::string& where, Length width, int quantity,
           std::optional<Length> starts = std::nullopt) {
    Wanted one = part;
    one.id = part.id + ", " + where;
    one.width = width;
    one.quantity = part.quantity * quantity;
    one.wide_as_cut = true;
    one.starts = starts;
    one.outline = {};
    out_.push_back(one);
  }
  void note(const Wanted& part, std::size_t widths, const std::string& how) {
    notes_.push_back("'" + part.id + "' is wider than the roll and joined from " + std::to_string(widths) +
                     " widths: " + how + ", seams counted.");
  }

  bool plain(const Wanted& part) {
    const Length around = 2 * (cloth_.wrap + cloth_.seam), cut = part.width + around;
    const bool turns = part.turn.value_or(order_.turn) == Turn::quarter && cloth_.repeat_y == 0;
    if (cut <= usable_ || (turns && part.height + around <= usable_)) return false;
    Length full = 1, side = 0;
    for (; full < kMostWidths; ++full) {
      side = (cut - full * (usable_ - 2 * cloth_.seam) + 1) / 2 + cloth_.seam;
      if (side <= usable_) break;
    }
    side = std::max<Length>(side, 2 * cloth_.seam + 1);
    put(part, "middle width", usable_, static_cast<int>(full));
    put(part, "side width", side, 2);
    note(part, static_cast<std::size_t>(full) + 2,
         "full width in the middle, " + say(side, system_) + " on both sides");
    return true;
  }

  bool on_pattern(const Wanted& part) {
    Length cut = part.width + 2 * (cloth_.wrap + cloth_.seam);
    cut += cut % 2;  // whole micrometres on both sides of the middle
    if (cloth_.centred && !cloth_.first_x) return false;
    const OnPattern pattern(cloth_, cut, usable_);
    if (pattern.fits(0, cut)) return false;
    const std::vector<Width> widths = pattern.widths();
    if (widths.empty()) return false;
    std::string how;
    for (const Width& width : widths) {
      put(part, width.where, width.to - width.from, 1, width.from - (cloth_.centred ? cut / 2 : 0));
      how += (how.empty() ? "" : ", ") + width.where + " " + say(width.to - width.from, system_);
    }
    note(part, widths.size(), how + "; each is cut where the pattern meets its neighbour's at the seam");
    return true;
  }

  const Order& order_;
  const Cloth& cloth_;
  units::System system_;
  std::vector<std::string>& notes_;
  Length usable_;
  std::vector<Wanted> out_;
};

}  // namespace

std::vector<Wanted> in_widths(const Order& order, units::System system, std::vector<std::string>& notes) {
  return Joiner(order, system, notes).all();
}

}  // namespace tackcloth::cutting
