#include "service/compression.h"

#include <zlib.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>

namespace tackcloth::service {

namespace {

constexpr std::size_t kLeast = 1000;   // below it the headers weigh more
constexpr std::size_t kMostKept = 24;  // bodies
constexpr std::size_t kLargestKept = 4u << 20;

bool is_text(const std::string& type) {
  return type.starts_with("text/") || type.starts_with("application/json") ||
         type.starts_with("application/manifest+json") || type.starts_with("image/svg+xml");
}

// Empty when zlib has no memory for it: the answer then goes out as it is.
std::string gzip(const std::string& plain) {
  z_stream stream{};
  if (deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY) != Z_OK) return {};
  std::string small(deflateBound(&stream, plain.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(plain.data()));
  stream.avail_in = static_cast<uInt>(plain.size());
  stream.next_out = reinterpret_cast<Bytef*>(small.data());
  stream.avail_out = static_cast<uInt>(small.size());
  const bool whole = deflate(&stream, Z_FINISH) == Z_STREAM_END;
  small.resize(whole ? stream.total_out : 0);
  deflateEnd(&stream);
  return small;
}

}  // namespace

bool takes_gzip(const std::string& accept_encoding) {
  bool named = false, any = false;
  for (std::string item : items_of(accept_encoding)) {
    std::transform(item.begin(), item.end(), item.begin(), [](unsigned char c) { return std::tolower(c); });
    const std::size_t semicolon = item.find(';');
    std::string coding = item.substr(0, semicolon);
    coding.erase(coding.find_last_not_of(" \t") + 1);
    double q = 1;
    if (semicolon != std::string::npos) {
      const std::size_t at = item.find("q=", semicolon);
      if (at != std::string::npos) q = std::strtod(item.c_str() + at + 2, nullptr);
    }
    if (coding == "gzip" || coding == "x-gzip") {
      if (q <= 0) return false;
      named = true;
    }
    if (coding == "*" && q > 0) any = true;
  }
  return named || any;
}

const std::string& Compression::small_of(const std::string& plain) {
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& k) { return k.plain == plain; });
  if (found != kept_.end()) {
    Kept kept = std::move(*found);
    kept_.erase(found);
    kept_.push_front(std::move(kept));
  } else {
    kept_.push_front({plain, gzip(plain)});
    if (kept_.size() > kMostKept) kept_.pop_back();
  }
  return kept_.front().small;
}

Response Compression::compressed(const Request& request, Response response) {
  if (!is_text(response.content_type)) return response;
  response.headers["Vary"] = "Accept-Encoding";
  const bool small = response.body.size() < kLeast || response.body.size() > kLargestKept;
  if (request.method == "HEAD" || small || response.headers.count("Content-Encoding") != 0 ||
      !takes_gzip(request.header("accept-encoding")))
    return response;
  const std::string& body = small_of(response.body);
  if (body.empty()) return response;
  response.body = body;
  response.headers["Content-Encoding"] = "gzip";
  if (const auto tag = response.headers.find("ETag"); tag != response.headers.end() && tag->second.starts_with('"'))
    tag->second = "W/" + tag->second;
  return response;
}

}  // namespace tackcloth::service
