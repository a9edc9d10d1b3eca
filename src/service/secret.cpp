#include "service/secret.h"

#include <openssl/crypto.h>
#include <openssl/evp.h>
#include <sys/random.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "service/http.h"

namespace tackcloth::service {

Result<std::string> random_bytes(std::size_t count) {
  std::string bytes(count, '\0');
  for (std::size_t have = 0; have < count;) {
    const auto got = ::getrandom(bytes.data() + have, count - have, 0);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) {
      return tl::unexpected(problem_of(std::string("the system gives no random numbers: ") + std::strerror(errno),
                                       "getrandom(2)", "restart the computer"));
    }
    have += static_cast<std::size_t>(got);
  }
  return bytes;
}

std::string hex_of(std::string_view bytes) {
  constexpr const char* kDigits = "0123456789abcdef";
  std::string text;
  for (const char c : bytes) {
    const auto value = static_cast<unsigned char>(c);
    text += kDigits[value >> 4];
    text += kDigits[value & 15];
  }
  return text;
}

std::string sha256_hex(std::string_view bytes) {
  std::array<char, 32> digest{};
  unsigned int length = 0;
  EVP_Digest(bytes.data(), bytes.size(), reinterpret_cast<unsigned char*>(digest.data()), &length, EVP_sha256(),
             nullptr);
  return hex_of({digest.data(), length});
}

bool same_secret(std::string_view one, std::string_view other) {
  return one.size() == other.size() && CRYPTO_memcmp(one.data(), other.data(), one.size()) == 0;
}

}  // namespace tackcloth::service
