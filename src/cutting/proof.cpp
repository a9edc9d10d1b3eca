#include "cutting/proof.h"

#include <algorithm>
#include <set>
#include <unordered_set>

namespace tackcloth::cutting {
namespace {

constexpr std::size_t kMostSums = 20000, kMostDeadEnds = 200000;

std::vector<Length> sums(const Boxes& boxes, Length most, bool widths) {
  std::set<Length> all{0};
  for (const Box& box : boxes.all) {
    std::vector<Length> more;
    for (const Length s : all) {
      const Length size = widths ? box.width : box.height, other = widths ? box.height : box.width;
      if (s + size <= most) more.push_back(s + size);
      if (box.may_turn && s + other <= most) more.push_back(s + other);
    }
    all.insert(more.begin(), more.end());
    if (all.size() > kMostSums) return {};
  }
  all.insert(most);
  return {all.begin(), all.end()};
}

struct Segment {
  Length x, y, width;
};

class Corners {
 public:
  Corners(const Boxes& boxes, Length height, const std::function<bool()>& go_on)
      : height_(height),
        go_on_(go_on),
        across_(sums_of_widths(boxes, boxes.width)),
        up_(sums_of_heights(boxes, height)) {
    for (std::size_t i = 0; i < boxes.all.size(); ++i) {
      const auto kind =
          std::find_if(kinds_.begin(), kinds_.end(), [&](const Kind& k) { return k.box == boxes.all[i]; });
      if (kind == kinds_.end()) {
        kinds_.push_back({boxes.all[i], {static_cast<int>(i)}});
      } else {
        kind->which.push_back(static_cast<int>(i));
      }
    }
    std::stable_sort(kinds_.begin(), kinds_.end(), [](const Kind& a, const Kind& b) {
      return a.box.width * a.box.height > b.box.width * b.box.height;
    });
    waiting_ = boxes.all.size();
    budget_ = boxes.width * height - boxes.area;
    line_.push_back({0, 0, boxes.width});
  }

  Proof run() {
    if (across_.empty() || up_.empty()) return {};
    if (budget_ < 0) return {Verdict::no, {}};
    const bool found = search();
    if (found) return {Verdict::yes, spots_};
    return {stopped_ ? Verdict::unknown : Verdict::no, {}};
  }

 private:
  struct Kind {
    Box box;
    std::vector<int> which;  // not yet laid
  };

  bool search() {
    if (waiting_ == 0) return true;
    if (stopped_ || !go_on_()) {
      stopped_ = true;
      return false;
    }
    const std::vector<Segment> line = line_;
    const Length budget = budget_;
    bool found = false;
    if (level()) {
      std::string key = key_of();
      if (dead_.count(key) == 0) {
        found = branch();
        if (!found && !stopped_ && dead_.size() < kMostDeadEnds) dead_.insert(std::move(key));
      }
    }
    line_ = line;
    budget_ = budget;
    return found;
  }

  std::size_t lowest() const {
    std::size_t at = 0;
    for (std::size_t i = 1; i < line_.size(); ++i)
      if (line_[i].y < line_[at].y) at = i;
    return at;
  }
  bool fits(const Box& box, bool turned, const Segment& s) const {
    return (turned ? box.height : box.width) <= s.width && s.y + (turned ? box.width : box.height) <= height_;
  }
  // Gaps that nothing fits into are filled up to their lower wall. False when that is more waste than there may be.
  bool level() {
    for (;;) {
      const std::size_t at = lowest();
      const Segment s = line_[at];
      if (s.y >= height_) return false;
      for (const Kind& k : kinds_)
        if (!k.which.empty() && (fits(k.box, false, s) || (k.box.may_turn && fits(k.box, true, s)))) return true;
      const Length left = at == 0 ? height_ : line_[at - 1].y;
      const Length right = at + 1 == line_.size() ? height_ : line_[at + 1].y;
      const Length wall = std::min(left, right);
      budget_ -= s.width * (wall - s.y);
      if (budget_ < 0) return false;
      line_[at].y = wall;
      join();
    }
  }
  void join() {
    for (std::size_t i = 0; i + 1 < line_.size();) {
      if (line_[i].y == line_[i + 1].y) {
        line_[i].width += line_[i + 1].width;
        line_.erase(line_.begin() + static_cast<std::ptrdiff_t>(i) + 1);
      } else {
        ++i;
      }
    }
  }
  void cover(std::size_t at, Length width, Length top) {
    const Segment s = line_[at];
    line_[at] = {s.x, top, width};
    if (width < s.width)
      line_.insert(line_.begin() + static_cast<std::ptrdiff_t>(at) + 1, Segment{s.x + width, s.y, s.width - width});
    join();
  }
  std::string key_of() const {
    std::string key;
    const auto add = [&](Length value) { key.append(reinterpret_cast<const char*>(&value), sizeof value); };
    for (const Segment& s : line_) {
      add(s.width);
      add(s.y);
    }
    add(-1);
    for (const Kind& k : kinds_) add(static_cast<Length>(k.which.size()));
    return key;
  }

  bool branch() {
    const std::vector<Segment> line = line_;
    const std::size_t at = lowest();
    const Segment s = line_[at];
    for (Kind& k : kinds_)
      for (const bool turned : {false, true}) {
        if (k.which.empty() || (turned && !k.box.may_turn) || !fits(k.box, turned, s)) continue;
        const int which = k.which.back();
        k.which.pop_back();
        --waiting_;
        spots_.push_back({which, s.x, s.y, turned});
        cover(at, turned ? k.box.height : k.box.width, s.y + (turned ? k.box.width : k.box.height));
        if (search()) return true;
        line_ = line;
        spots_.pop_back();
        ++waiting_;
        k.which.push_back(which);
        if (stopped_) return false;
      }
    // Waste, up to where the next corner can be.
    const Length next_x = *std::upper_bound(across_.begin(), across_.end() - 1, s.x);
    const auto above = std::upper_bound(up_.begin(), up_.end(), s.y);
    Length top = above == up_.end() ? height_ : *above;
    if (at > 0) top = std::min(top, line_[at - 1].y);
    const Length width = std::min(next_x - s.x, s.width);
    const Length budget = budget_;
    budget_ -= width * (top - s.y);
    bool found = false;
    if (budget_ >= 0) {
      cover(at, width, top);
      found = search();
      line_ = line;
    }
    budget_ = budget;
    return found;
  }

  Length height_, budget_ = 0;
  const std::function<bool()>& go_on_;
  std::vector<Length> across_, up_;
  std::vector<Kind> kinds_;
  std::vector<Segment> line_;
  std::vector<Spot> spots_;
  std::unordered_set<std::string> dead_;
  std::size_t waiting_ = 0;
  bool stopped_ = false;
};

class Slicing {
 public:
  Slicing(const Boxes& boxes, const std::function<bool()>& go_on)
      : boxes_(boxes), go_on_(go_on), widths_(sums_of_widths(boxes, boxes.width)) {}

  std::optional<std::vector<Spot>> run() {
    if (widths_.empty()) return std::nullopt;
    const std::size_t sets = std::size_t{1} << boxes_.all.size();
    best_.assign(sets, std::vector<Cell>(widths_.size()));
    for (std::size_t set = 1; set < sets; ++set)
      for (std::size_t w = 0; w < widths_.size(); ++w) {
        if (!go_on_()) return std::nullopt;
        fill(set, w);
      }
    if (best_.back().back().height == kNone) return std::nullopt;
    std::vector<Spot> spots;
    lay(sets - 1, widths_.size() - 1, 0, 0, spots);
    return spots;
  }

 private:
  static constexpr Length kNone = Length{1} << 60;
  struct Cell {
    Length height = kNone;
    std::size_t part = 0;   // the subset on the left or below; the set itself: one box
    std::size_t width = 0;  // index of the left part's width; `across` cuts have none
    bool across = false, turned = false;
  };

  // The greatest width of the list that is not above this one. The list holds all that matter: cuts can be pushed left.
  std::size_t at_most(Length width) const {
    return static_cast<std::size_t>(std::upper_bound(widths_.begin(), widths_.end(), width) - widths_.begin()) - 1;
  }
  void fill(std::size_t set, std::size_t w) {
    Cell& cell = best_[set][w];
    if ((set & (set - 1)) == 0) {
      const Box& box = boxes_.all[static_cast<std::size_t>(__builtin_ctzll(set))];
      if (box.width <= widths_[w]) cell = {box.height, set, w, false, false};
      if (box.may_turn && box.height <= widths_[w] && box.width < cell.height) cell = {box.width, set, w, false, true};
      return;
    }
    const std::size_t first = set & (~set + 1);
    for (std::size_t part = (set - 1) & set; part != 0; part = (part - 1) & set) {
      const std::size_t rest = set ^ part;
      if ((part & first) != 0) {
        const Length stacked = best_[part][w].height + best_[rest][w].height;
        if (stacked < cell.height) cell = {stacked, part, w, true, false};
      }
      for (std::size_t v = 1; v < w; ++v) {
        const Length beside = std::max(best_[part][v].height, best_[rest][at_most(widths_[w] - widths_[v])].height);
        if (beside < cell.height) cell = {beside, part, v, false, false};
      }
    }
  }
  void lay(std::size_t set, std::size_t w, Length x, Length y, std::vector<Spot>& spots) const {
    const Cell& cell = best_[set][w];
    if (cell.part == set) {
      spots.push_back({__builtin_ctzll(set), x, y, cell.turned});
    } else if (cell.across) {
      lay(cell.part, w, x, y, spots);
      lay(set ^ cell.part, w, x, y + best_[cell.part][w].height, spots);
    } else {
      lay(cell.part, cell.width, x, y, spots);
      lay(set ^ cell.part, at_most(widths_[w] - widths_[cell.width]), x + widths_[cell.width], y, spots);
    }
  }

  const Boxes& boxes_;
  const std::function<bool()>& go_on_;
  std::vector<Length> widths_;
  std::vector<std::vector<Cell>> best_;
};

}  // namespace

std::vector<Length> sums_of_widths(const Boxes& boxes, Length most) { return sums(boxes, most, true); }
std::vector<Length> sums_of_heights(const Boxes& boxes, Length most) { return sums(boxes, most, false); }

Proof fits_free(const Boxes& boxes, Length height, const std::function<bool()>& go_on) {
  return Corners(boxes, height, go_on).run();
}

std::optional<std::vector<Spot>> best_guillotine(const Boxes& boxes, const std::function<bool()>& go_on) {
  if (boxes.all.size() > 10) return std::nullopt;
  return Slicing(boxes, go_on).run();
}

}  // namespace tackcloth::cutting
