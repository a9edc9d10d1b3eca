#include "cutting/cloth.h"

#include <algorithm>

namespace tackcloth::cutting {
namespace {

constexpr Length kEighthYard = 114'300;  // 914,400 um / 8
constexpr Length kLongest = 100'000'000;

class Cutter {
 public:
  Cutter(const std::vector<Panel>& panels, const Cloth& cloth, units::System system)
      : panels_(panels), cloth_(cloth), system_(system), usable_(cloth.roll_width - 2 * cloth.selvedge) {}

  std::vector<Problem> problems() {
    if (cloth_.roll_width <= 0 || cloth_.roll_width > kLongest)
      add("the roll is " + say(cloth_.roll_width) + " wide", "a width above 0 and up to 100 m", "measure the roll");
    for (const auto& [what, value] : {std::pair<const char*, Length>{"the wrap allowance", cloth_.wrap},
                                      {"the seam allowance", cloth_.seam},
                                      {"the selvedge", cloth_.selvedge},
                                      {"the gap", cloth_.gap},
                                      {"the repeat across", cloth_.repeat_x},
                                      {"the repeat along", cloth_.repeat_y}})
      if (value < 0 || value > kLongest)
        add(std::string(what) + " is " + say(value), "0 or more", "give 0 where there is none");
    if (cloth_.may_turn && patterned())
      add("patterned cloth cannot be turned", "turns or a repeat, not both", "leave the turns out");
    if (panels_.empty()) add("there is no panel to cut", "at least one panel", "add a panel");
    if (!problems_.empty()) return std::move(problems_);
    if (usable_ <= 0) {
      add("the selvedges leave nothing of the roll", "a roll wider than its two selvedges", "measure both again");
      return std::move(problems_);
    }
    for (const Panel& panel : panels_) look_at(panel);
    return std::move(problems_);
  }

  Strip strip() const {
    // Not knowing where the pattern begins costs up to a repeat of width: the whole layout is shifted on the roll.
    const bool shifts = cloth_.repeat_x > 0 && cloth_.centred && !cloth_.first_x;
    return {shifts ? usable_ - cloth_.repeat_x + 1 : usable_, cloth_.gap, cloth_.guillotine};
  }

  std::vector<Part> parts() const {
    std::vector<Part> parts;
    for (const Panel& panel : panels_) {
      Part part;
      part.id = panel.id;
      part.quantity = panel.quantity;
      part.width = cut_width(panel);
      part.height = cut(panel.height, cloth_.repeat_y);
      part.may_turn = cloth_.may_turn;
      parts.push_back(part);
    }
    Length widest = 0, tallest = 0;
    for (const Part& part : parts) {
      widest = std::max(widest, part.width);
      tallest = std::max(tallest, part.height);
    }
    for (Part& part : parts) {
      if (cloth_.repeat_x > 0) {
        const Panel& panel = panels_[static_cast<std::size_t>(&part - parts.data())];
        part.step_x = cloth_.repeat_x;
        if (cloth_.centred) part.phase_x = cloth_.first_x ? *cloth_.first_x - cloth_.selvedge : widest / 2;
        part.phase_x += panel.starts.value_or(cloth_.centred ? -part.width / 2 : 0);
      }
      if (cloth_.repeat_y > 0) {
        part.step_y = cloth_.repeat_y;
        if (cloth_.centred) part.phase_y = (cloth_.first_y ? *cloth_.first_y : tallest / 2) - part.height / 2;
      }
    }
    return parts;
  }

  std::vector<std::string> notes() const {
    std::vector<std::string> notes;
    for (const bool across : {true, false}) {
      const Length repeat = across ? cloth_.repeat_x : cloth_.repeat_y;
      std::string smaller;
      for (const Panel& panel : panels_) {
        const Length size = across ? panel.width : panel.height;
        if (repeat > size) smaller += (smaller.empty() ? "panel '" : ", '") + panel.id + "' (" + say(size) + ")";
      }
      if (!smaller.empty())
        notes.push_back(std::string("The repeat ") + (across ? "across" : "along") + " the roll (" + say(repeat) +
                        ") is larger than " + smaller +
                        ": what is smaller shows only a part of the pattern. Lay its outline " +
                        "on the cloth and look before you cut.");
    }
    if (cloth_.repeat_x > 0 && cloth_.centred && !cloth_.first_x)
      notes.push_back(
          "Where the pattern begins across the roll was not measured: " + say(cloth_.repeat_x) +
          " of width are kept free. Shift the whole layout to the right until a motif is in the middle of the "
          "first panel.");
    if (spare() > 0)
      notes.push_back("Where the pattern begins at the cut end was not measured: one repeat more is bought (" +
                      say(spare()) +
                      "). Shift the whole layout along the roll until a motif is in the middle of the first panel.");
    if (!cloth_.may_turn)
      notes.push_back(
          "Nap and grain: the top of every panel points to the same end of the roll. Mark it on the back before "
          "you cut.");
    if (patterned())
      notes.push_back("Check the printed repeat with a rule over several repeats: prints stretch and run off square.");
    return notes;
  }

  Length spare() const { return cloth_.repeat_y > 0 && cloth_.centred && !cloth_.first_y ? cloth_.repeat_y : 0; }

 private:
  bool patterned() const { return cloth_.repeat_x > 0 || cloth_.repeat_y > 0; }
  std::string say(Length um) const { return units::format_length(static_cast<double>(um) / 1000, system_); }
  void add(std::string what, std::string expected, std::string remedy) {
    problems_.push_back({"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
  }
  // An even number of micrometres where the middle matters.
  Length cut(Length size, Length repeat) const {
    const Length whole = size + 2 * (cloth_.wrap + cloth_.seam);
    return repeat > 0 ? whole + whole % 2 : whole;
  }
  Length cut_width(const Panel& panel) const {
    return panel.wide_as_cut ? panel.width : cut(panel.width, cloth_.repeat_x);
  }
  void look_at(const Panel& panel) {
    const std::string name = "panel '" + panel.id + "'";
    if (panel.width <= 0 || panel.height <= 0 || panel.width > kLongest || panel.height > kLongest) {
      add(name + " is " + say(panel.width) + " x " + say(panel.height), "sizes above 0 and up to 100 m",
          "measure it again");
      return;
    }
    if (panel.quantity < 1) {
      add(name + " is wanted " + std::to_string(panel.quantity) + " times", "1 or more",
          "leave the panel out, or say how many");
    }
    const Length width = cut_width(panel), height = cut(panel.height, cloth_.repeat_y);
    const Length least = cloth_.may_turn ? std::min(width, height) : width;
    const Length room = strip().width;
    if (least > usable_) {
      // Each seam takes its allowance from both widths.
      Length widths = 2;
      while (widths < 100 && widths * usable_ - (widths - 1) * 2 * cloth_.seam < least) ++widths;
      add(name + " is cut " + say(least) + " wide, " + say(least - usable_) + " more than the roll gives (" +
              say(usable_) + ")",
          "panels no wider than the roll",
          "take a wider roll, or join " + std::to_string(widths) + " widths with " +
              (widths == 2 ? "a seam" : "seams") + ": full width in the middle, the rest in halves on both sides" +
              (cloth_.seam == 0 ? ", and give a seam allowance" : "") +
              (!cloth_.may_turn && height <= usable_ && !patterned() ? "; plain cloth without nap may be turned" : ""));
      return;
    }
    if (panel.wide_as_cut) return;  // laid out by in_widths() so that it fits
    const Length start =
        cloth_.repeat_x > 0 && cloth_.centred && cloth_.first_x
            ? (((*cloth_.first_x - cloth_.selvedge - width / 2) % cloth_.repeat_x) + cloth_.repeat_x) % cloth_.repeat_x
            : 0;
    if (start + width > room && cloth_.repeat_x > 0)
      add(name + " with a motif in its middle does not fit on the roll: " + say(width) +
              " cut width, and the pattern leaves " + say(std::max<Length>(0, room - start)),
          cloth_.first_x ? "room beside the first place of the pattern"
                         : "room for the panel and one repeat to shift it",
          cloth_.first_x ? "take a wider roll, do not centre the pattern, or plan a seam"
                         : "measure from the left edge to the middle of the first motif; that needs no room to shift");
  }

  const std::vector<Panel>& panels_;
  const Cloth& cloth_;
  units::System system_;
  Length usable_;
  std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> cut_problems(const std::vector<Panel>& panels, const Cloth& cloth, units::System system) {
  return Cutter(panels, cloth, system).problems();
}
std::vector<Part> cut_parts(const std::vector<Panel>& panels, const Cloth& cloth) {
  return Cutter(panels, cloth, units::System::metric).parts();
}
Strip cut_strip(const Cloth& cloth) { return Cutter({}, cloth, units::System::metric).strip(); }
Length cut_spare(const Cloth& cloth) { return Cutter({}, cloth, units::System::metric).spare(); }
std::vector<std::string> cut_notes(const std::vector<Panel>& panels, const Cloth& cloth, units::System system) {
  return Cutter(panels, cloth, system).notes();
}

int tenths_of_metre(Length um) { return static_cast<int>((um + 99'999) / 100'000); }
int eighths_of_yard(Length um) { return static_cast<int>((um + kEighthYard - 1) / kEighthYard); }

std::string metres_text(int tenths) { return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " m"; }

std::string yards_text(int eighths) {
  static constexpr const char* kParts[] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
  const int whole = eighths / 8, rest = eighths % 8;
  if (rest == 0) return std::to_string(whole) + " yd";
  return (whole > 0 ? std::to_string(whole) + " " : "") + kParts[rest] + " yd";
}

Results<Cut> cut_cloth(const std::vector<Panel>& panels, const Cloth& cloth, units::System system,
                       const Options& options) {
  Cutter cutter(panels, cloth, system);
  if (auto problems = cutter.problems(); !problems.empty()) return tl::unexpected(std::move(problems));
  Cut cut;
  cut.parts = cutter.parts();
  cut.strip = cutter.strip();
  auto outcome = lay_out(cut.parts, cut.strip, options);
  if (!outcome) return tl::unexpected(std::move(outcome.error()));
  cut.outcome = std::move(*outcome);
  cut.spare = cutter.spare();
  cut.length = cut.outcome.layout.height + cut.spare;
  cut.tenths_m = tenths_of_metre(cut.length);
  cut.eighths_yd = eighths_of_yard(cut.length);
  cut.notes = cutter.notes();
  return cut;
}

}  // namespace tackcloth::cutting
