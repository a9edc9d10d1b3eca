// Letting a telephone on the local network in: a short code, shown at the desk only, good for one telephone, ten
// minutes and five tries. After that the telephone holds a random token in a cookie. Knows neither sockets nor clocks.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "units/result.h"

namespace tackcloth::service {

class Pairing {
 public:
  // From memory: NIST SP 800-63B, 5.1.3.2, takes six digits (about 20 bits) for a code with few tries, and ten minutes
  // at most. With five tries a guess is right once in 200,000 codes.
  static constexpr int kDigits = 6, kTries = 5;
  static constexpr long long kGoodFor_s = 600;

  using Random = std::function<Result<std::string>(std::size_t bytes)>;
  explicit Pairing(Random random) : random_(std::move(random)) {}

  // A new code in place of the one before. `now_s`: any clock that only goes forward.
  Result<void> make_code(long long now_s);
  enum class State { none, open, used, expired, locked };
  State state(long long now_s) const;
  // The code while it is good, else "".
  std::string code(long long now_s) const;
  long long left_s(long long now_s) const;
  int tries_left() const { return tries_left_; }

  enum class Verdict { right, wrong, not_open };
  // A right code is used up by it.
  Verdict try_code(const std::string& typed, long long now_s);
  // 256 bits as hexadecimal digits: what the telephone keeps.
  Result<std::string> make_token() const;

 private:
  Random random_;
  std::string code_;
  long long made_s_ = 0;
  int tries_left_ = 0;
  bool used_ = false;
};

}  // namespace tackcloth::service
