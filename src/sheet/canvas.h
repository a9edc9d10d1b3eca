// PDF pages in memory (Cairo) and text on them (Pango). Lengths are points, 1/72 in.
#pragma once

#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>
#include <vector>

#include "sheet/sheet.h"

namespace tackcloth::sheet {

inline constexpr double kBody = 11;  // no text on a sheet is smaller

struct Size {
  double width = 0, height = 0;
};
Size size_of(Paper paper);

struct Ink {
  double red = 0.10, green = 0.09, blue = 0.08;
};
inline constexpr Ink kInk{};
inline constexpr Ink kSoft{0.36, 0.33, 0.30};

class Canvas {
 public:
  Canvas(Size size, const std::string& title, const std::string& author, Instant made_at, const Tongue& tongue = {});
  // A picture instead of paper: `scale` pixels a point; finish() gives a PNG.
  Canvas(Size size, double scale, const Tongue& tongue = {});
  cairo_t* cairo() const { return cairo_.get(); }
  PangoContext* pango() const { return pango_.get(); }
  const Tongue& tongue() const { return tongue_; }
  bool paper() const { return !picture_; }
  void end_page();
  Result<std::string> finish();  // the bytes; nothing may be drawn afterwards

  void ink(Ink colour) const;
  void frame(double x, double y, double width, double height, double line) const;
  void fill(double x, double y, double width, double height, Ink colour) const;
  void rule(double x, double y, double width, double line) const;

 private:
  struct CairoEnd {
    void operator()(cairo_t* c) const { cairo_destroy(c); }
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
    void operator()(PangoContext* p) const { g_object_unref(p); }
  };
  Tongue tongue_;
  bool picture_ = false;
  std::unique_ptr<std::string> bytes_ = std::make_unique<std::string>();
  std::unique_ptr<cairo_surface_t, CairoEnd> surface_;
  std::unique_ptr<cairo_t, CairoEnd> cairo_;
  std::unique_ptr<PangoContext, CairoEnd> pango_;
};

struct Span {
  std::string text;
  bool bold = false;
  Ink colour = kInk;
};

// A paragraph set to a width. `most_lines` > 0 cuts it there with an ellipsis.
class Text {
 public:
  Text(const Canvas& canvas, const std::vector<Span>& spans, double width, int most_lines = 0, double size = kBody);
  double height() const { return height_; }
  double width() const { return width_; }  // of the ink, at most the width asked for
  bool cut() const;                        // something did not fit
  void draw(const Canvas& canvas, double x, double y) const;

 private:
  struct End {
    void operator()(PangoLayout* l) const { g_object_unref(l); }
  };
  std::shared_ptr<PangoLayout> layout_;
  double height_ = 0, width_ = 0;
};

}  // namespace tackcloth::sheet
