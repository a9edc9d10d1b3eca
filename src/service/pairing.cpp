#include "service/pairing.h"

#include <cstdint>

#include "service/secret.h"

namespace tackcloth::service {

Result<void> Pairing::make_code(long long now_s) {
  constexpr std::uint32_t kCodes = 1'000'000;
  constexpr std::uint32_t kFair = UINT32_MAX - UINT32_MAX % kCodes;  // above it some codes would come more often
  for (;;) {
    const auto bytes = random_(4);
    if (!bytes) return tl::unexpected(bytes.error());
    std::uint32_t number = 0;
    for (const char c : *bytes) number = number << 8 | static_cast<unsigned char>(c);
    if (number >= kFair) continue;
    const std::string digits = std::to_string(number % kCodes);
    code_ = std::string(kDigits - digits.size(), '0') + digits;
    made_s_ = now_s;
    tries_left_ = kTries;
    used_ = false;
    return {};
  }
}

Pairing::State Pairing::state(long long now_s) const {
  if (code_.empty()) return State::none;
  if (used_) return State::used;
  if (tries_left_ <= 0) return State::locked;
  return now_s - made_s_ >= kGoodFor_s ? State::expired : State::open;
}

std::string Pairing::code(long long now_s) const { return state(now_s) == State::open ? code_ : ""; }

long long Pairing::left_s(long long now_s) const {
  return state(now_s) == State::open ? kGoodFor_s - (now_s - made_s_) : 0;
}

Pairing::Verdict Pairing::try_code(const std::string& typed, long long now_s) {
  if (state(now_s) != State::open) return Verdict::not_open;
  std::string digits;
  for (const char c : typed)
    if (c != ' ' && c != '-') digits += c;
  if (!same_secret(digits, code_)) {
    --tries_left_;
    return Verdict::wrong;
  }
  used_ = true;
  return Verdict::right;
}

Result<std::string> Pairing::make_token() const {
  auto bytes = random_(32);
  if (!bytes) return tl::unexpected(bytes.error());
  return hex_of(*bytes);
}

}  // namespace tackcloth::service
