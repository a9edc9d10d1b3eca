#include "cutting/order.h"

#include <algorithm>
#include <cmath>

#include "cutting/widths.h"
#include "shape/draw.h"

namespace tackcloth::cutting {
namespace {

constexpr double kMm = 1000;  // micrometres
constexpr int kMostSheets = 200;

double mm(Length um) { return static_cast<double>(um) / kMm; }
Length um(double length_mm) { return std::llround(length_mm * kMm); }

// Turned about the origin by quarters, counter-clockwise, then moved.
shape::Region laid_region(const shape::Region& region, int quarters, double x, double y) {
  shape::Region out = region;
  for (shape::Outline& outline : out.outlines)
    for (shape::Edge& edge : outline.edges) {
      for (int k = 0; k < quarters; ++k) edge.to = {-edge.to.y, edge.to.x};
      edge.to = {edge.to.x + x, edge.to.y + y};
    }
  return out;
}

std::vector<Panel> panels_of(const std::vector<Wanted>& parts) {
  std::vector<Panel> panels;
  for (const Wanted& part : parts)
    panels.push_back({part.id, part.width, part.height, part.quantity, part.wide_as_cut, part.starts});
  return panels;
}

bool patterned(const Order& order) { return order.cloth.repeat_x > 0 || order.cloth.repeat_y > 0; }

bool goes_by_outline(const Order& order) {
  const auto any = [](const auto& list) {
    return std::any_of(list.begin(), list.end(), [](const auto& one) { return !one.outline.outlines.empty(); });
  };
  return any(order.remnants) || (order.outlines && !patterned(order) && any(order.parts));
}

class Solver {
 public:
  Solver(const Order& order, units::System system, std::function<void(const Answer&)> better)
      : order_(order), system_(system), better_(std::move(better)) {
    cloth_ = order.cloth;
    cloth_.may_turn = order.turn == Turn::quarter && !patterned(order);
    parts_ = in_widths(order, system, notes_);
  }

  std::vector<Problem> problems() const {
    std::vector<Problem> problems;
    const auto add = [&](std::string what, std::string expected, std::string remedy) {
      problems.push_back({"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
    };
    if (order_.parts.empty()) add("there is nothing to cut", "at least one part", "add a part");
    if (cloth_.roll_width == 0 && order_.remnants.empty())
      add("there is nothing to cut from", "the width of a roll, a sheet or a remnant", "measure what there is");
    for (const Leftover& remnant : order_.remnants) {
      if (remnant.outline.outlines.empty() && (remnant.width <= 0 || remnant.length <= 0))
        add("remnant '" + remnant.id + "' has no size", "width and length above 0, or an outline", "measure it");
      if (!remnant.outline.outlines.empty() && patterned(order_))
        add("remnant '" + remnant.id + "' has an outline and the cloth a pattern",
            "rectangles where there is a pattern", "give the largest sound rectangle of it as width and length");
    }
    if (goes_by_outline(order_) && cloth_.guillotine)
      add("outlines cannot be set free by cuts from edge to edge", "outlines, or cuts from edge to edge",
          "leave one of them out; give remnants and parts as rectangles for cuts from edge to edge");
    if (!problems.empty()) return problems;
    Cloth cloth = cloth_;
    if (cloth.roll_width == 0) {
      // Nothing new: sizes alone are looked at, on a roll wide enough for all; what does not fit is told later.
      for (const Wanted& part : parts_) cloth.roll_width = std::max(cloth.roll_width, part.width + part.height);
      cloth.roll_width += 2 * (cloth.wrap + cloth.seam + cloth.selvedge) + cloth.repeat_x + 1;
      cloth.first_x.reset();
      cloth.roll_width = std::min<Length>(cloth.roll_width, 100'000'000);
    }
    for (const Problem& problem : cut_problems(panels_of(parts_), cloth, system_)) {
      problems.push_back(problem);
      if (order_.join && cloth.repeat_x > 0 && problem.remedy.find("seam") != std::string::npos)
        problems.back().remedy += cloth.centred && !cloth_.first_x
                                      ? ". To join widths on the pattern, measure from the left edge of the roll to "
                                        "the middle of the first motif"
                                      : ". The repeat is too wide to join widths of this roll on it";
    }
    if (!problems.empty() || order_.sheet_length <= 0) return problems;
    for (const Part& part : cut_parts(panels_of(parts_), cloth_)) {
      const Length over =
          std::min(part.height - order_.sheet_length,
                   cloth_.may_turn && part.height <= usable() ? part.width - order_.sheet_length : Length{1} << 60);
      if (over > 0)
        add("part '" + part.id + "' is cut " + say(part.height) + " long, " + say(over) + " more than a sheet (" +
                say(order_.sheet_length) + ")",
            "parts no longer than a sheet", "take larger sheets, or join the part from two");
    }
    return problems;
  }

  Results<Answer> run(const Options& options) { return goes_by_outline(order_) ? nested(options) : laid(options); }

 private:
  std::string say(Length length) const { return units::format_length(mm(length), system_); }
  Length usable() const { return cloth_.roll_width - 2 * cloth_.selvedge; }
  static std::vector<Problem> own_fault(const std::string& fault) {
    return {{"", 0, 0, "the layout did not pass its check: " + fault, "a layout without overlaps",
             "report this with the job file"}};
  }

  Turn turn_of(std::size_t part) const {
    const Turn turn = parts_[part].turn.value_or(order_.turn);
    return patterned(order_) ? Turn::none : turn;
  }

  // ---- rectangles
  std::vector<Part> parts_on(const Cloth& cloth) const {
    std::vector<Part> parts = cut_parts(panels_of(parts_), cloth);
    for (std::size_t p = 0; p < parts.size(); ++p) parts[p].may_turn = turn_of(p) == Turn::quarter;
    return parts;
  }
  Grounds grounds() const {
    Grounds g;
    for (const Leftover& remnant : order_.remnants) {
      Cloth cloth = cloth_;
      cloth.roll_width = remnant.width;
      cloth.selvedge = 0;
      cloth.first_x = remnant.first_x;
      cloth.first_y = remnant.first_y;
      Strip strip = cut_strip(cloth);
      strip.width = std::max<Length>(0, strip.width);
      g.remnants.push_back({strip, std::max<Length>(0, remnant.length - cut_spare(cloth)), parts_on(cloth)});
    }
    g.fresh.parts = parts_on(cloth_);
    if (cloth_.roll_width > 0) {
      g.fresh.strip = cut_strip(cloth_);
      g.fresh.length = order_.sheet_length > 0 ? std::max<Length>(1, order_.sheet_length - cut_spare(cloth_)) : 0;
    }
    return g;
  }
  Results<Answer> laid(const Options& options) {
    const Grounds g = grounds();
    const bool rivals = !g.remnants.empty() && cloth_.roll_width > 0;
    Options part = options;
    if (rivals) part.max_seconds = options.max_seconds / 2;
    auto best = laid_on(g, part, -1);
    if (!rivals || !best || best->proven || value_of(*best) == 0) return best;
    // Filling remnants can leave an awkward rest: what the new stuff alone would take is looked at too.
    Grounds bare = g;
    bare.remnants.clear();
    auto alone = laid_on(bare, part, value_of(*best));
    if (!alone) return best;
    const std::int64_t layouts = best->layouts + alone->layouts;
    if (value_of(*alone) < value_of(*best)) {
      // Its bound does not know of the remnants.
      alone->lower_bound = best->lower_bound;
      alone->proven = value_of(*alone) <= best->lower_bound;
      best = std::move(alone);
    }
    best->layouts = layouts;
    return best;
  }
  Length value_of(const Answer& answer) const { return order_.sheet_length > 0 ? answer.sheets : answer.length; }
  // Shows what takes less than `than`; anything when that is below 0.
  Results<Answer> laid_on(const Grounds& g, const Options& options, Length than) {
    const auto show = [&](const Sheeted& sheeted) {
      const Length value = order_.sheet_length > 0 ? sheeted.sheets : sheeted.length;
      if (better_ && (than < 0 || value < than) && sheet_faults(g, sheeted).empty()) better_(answer_of(g, sheeted));
    };
    const auto sheeted = lay_on_sheets(g, options, show);
    if (!sheeted) return tl::unexpected(sheeted.error());
    if (const auto wrong = sheet_faults(g, *sheeted); !wrong.empty()) return tl::unexpected(own_fault(wrong.front()));
    return answer_of(g, *sheeted);
  }
  Answer answer_of(const Grounds& g, const Sheeted& sheeted) const {
    Answer answer = start();
    const int remnants = static_cast<int>(g.remnants.size());
    for (const OnGround& on : sheeted.used) {
      UsedGround ground;
      ground.fresh = on.ground >= remnants;
      const Length edge = ground.fresh ? cloth_.selvedge : 0;
      if (ground.fresh) {
        const Length length = order_.sheet_length > 0 ? order_.sheet_length : sheeted.length;
        ground.region = shape::rectangle({0, 0}, mm(cloth_.roll_width), mm(length));
      } else {
        const Leftover& remnant = order_.remnants[static_cast<std::size_t>(on.ground)];
        ground.id = remnant.id;
        ground.region = shape::rectangle({0, 0}, mm(remnant.width), mm(remnant.length));
      }
      for (const Place& p : on.layout.places)
        ground.parts.push_back({p.part, p.copy, p.turned, false, p.x + edge, p.y, p.width, p.height,
                                shape::rectangle({mm(p.x + edge), mm(p.y)}, mm(p.width), mm(p.height))});
      answer.grounds.push_back(std::move(ground));
    }
    for (const auto& [part, copy] : sheeted.missing)
      answer.missing.push_back(g.fresh.parts[static_cast<std::size_t>(part)].id);
    answer.length = sheeted.length;
    answer.sheets = sheeted.sheets;
    answer.lower_bound = sheeted.lower_bound;
    answer.proven = sheeted.proven;
    answer.layouts = sheeted.layouts;
    return finished(std::move(answer));
  }

  // ---- outlines
  shape::Region cut_region(const Wanted& part) const {
    const double around = mm(cloth_.wrap + cloth_.seam);
    if (part.outline.outlines.empty() || !order_.outlines) {
      const double width = mm(part.width) + (part.wide_as_cut ? 0 : 2 * around);
      return shape::rectangle({0, 0}, width, mm(part.height) + 2 * around);
    }
    const shape::Region grown = around > 0 ? shape::offset(part.outline, around) : part.outline;
    const shape::Box box = shape::bounds(grown);
    return laid_region(grown, 0, -box.left, -box.bottom);
  }
  Results<Answer> nested(const Options& options) {
    std::vector<Shape> shapes;
    double area = 0;
    for (std::size_t p = 0; p < parts_.size(); ++p) {
      shapes.push_back({parts_[p].id, cut_region(parts_[p]), parts_[p].quantity, turn_of(p)});
      area += shape::area_mm2(shapes.back().region) * parts_[p].quantity;
    }
    Stock stock;
    stock.gap_mm = mm(cloth_.gap);
    for (const Leftover& remnant : order_.remnants) {
      const shape::Region rectangle = shape::rectangle({0, 0}, mm(remnant.width), mm(remnant.length));
      stock.remnants.push_back({remnant.id, remnant.outline.outlines.empty() ? rectangle : remnant.outline});
      area -= shape::area_mm2(stock.remnants.back().region);
    }
    const bool sheets = order_.sheet_length > 0 && cloth_.roll_width > 0;
    if (!sheets) {
      stock.roll_width_mm = mm(usable());
      if (cloth_.roll_width == 0) stock.roll_width_mm = 0;
      return nest_once(shapes, stock, options, 0, 0);
    }
    const double one = mm(usable()) * mm(order_.sheet_length);
    const int least = std::max(0, static_cast<int>(std::ceil(area / one - 1e-9)));
    int most = least;
    Options quick = options;
    quick.max_layouts = 1;
    const std::size_t remnants = stock.remnants.size();
    const auto with = [&](int count) {
      stock.remnants.resize(remnants);
      for (int k = 0; k < count; ++k)
        stock.remnants.push_back(
            {"new sheet " + std::to_string(k + 1), shape::rectangle({0, 0}, mm(usable()), mm(order_.sheet_length))});
    };
    Results<Answer> found = tl::unexpected(own_fault("no number of sheets is enough"));
    for (; most <= least + kMostSheets; ++most) {
      with(most);
      if (stock.remnants.empty()) continue;
      found = nest_once(shapes, stock, quick, most, least);
      if (!found) return found;
      if (found->missing.empty()) break;
    }
    if (better_ && found->missing.empty()) better_(*found);
    if (found->proven || most <= least) return found;
    // One sheet less may do; all of the time goes into that.
    with(most - 1);
    if (stock.remnants.empty()) return found;
    const auto fewer = nest_once(shapes, stock, options, most - 1, least);
    return fewer && fewer->missing.empty() ? fewer : found;
  }
  Results<Answer> nest_once(const std::vector<Shape>& shapes, const Stock& stock, const Options& options, int sheets,
                            int least) {
    const auto show = [&](const Nested& nested) {
      if (better_ && order_.sheet_length == 0 && nest_faults(shapes, stock, nested).empty())
        better_(answer_of(shapes, stock, nested, sheets, least));
    };
    const auto nested = nest(shapes, stock, options, show);
    if (!nested) return tl::unexpected(nested.error());
    if (const auto wrong = nest_faults(shapes, stock, *nested); !wrong.empty())
      return tl::unexpected(own_fault(wrong.front()));
    return answer_of(shapes, stock, *nested, sheets, least);
  }
  Answer answer_of(const std::vector<Shape>& shapes, const Stock& stock, const Nested& nested, int sheets,
                   int least) const {
    Answer answer = start();
    answer.by_outline = true;
    const int remnants = static_cast<int>(order_.remnants.size());
    const int grounds = static_cast<int>(stock.remnants.size()) + (stock.roll_width_mm > 0 ? 1 : 0);
    for (int k = 0; k < grounds; ++k) {
      UsedGround ground;
      ground.fresh = k >= remnants;
      const double edge = ground.fresh ? mm(cloth_.selvedge) : 0;
      const bool on_roll = k == static_cast<int>(stock.remnants.size());
      ground.region = on_roll || ground.fresh ? shape::rectangle({0, 0}, mm(cloth_.roll_width),
                                                                 on_roll ? nested.roll_mm : mm(order_.sheet_length))
                                              : stock.remnants[static_cast<std::size_t>(k)].region;
      if (!ground.fresh) ground.id = stock.remnants[static_cast<std::size_t>(k)].id;
      for (const NestPlace& p : nested.places) {
        if (p.sheet != k) continue;
        Laid laid;
        laid.part = p.shape;
        laid.copy = p.copy;
        laid.turned = p.quarters % 2 == 1;
        laid.upside_down = p.quarters >= 2;
        laid.region = laid_region(shapes[static_cast<std::size_t>(p.shape)].region, p.quarters, p.x_mm + edge, p.y_mm);
        const shape::Box box = shape::bounds(laid.region);
        laid.x = um(box.left);
        laid.y = um(box.bottom);
        laid.width = um(box.width());
        laid.height = um(box.height());
        ground.parts.push_back(std::move(laid));
      }
      if (!ground.parts.empty()) answer.grounds.push_back(std::move(ground));
    }
    for (const auto& [shape, copy] : nested.left_over)
      answer.missing.push_back(shapes[static_cast<std::size_t>(shape)].id);
    answer.length = um(nested.roll_mm);
    // A new sheet may have stayed empty.
    for (const UsedGround& ground : answer.grounds)
      if (ground.fresh && order_.sheet_length > 0) ++answer.sheets;
    const Length value = sheets > 0 || order_.sheet_length > 0 ? answer.sheets : answer.length;
    const Length bound = order_.sheet_length > 0 ? least : um(nested.roll_bound_mm);
    answer.lower_bound = std::min(bound, value);
    // 0.01 mm is what flattening and rounding may cost.
    answer.proven = answer.missing.empty() && value <= bound + (order_.sheet_length > 0 ? 0 : 10);
    answer.layouts = nested.layouts;
    return finished(std::move(answer));
  }

  Answer start() const {
    Answer answer;
    answer.parts = parts_;
    answer.by_sheet = order_.sheet_length > 0;
    answer.roll_width = cloth_.roll_width;
    answer.notes = notes_;
    return answer;
  }
  Answer finished(Answer answer) const {
    if (answer.length > 0) answer.spare = cut_spare(cloth_);
    answer.tenths_m = tenths_of_metre(answer.length + answer.spare);
    answer.eighths_yd = eighths_of_yard(answer.length + answer.spare);
    if (order_.stuff == Stuff::cloth) {
      Cloth cloth = cloth_;
      if (answer.length == 0) cloth.first_x = cloth.first_y = 0;  // nothing from the roll: no word about its pattern
      for (std::string& note : cut_notes(panels_of(parts_), cloth, system_)) answer.notes.push_back(std::move(note));
    } else if (order_.turn != Turn::quarter) {
      answer.notes.push_back(order_.turn == Turn::half
                                 ? "The grain runs along the sheet. A part may lie either end up."
                                 : "The grain runs along the sheet, and the top of every part points to its far end.");
    }
    if (patterned(order_))
      for (const UsedGround& ground : answer.grounds)
        if (!ground.fresh)
          answer.notes.push_back("On '" + ground.id +
                                 "': where its pattern begins decides; shift the layout on it until a motif is in the "
                                 "middle of the first panel.");
    const bool boxed = !order_.outlines || patterned(order_);
    for (const Wanted& part : parts_)
      if (boxed && !part.outline.outlines.empty() && !is_box(part)) {
        answer.notes.push_back("Parts are cut as rectangles and trimmed to their outline afterwards.");
        break;
      }
    return answer;
  }
  static bool is_box(const Wanted& part) {
    return std::abs(shape::area_mm2(part.outline) - mm(part.width) * mm(part.height)) < 1;
  }

  const Order& order_;
  units::System system_;
  std::function<void(const Answer&)> better_;
  Cloth cloth_;
  std::vector<std::string> notes_;
  std::vector<Wanted> parts_;
};

}  // namespace

std::vector<Problem> problems_of(const Order& order, units::System system) {
  return Solver(order, system, {}).problems();
}

Results<Answer> solve(const Order& order, units::System system, const Options& options,
                      const std::function<void(const Answer&)>& better) {
  Solver solver(order, system, better);
  if (auto problems = solver.problems(); !problems.empty()) return tl::unexpected(std::move(problems));
  return solver.run(options);
}

}  // namespace tackcloth::cutting
