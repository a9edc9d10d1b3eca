#include "cutting/strip.h"

#include <algorithm>

#include "cutting/bound.h"
#include "cutting/proof.h"
#include "cutting/search.h"
#include "cutting/skyline.h"
#include "cutting/slices.h"

namespace tackcloth::cutting {
namespace {

// Layouts tried before the exact search has its turn; it is quick where it succeeds.
constexpr std::int64_t kFirstLayouts = 2000;
constexpr std::int64_t kChunk = 4000;  // before the other kind of layout has its turn
constexpr std::size_t kMostBoxesToProve = 60;

Problem problem(std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
}

void look_at(const Part& part, const Strip& strip, std::vector<Problem>& problems) {
  const std::string name = "part '" + part.id + "'";
  const std::string size = std::to_string(part.width) + " x " + std::to_string(part.height);
  if (part.width <= 0 || part.height <= 0 || part.width > kMostLength || part.height > kMostLength) {
    problems.push_back(problem(
        name + " is " + size, "width and height above 0 and up to " + std::to_string(kMostLength), "measure it again"));
    return;
  }
  if (part.quantity < 1) {
    problems.push_back(problem(name + " is wanted " + std::to_string(part.quantity) + " times", "1 or more",
                               "leave the part out, or say how many"));
  }
  if (part.step_x < 1 || part.step_y < 1) {
    problems.push_back(
        problem(name + " has a step below 1", "a step of 1 or more", "leave the step out for plain stuff"));
    return;
  }
  if (part.may_turn && (part.step_x > 1 || part.step_y > 1)) {
    problems.push_back(
        problem(name + " may turn and follows a pattern", "one or the other", "do not turn parts of patterned stuff"));
  }
  const Length least = part.may_turn ? std::min(part.width, part.height) : part.width;
  const Length start = ((part.phase_x % part.step_x) + part.step_x) % part.step_x;
  if (least > strip.width) {
    problems.push_back(problem(name + " is " + std::to_string(least - strip.width) + " wider than the strip (" +
                                   std::to_string(least) + " against " + std::to_string(strip.width) + ")",
                               "parts no wider than the strip",
                               "take a wider strip, or join the part of " +
                                   std::to_string((least + strip.width - 1) / strip.width) + " widths with a seam" +
                                   (!part.may_turn && part.height <= strip.width ? ", or let it turn" : "")));
  } else if (start + least > strip.width) {
    problems.push_back(problem(name + " does not fit beside the edge where the pattern begins",
                               "the first place of the pattern, " + std::to_string(start) + ", and the part within " +
                                   std::to_string(strip.width),
                               "take a wider strip, centre the pattern in another way, or plan a seam"));
  }
}

std::vector<Problem> problems_of(const std::vector<Part>& parts, const Strip& strip) {
  std::vector<Problem> problems;
  if (strip.width <= 0 || strip.width > kMostLength)
    problems.push_back(problem("the strip is " + std::to_string(strip.width) + " wide",
                               "a width above 0 and up to " + std::to_string(kMostLength), "measure the roll"));
  if (strip.gap < 0 || strip.gap > kMostLength)
    problems.push_back(problem("the gap between parts is " + std::to_string(strip.gap), "0 or more",
                               "give the width of the saw cut, or 0 for shears"));
  if (parts.empty())
    problems.push_back(problem("there is nothing to lay out", "at least one part", "add a row for a part"));
  if (!problems.empty()) return problems;
  Wide tall = 0;
  std::int64_t copies = 0;
  for (const Part& part : parts) {
    look_at(part, strip, problems);
    copies += std::max(0, part.quantity);
    tall +=
        static_cast<Wide>(std::max(0, part.quantity)) * (std::max(part.width, part.height) + strip.gap + part.step_y);
  }
  if (copies > kMostParts)
    problems.push_back(problem(std::to_string(copies) + " pieces are more than can be laid out",
                               "up to " + std::to_string(kMostParts), "lay them out in several goes"));
  if (problems.empty() && tall * (strip.width + strip.gap) > Wide{4'000'000'000'000'000'000})
    problems.push_back(problem("the parts are altogether too large", "an area of up to 4e18 square units",
                               "use a coarser unit, or lay them out in several goes"));
  return problems;
}

class Work {
 public:
  Work(const std::vector<Part>& parts, const Strip& strip, const Options& options)
      : boxes_(boxes_of(parts, strip)),
        guillotine_(strip.guillotine),
        options_(options),
        skyline_(boxes_),
        slices_(boxes_) {
    started_ = options.now_seconds ? options.now_seconds() : 0;
    bound_ = bound_of(boxes_);
    outcome_.lower_bound = bound_ - boxes_.gap;
  }

  Outcome run() {
    const auto take_it = [this](const auto& spots, Length height) { take(spots, height); };
    Search skyline(boxes_, skyline_, options_, false, bound_, take_it);
    Search slices(boxes_, slices_, options_, true, bound_, take_it);
    Search& first = guillotine_ ? slices : skyline;
    first.run(kFirstLayouts);
    if (!outcome_.proven) prove();
    // What edge-to-edge cuts set free is a free layout too, and for odd sizes often the better one.
    bool turn = false;
    const auto tried = [&] { return skyline.layouts() + slices.layouts(); };
    while (!outcome_.proven && tried() < options_.max_layouts && !over()) {
      Search& next = guillotine_ || turn ? slices : skyline;
      turn = !turn;
      next.run(next.layouts() + std::min(kChunk, options_.max_layouts - tried()), best_, bound_);
    }
    outcome_.layouts = tried();
    return std::move(outcome_);
  }

 private:
  void take(const std::vector<Spot>& spots, Length height) {
    if (best_ > 0 && height >= best_) return;
    best_ = height;
    outcome_.layout = layout_of(boxes_, spots);
    outcome_.proven = best_ <= bound_;
    if (options_.on_better) options_.on_better(outcome_);
  }
  void raise_bound(Length bound) {
    bound_ = std::max(bound_, std::min(bound, best_));
    outcome_.lower_bound = bound_ - boxes_.gap;
    outcome_.proven = best_ <= bound_;
  }
  bool over() const {
    if (options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed)) return true;
    return options_.max_seconds > 0 && options_.now_seconds &&
           options_.now_seconds() - started_ >= options_.max_seconds;
  }
  bool go_on() {
    if (++nodes_ > options_.proof_nodes) return false;
    if (options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed)) return false;
    if (options_.max_seconds > 0 && options_.now_seconds && (nodes_ & 255) == 0)
      return options_.now_seconds() - started_ < options_.max_seconds / 2;
    return true;
  }
  static Length height_of(const Boxes& boxes, const std::vector<Spot>& spots) {
    return layout_of(boxes, spots).height + boxes.gap;
  }
  // Heights are sums of the boxes' heights; each below the best layout is asked for, from below.
  void prove() {
    if (boxes_.on_steps || options_.proof_nodes <= 0 || boxes_.all.size() > kMostBoxesToProve) return;
    const std::function<bool()> more = [this] { return go_on(); };
    if (guillotine_) {
      if (const auto spots = best_guillotine(boxes_, more)) {
        take(*spots, height_of(boxes_, *spots));
        raise_bound(best_);
      }
      return;
    }
    const std::vector<Length> heights = sums_of_heights(boxes_, best_);
    for (auto h = std::lower_bound(heights.begin(), heights.end(), bound_); h != heights.end() && *h < best_; ++h) {
      raise_bound(*h);
      const Proof proof = fits_free(boxes_, *h, more);
      if (proof.answer == Verdict::unknown) return;
      if (proof.answer == Verdict::yes) {
        take(proof.spots, height_of(boxes_, proof.spots));
        raise_bound(best_);
        return;
      }
      raise_bound(*h + 1);
    }
    if (!heights.empty()) raise_bound(best_);
  }

  Boxes boxes_;
  bool guillotine_;
  const Options& options_;
  Skyline skyline_;
  Slices slices_;
  Outcome outcome_;
  Length best_ = 0, bound_ = 0;
  std::int64_t nodes_ = 0;
  double started_ = 0;
};

}  // namespace

Results<Outcome> lay_out(const std::vector<Part>& parts, const Strip& strip, const Options& options) {
  auto problems = problems_of(parts, strip);
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return Work(parts, strip, options).run();
}

Length lower_bound(const std::vector<Part>& parts, const Strip& strip) {
  if (!problems_of(parts, strip).empty()) return 0;
  return bound_of(boxes_of(parts, strip)) - strip.gap;
}

}  // namespace tackcloth::cutting
