// Chance cases cost ten times as much with sanitizers: there a part of them runs, all of them in the release build.
#pragma once

namespace tackcloth::testing {

#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool kSanitized = true;
#else
inline constexpr bool kSanitized = false;
#endif

}  // namespace tackcloth::testing
