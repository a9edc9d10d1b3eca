// Whether a layout is right, looked at from nothing but its numbers: shares no code with what makes layouts.
#pragma once

#include <string>
#include <vector>

#include "cutting/strip.h"

namespace tackcloth::cutting {

// Empty when every part is there as often as wanted, in its size, inside the strip, off its neighbours by the gap, on
// its steps, cut by edge-to-edge cuts where asked, and the height is that of the highest part. Else what is wrong.
std::vector<std::string> faults(const std::vector<Part>& parts, const Strip& strip, const Layout& layout);

}  // namespace tackcloth::cutting
