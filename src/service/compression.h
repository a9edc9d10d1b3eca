// Answers made small for the way: gzip (RFC 1952) where the client takes it (RFC 9110, 12.5.3).
#pragma once

#include <deque>
#include <string>

#include "service/http.h"

namespace tackcloth::service {

// Whether `accept_encoding` allows gzip: named, or by *, and not at q=0.
bool takes_gzip(const std::string& accept_encoding);

// Keeps the last few it made: the plan and the page are asked for again and again. For one thread.
class Compression {
 public:
  // Text and pictures drawn as text of 1,000 bytes and more; anything else as it came. A compressed answer is another
  // representation, so its ETag becomes a weak one (RFC 9110, 8.8.3).
  Response compressed(const Request& request, Response response);

 private:
  struct Kept {
    std::string plain, small;
  };
  const std::string& small_of(const std::string& plain);
  std::deque<Kept> kept_;
};

}  // namespace tackcloth::service
