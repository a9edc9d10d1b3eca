#include "service/files.h"

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace tackcloth::service {
namespace {

namespace fs = std::filesystem;
constexpr std::uintmax_t kLargestFile = 16u << 20;  // the page is far smaller

const char* content_type_of(const fs::path& file) {
  const std::string ending = file.extension().string();
  if (ending == ".html") return "text/html; charset=utf-8";
  if (ending == ".js" || ending == ".mjs") return "text/javascript; charset=utf-8";
  if (ending == ".css") return "text/css; charset=utf-8";
  if (ending == ".svg") return "image/svg+xml";
  if (ending == ".json" || ending == ".map") return "application/json; charset=utf-8";
  if (ending == ".webmanifest") return "application/manifest+json";
  if (ending == ".png") return "image/png";
  if (ending == ".ico") return "image/x-icon";
  if (ending == ".woff2") return "font/woff2";
  if (ending == ".txt") return "text/plain; charset=utf-8";
  return "application/octet-stream";
}

bool is_plain(const std::string& path) {
  if (path.empty() || path.front() != '/') return false;
  for (const unsigned char c : path) {
    if (c < 0x20 || c == 0x7f || c == '\\') return false;
  }
  for (std::size_t at = 0; at != std::string::npos; at = path.find('/', at + 1)) {
    if (path.compare(at, 2, "/.") == 0) return false;  // "..", "." and hidden files
  }
  return true;
}

bool is_inside(const fs::path& root, const fs::path& file) {
  auto [left, right] = std::mismatch(root.begin(), root.end(), file.begin(), file.end());
  return left == root.end() && right != file.end();
}

// FNV-1a, 64 bit (draft-eastlake-fnv): tells versions of a file apart, guards nothing.
std::string tag_of(const std::string& body) {
  std::uint64_t hash = 0xcbf29ce484222325u;
  for (const unsigned char c : body) hash = (hash ^ c) * 0x100000001b3u;
  char text[24];
  std::snprintf(text, sizeof text, "\"%016llx\"", static_cast<unsigned long long>(hash));
  return text;
}

Response not_found() {
  return refusal(404,
                 problem_of("there is nothing here", "the page at / or an address under /api/", "check the address"));
}

}  // namespace

Response serve_file(const std::string& root, const std::string& path, const Request& request) {
  if (!is_plain(path)) return not_found();
  std::error_code error;
  const fs::path base = fs::canonical(root, error);
  if (error || root.empty() || !fs::exists(base / "index.html", error)) {
    return refusal(503, problem_of("the page is not built", "index.html in '" + root + "'",
                                   "run npm ci && npm run build in web/, or name its directory with --web"));
  }
  const fs::path file = fs::canonical(base / (path == "/" ? "index.html" : path.substr(1)), error);
  if (error || !is_inside(base, file) || !fs::is_regular_file(file, error)) return not_found();
  const auto size = fs::file_size(file, error);
  if (error || size > kLargestFile) return not_found();
  std::ifstream in(file, std::ios::binary);
  std::ostringstream content;
  content << in.rdbuf();
  if (!in) return not_found();

  Response response;
  response.body = std::move(content).str();
  response.content_type = content_type_of(file);
  response.headers["ETag"] = tag_of(response.body);
  // Built files under assets/ carry a hash of their content in the name, so they never change.
  response.headers["Cache-Control"] = path.starts_with("/assets/") ? "public, max-age=31536000, immutable" : "no-cache";
  if (names_tag(request.header("if-none-match"), response.headers["ETag"])) {
    response.status = 304;
    response.body.clear();
  }
  return response;
}

}  // namespace tackcloth::service
