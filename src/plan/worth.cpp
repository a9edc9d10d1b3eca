#include "plan/worth.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "units/normal.h"

namespace tackcloth::plan {
namespace {

using piece::Existing;

constexpr double kMostMm = 5000, kMostFronts = 60;
constexpr double kBoardMm = 20;  // of a case (common practice, no source)

std::optional<Problem> checked(const Candidate& c) {
  const auto bad = [](std::string what, std::string expected) {
    return Problem{"", 0, 0, std::move(what), std::move(expected), "measure it again"};
  };
  for (const auto& [name, mm] :
       {std::pair("width", c.width_mm), std::pair("height", c.height_mm), std::pair("depth", c.depth_mm)})
    if (!(mm >= 20 && mm <= kMostMm)) return bad(std::string("the ") + name + " cannot be", "20 mm to 5 m");
  if (c.fronts < 0 || c.fronts > kMostFronts) return bad("the number of drawers and doors cannot be", "0 to 60");
  const double outside = 2 * (c.width_mm * c.height_mm + c.width_mm * c.depth_mm + c.height_mm * c.depth_mm) / 1e6;
  if (!(c.damage_m2 >= 0 && c.damage_m2 <= outside))
    return bad("the damaged area is larger than the piece", "0 to all of its outside");
  using piece::Treatment;
  for (const Treatment t :
       {Treatment::clear, Treatment::stain_and_clear, Treatment::paint, Treatment::oil, Treatment::wax})
    if (t == c.wanted) return std::nullopt;
  return bad("this look cannot be judged from five measures", "clear, stain_and_clear, paint, oil or wax");
}

piece::Part part_of(const Candidate& c, const std::string& id, piece::PartKind kind, double width, double height,
                    double depth) {
  piece::Part part;
  part.id = id;
  part.kind = kind;
  part.width_mm = width;
  part.height_mm = height;
  part.depth_mm = depth;
  part.wall_mm = kind == piece::PartKind::box ? kBoardMm : 0;
  part.existing = c.existing;
  if (c.veneered) part.substrate.material = piece::Material::veneer;
  piece::Zone zone;
  zone.id = "outside";
  zone.face = "all";
  zone.treatment = c.wanted;
  part.zones.push_back(zone);
  return part;
}

// One way the piece may turn out to be.
struct Reading {
  std::string words;
  Existing existing = Existing::unknown;
  bool stubborn = false;
};

std::vector<Reading> readings_of(Existing existing) {
  if (existing == Existing::bare) return {{"bare wood", existing, false}};
  std::vector<Reading> readings;
  const std::vector<Existing> may_be =
      existing == Existing::unknown
          ? std::vector<Existing>{Existing::shellac, Existing::varnish, Existing::lacquer, Existing::paint_oil}
          : std::vector<Existing>{existing};
  for (const Existing one : may_be) readings.push_back({piece::to_text(one), one, false});
  readings.push_back({piece::to_text(may_be.back()) + ", thick or gummy", may_be.back(), true});
  return readings;
}

// A case with its fronts, and the damaged places as a board of their own: they are repaired and finished.
job::PieceOrder order_of(const Candidate& c, const Reading& reading, const std::string& room) {
  Candidate read = c;
  read.existing = reading.existing;
  job::PieceOrder order;
  order.room = room;
  order.piece.id = order.piece.name = "candidate";
  order.piece.year = c.year;
  piece::Part body = part_of(read, "case", piece::PartKind::box, c.width_mm, c.height_mm, c.depth_mm);
  body.hidden_faces = {"front", "back", "bottom"};
  if (c.fronts > 0) body.hidden_faces.emplace_back("inside");
  order.piece.parts.push_back(body);
  if (c.fronts > 0) {
    piece::Part front = part_of(read, "front", piece::PartKind::panel, c.width_mm, c.height_mm / c.fronts, kBoardMm);
    front.count = c.fronts;
    front.hidden_faces = {"back"};
    order.piece.parts.push_back(front);
  }
  if (c.damage_m2 > 0) {
    const double side = std::max(1.0, std::sqrt(c.damage_m2 * 1e6));
    piece::Part damaged = part_of(read, "damaged", piece::PartKind::panel, side, side, kBoardMm);
    damaged.hidden_faces = {"back", "edges"};
    damaged.damage = {"gouges"};
    order.piece.parts.push_back(damaged);
  }
  for (piece::Part& part : order.piece.parts) part.stubborn_finish = reading.stubborn;
  return order;
}

void widen(Span3& span, const Span3& with, bool first) {
  span.p10 = first ? with.p10 : std::min(span.p10, with.p10);
  span.p90 = first ? with.p90 : std::max(span.p90, with.p90);
}

void widen(MoneySpan& span, Money low, Money high, bool first) {
  span.p10 = first ? low : std::min(span.p10, low);
  span.p90 = first ? high : std::max(span.p90, high);
}

template <class T>
T middle(std::vector<T> values) {
  std::sort(values.begin(), values.end());
  return values[(values.size() - 1) / 2];
}

// The same piece with its hands-on time and materials stretched.
materials::Costs costs_of(const job::Shop& shop, const materials::Price& price, double stretch) {
  return {price.materials,     price.hours * stretch, shop.hourly_rate, shop.overhead_percent,
          shop.profit_percent, shop.tax_percent,      shop.waste_fees};
}

}  // namespace

std::optional<Verdict> verdict(const Worth& worth, Money rate) {
  if (!worth.per_hour) return {};
  if (worth.per_hour->p10 >= rate) return Verdict::yes;
  return worth.per_hour->p90 < rate ? Verdict::no : Verdict::maybe;
}

std::string to_text(Verdict verdict) {
  return verdict == Verdict::yes ? "yes" : verdict == Verdict::no ? "no" : "maybe";
}

Results<Worth> worth_of(const Candidate& candidate, const job::Shop& shop, const World& world, const Options& options,
                        std::optional<Money> market) {
  const auto one = [](Problem problem) { return tl::unexpected(std::vector<Problem>{std::move(problem)}); };
  if (auto problem = checked(candidate)) return one(std::move(*problem));
  if (shop.rooms.empty()) return one({"", 0, 0, "the shop has no room", "a shop with a room", "set the shop up first"});
  const double stretch = std::exp(kNormal90 * kLooksLikeSigma);
  Worth worth;
  std::vector<double> hours, days;
  std::vector<Money> materials, break_even, from_cost, per_hour;
  std::set<std::string> told;
  bool first = true;
  for (const Reading& reading : readings_of(candidate.existing)) {
    job::Job job;
    job.file = "candidate";
    job.shop = shop;
    job.start = options.start;
    job.pieces.push_back(order_of(candidate, reading, shop.rooms.front().id));
    auto measured = piece::measure(job.pieces.front().piece);
    if (!measured) return tl::unexpected(measured.error());
    job.pieces.front().piece = std::move(*measured);
    const auto plan = make_plan(job, world, options);
    if (!plan) return tl::unexpected(plan.error());
    const PlannedPiece& planned = plan->pieces.front();
    worth.readings.push_back(reading.words);
    hours.push_back(planned.bench_hours);
    widen(worth.hours, {planned.bench_hours / stretch, 0, planned.bench_hours * stretch}, first);
    const auto days_to = [&](const std::optional<Instant>& end) {
      return hours_between(plan->start, end.value_or(planned.finish)) / 24;
    };
    days.push_back(days_to(planned.finish));
    // Stretched like the hours, which errs to the long side: part of the days is drying.
    widen(worth.days,
          {std::min(days_to(planned.finish_p50), days.back()), 0,
           std::max(days_to(planned.promise_90), days.back()) * stretch},
          first);
    for (const double by : {1 / stretch, 1.0, stretch}) {
      const materials::Costs costs = costs_of(shop, planned.price, by);
      const auto plain = materials::offer(costs, {}, {});
      if (!plain) return one(plain.error());
      widen(worth.break_even, plain->break_even, plain->break_even, first && by < 1);
      widen(worth.from_cost, plain->total, plain->total, first && by < 1);
      if (by == 1.0) {
        break_even.push_back(plain->break_even);
        from_cost.push_back(plain->total);
      }
      if (!market) continue;
      const auto sold = materials::offer(costs, {materials::Ask::From::market, *market}, {});
      if (!sold) return one(sold.error());
      const Money pays = sold->per_hour.value_or(Money{});
      if (!worth.per_hour) worth.per_hour = MoneySpan{pays, pays, pays};
      widen(*worth.per_hour, pays, pays, false);
      if (by == 1.0) per_hour.push_back(pays);
    }
    materials.push_back(planned.price.materials);
    widen(worth.materials, planned.price.materials, planned.price.materials, first);
    for (const catalog::Finding& finding : plan->findings)
      if (finding.severity != catalog::Severity::note && told.insert(finding.rule).second)
        worth.hazards.push_back(finding);
    first = false;
  }
  worth.hours.p50 = middle(hours);
  worth.days.p50 = middle(days);
  worth.materials.p50 = middle(materials);
  worth.break_even.p50 = middle(break_even);
  worth.from_cost.p50 = middle(from_cost);
  if (worth.per_hour) worth.per_hour->p50 = middle(per_hour);
  std::stable_sort(worth.hazards.begin(), worth.hazards.end(),
                   [](const catalog::Finding& a, const catalog::Finding& b) { return a.severity > b.severity; });
  return worth;
}

}  // namespace tackcloth::plan
