#include "cli/cut_desk.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <thread>

#include "cli/cut_answer.h"
#include "cli/job_of.h"
#include "cli/paper.h"
#include "cli/query_values.h"
#include "sheet/region_path.h"

namespace tackcloth::cli {
namespace {

using nlohmann::ordered_json;

constexpr double kSeconds = 10, kLonger = 60;     // of searching; the second when more is asked for
constexpr double kNobodyLooks = 6;                // seconds without a question, and the search ends
constexpr std::chrono::milliseconds kFirst{150};  // that the first question waits for the first layout

double now_seconds() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

tl::unexpected<Problem> wrong(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

std::string text_of(const ordered_json& json) {
  return json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

}  // namespace

struct CutDesk::Search {
  job::CutFrom cut;
  units::System system = units::System::metric;
  long long version = 0;  // of the job it was started for
  std::atomic<bool> cancel{false};
  std::atomic<double> asked{0};
  double started = 0;
  std::mutex mutex;
  std::condition_variable changed;
  std::optional<cutting::Answer> best;
  std::optional<Problem> trouble;
  double ended = 0;  // 0: it is running
  int found = 0;     // layouts shown, each better than the one before
  std::thread worker;

  ~Search() {
    cancel = true;
    if (worker.joinable()) worker.join();
  }
  void start(double seconds) {
    started = now_seconds();
    asked = started;
    worker = std::thread([this, seconds] { work(seconds); });
  }
  void work(double seconds) {
    cutting::Options options;
    options.max_seconds = seconds;
    options.max_layouts = std::int64_t{1} << 60;
    options.cancel = &cancel;
    options.now_seconds = [this] {
      const double now = now_seconds();
      if (now - asked > kNobodyLooks) cancel = true;
      return now;
    };
    auto answer = cutting::solve(cut.order, system, options, [this](const cutting::Answer& better) {
      const std::lock_guard lock(mutex);
      best = better;
      ++found;
      changed.notify_all();
    });
    const std::lock_guard lock(mutex);
    if (answer)
      best = std::move(*answer);
    else
      trouble = answer.error().front();
    ended = now_seconds();
    changed.notify_all();
  }
};

CutDesk::CutDesk() = default;
CutDesk::~CutDesk() = default;

namespace {

std::string title_of(const job::CutFrom& cut) { return cut.name + ": cutting layout"; }

// The drawing in SVG's own words beside the numbers: y down, so that the cut end is at the foot.
ordered_json layout_json(const cutting::Answer& answer, const std::string& title, units::System system) {
  const sheet::CutDrawing drawing = drawing_of(answer, title, system);
  ordered_json json = json_of(answer, drawing);
  std::size_t number = 0;
  for (std::size_t g = 0; g < answer.grounds.size(); ++g) {
    const double top = drawing.grounds[g].height;
    json["grounds"][g]["path"] = sheet::svg_path(drawing.grounds[g].region, 0, top);
    for (std::size_t i = 0; i < drawing.grounds[g].parts.size(); ++i, ++number) {
      json["places"][number]["label"] = drawing.grounds[g].parts[i].label;
      json["places"][number]["path"] = sheet::svg_path(drawing.grounds[g].parts[i].region, 0, top);
    }
  }
  return json;
}

ordered_json list_json(const job::Job& job) {
  ordered_json cuts = ordered_json::array();
  for (const job::CutFrom& cut : job.cuts) {
    int parts = 0;
    for (const cutting::Wanted& part : cut.order.parts) parts += part.quantity;
    cuts.push_back({{"id", cut.id},
                    {"name", cut.name},
                    {"stuff", cut.order.stuff == cutting::Stuff::sheet ? "sheet" : "cloth"},
                    {"parts", parts}});
  }
  int cloth = 0;
  for (const job::PieceOrder& order : job.pieces)
    for (const piece::Part& part : order.piece.parts)
      for (const piece::Zone& zone : part.zones) cloth += zone.treatment == piece::Treatment::fabric;
  return {{"cuts", cuts}, {"cloth_zones", cloth}};
}

}  // namespace

Result<service::Asset> CutDesk::page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                     const Context& context) {
  auto values = query_values(query, {"paper", "stop", "again", "language"});
  if (!values) return tl::unexpected(values.error());
  const auto stored = job_of_store(ledger, context);
  if (!stored) return tl::unexpected(stored.error());
  if (about.empty()) return service::Asset{"application/json", text_of(list_json(stored->job)), ""};
  const std::size_t dot = about.rfind('.');
  const std::string id = about.substr(0, dot), kind = dot == std::string::npos ? "" : about.substr(dot + 1);
  const auto cut = std::find_if(stored->job.cuts.begin(), stored->job.cuts.end(),
                                [&](const job::CutFrom& one) { return one.id == id; });
  if (cut == stored->job.cuts.end())
    return wrong("there is nothing called '" + id.substr(0, 60) + "' to cut from", "the id of a [[cut]]",
                 "reload the page");
  if (!kind.empty() && kind != "pdf" && kind != "svg" && kind != "dxf" && kind != "csv")
    return wrong("'" + about.substr(0, 60) + "' is of no kind that can be made", ".pdf, .svg, .dxf or .csv",
                 "take one of these");
  if (cut->order.parts.empty())
    return wrong("nothing is cut from '" + cut->name + "' yet", "a zone or a part that is cut from it",
                 "name it in a zone, or give it parts");

  const std::lock_guard desk(mutex_);
  auto& search = searches_[id];
  if (!search || search->version != stored->standing.version || values->count("again") > 0) {
    const bool longer = search && values->count("again") > 0;
    search.reset();
    search = std::make_unique<Search>();
    search->cut = *cut;
    search->system = stored->job.shop.system;
    search->version = stored->standing.version;
    search->start(longer ? kLonger : kSeconds);
  }
  search->asked = now_seconds();
  if (values->count("stop") > 0) search->cancel = true;
  std::unique_lock lock(search->mutex);
  search->changed.wait_for(lock, kFirst, [&] { return search->best || search->trouble; });
  if (kind.empty()) {
    const double till = search->ended > 0 ? search->ended : now_seconds();
    ordered_json json = {{"id", id},
                         {"name", cut->name},
                         {"running", search->ended == 0},
                         {"seconds", till - search->started},
                         {"found", search->found}};
    json["trouble"] = search->trouble ? ordered_json{{"what", search->trouble->what},
                                                     {"expected", search->trouble->expected},
                                                     {"remedy", search->trouble->remedy}}
                                      : ordered_json();
    json["layout"] = search->best ? layout_json(*search->best, title_of(*cut), search->system) : ordered_json();
    return service::Asset{"application/json", text_of(json), ""};
  }
  if (search->trouble) return tl::unexpected(*search->trouble);
  if (!search->best) return wrong("there is no layout yet", "a moment", "ask again");
  const auto tongue = tongue_of((*values)["language"], context);
  if (!tongue) return tl::unexpected(tongue.error());
  auto bytes = file_of(*search->best, drawing_of(*search->best, title_of(*cut), search->system), kind,
                       paper_of((*values)["paper"], search->system), *tongue);
  if (!bytes) return tl::unexpected(bytes.error());
  const char* type = kind == "pdf"   ? "application/pdf"
                     : kind == "svg" ? "image/svg+xml"
                     : kind == "dxf" ? "image/vnd.dxf"
                                     : "text/csv; charset=utf-8";
  return service::Asset{type, std::move(*bytes), id + "-cut." + kind};
}

}  // namespace tackcloth::cli
