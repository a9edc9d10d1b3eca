#include "service/everything.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "ledger/everything.h"
#include "service/api.h"
#include "service/query.h"

namespace tackcloth::service {
namespace {

namespace fs = std::filesystem;

constexpr long long kLargest = 2LL << 30;           // packed, on its way in
constexpr std::uintmax_t kLargestOut = 1ULL << 30;  // held in memory while it is sent

// mkdtemp(3) makes it with mode 0700.
std::string own_directory() {
  std::error_code error;
  std::string pattern = (fs::temp_directory_path(error) / "tackcloth-XXXXXX").string();
  return !error && ::mkdtemp(pattern.data()) != nullptr ? pattern : std::string();
}

Response no_place() {
  return refusal(507, problem_of("there is no place for it on the way", "a directory for temporary files with room",
                                 "make room, or use tackcloth everything"));
}

// What the file is called on this machine helps nobody at the page.
Response refused(Problem problem) {
  problem.file.clear();
  return refusal(ledger::is_no_room(problem) ? 507 : 422, problem);
}

}  // namespace

std::optional<Response> Everything::desk(const Request& request, bool& brought_back) {
  if (path_of(request.target) != kEverything) return {};
  if (request.method == "GET") return save();
  if (request.method == "POST") return take(request, brought_back);
  Response response = refusal(405, problem_of("this address does not take that method", "GET, POST", "use another"));
  response.headers["Allow"] = "GET, POST";
  return response;
}

Response Everything::save() {
  const std::string directory = own_directory();
  if (directory.empty()) return no_place();
  const std::string file = directory + "/everything.tar.gz";
  const auto done = ledger::write_everything(ledger_, file);
  std::error_code error;
  Response response;
  if (!done) {
    response = refused(done.error());
  } else if (fs::file_size(file, error) > kLargestOut || error) {
    response =
        refusal(413, problem_of("it is too large for the page", "at most 1 GiB", "use tackcloth everything --out"));
  } else {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream bytes;
    bytes << in.rdbuf();
    response.body = std::move(bytes).str();
    response.content_type = "application/gzip";
    response.headers["Cache-Control"] = "no-store";
    response.headers["Content-Disposition"] =
        "attachment; filename=\"tackcloth-everything-" + clock_().substr(0, 10) + ".tar.gz\"";
  }
  fs::remove_all(directory, error);
  return response;
}

Response Everything::take(const Request& request, bool& brought_back) {
  const auto size = number_in_query(request.target, "size"), offset = number_in_query(request.target, "offset");
  const auto bytes = static_cast<long long>(request.body.size());
  if (!size || !offset || *size <= 0 || *offset < 0 || *offset + bytes > *size || bytes == 0) {
    return refusal(400, problem_of("size or offset is missing, or does not fit", "?size=BYTES&offset=BYTES",
                                   "send the file in pieces, in order"));
  }
  if (*size > kLargest)
    return refusal(
        413, problem_of("the file is too large for the page", "at most 2 GiB", "use tackcloth everything --from"));
  if (*offset == 0) {
    drop();
    const auto empty = ledger::is_empty(ledger_);
    if (!empty) return refusal(500, empty.error());
    if (!*empty) return refused(ledger::not_empty());
    directory_ = own_directory();
    if (directory_.empty()) return no_place();
  }
  if (directory_.empty() || *offset != have_) {
    return refusal(409, problem_of("this piece does not go on where the last one ended",
                                   "the piece at " + std::to_string(have_), "send the file again from its beginning"));
  }
  const std::string file = directory_ + "/everything.tar.gz";
  {
    std::ofstream out(file, std::ios::binary | std::ios::app);
    out.write(request.body.data(), static_cast<std::streamsize>(bytes));
    out.flush();
    if (!out) {
      drop();
      return no_place();
    }
  }
  have_ += bytes;
  const bool whole = have_ == *size;
  const long long have = have_;
  if (whole) {
    const auto done = ledger::read_everything(file, ledger_);
    drop();
    if (!done) return refused(done.error());
    brought_back = true;
  }
  Response response;
  response.headers["Cache-Control"] = "no-store";
  response.body = nlohmann::ordered_json{{"size", *size}, {"have", have}, {"brought_back", whole}}.dump() + "\n";
  return response;
}

void Everything::drop() {
  std::error_code ignored;
  if (!directory_.empty()) fs::remove_all(directory_, ignored);
  directory_.clear();
  have_ = 0;
}

}  // namespace tackcloth::service
