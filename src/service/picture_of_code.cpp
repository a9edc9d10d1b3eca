#include "service/picture_of_code.h"

#include <qrencode.h>

#include <memory>

#include "service/http.h"

namespace tackcloth::service {

Result<std::string> picture_of_code(const std::string& text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M),
                                                             QRcode_free);
  if (!code) return tl::unexpected(problem_of("the code cannot be drawn", "a short address", "type the code instead"));
  constexpr int kQuiet = 4;
  const std::string side = std::to_string(code->width + 2 * kQuiet);
  std::string path;
  for (int y = 0; y < code->width; ++y) {
    for (int x = 0; x < code->width; ++x) {
      if ((code->data[y * code->width + x] & 1) == 0) continue;
      path += "M" + std::to_string(x + kQuiet) + " " + std::to_string(y + kQuiet) + "h1v1h-1z";
    }
  }
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + side + " " + side +
         "\" shape-rendering=\"crispEdges\"><rect width=\"" + side + "\" height=\"" + side +
         "\" fill=\"#fff\"/><path fill=\"#000\" d=\"" + path + "\"/></svg>\n";
}

}  // namespace tackcloth::service
