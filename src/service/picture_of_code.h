// A text as a QR code (ISO/IEC 18004, by libqrencode), drawn as SVG in black on white with the quiet zone of four
// modules.
#pragma once

#include <string>

#include "units/result.h"

namespace tackcloth::service {

Result<std::string> picture_of_code(const std::string& text);

}  // namespace tackcloth::service
