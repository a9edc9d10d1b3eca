#include "sheet/canvas.h"

#include <cairo-pdf.h>

#include <cmath>

#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

// Metric-compatible with the common office sans; others stand in when it is not installed.
constexpr const char* kFamily = "Liberation Sans, DejaVu Sans, Sans";

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

guint16 channel(double value) { return static_cast<guint16>(value * 65535); }

}  // namespace

Size size_of(Paper paper) {
  if (paper == Paper::letter) return {8.5 * 72, 11 * 72};  // ANSI/ASME Y14.1 size A
  return {210 / 25.4 * 72, 297 / 25.4 * 72};               // ISO 216 A4
}

Canvas::Canvas(Size size, const std::string& title, const std::string& author, Instant made_at, const Tongue& tongue)
    : tongue_(tongue), surface_(cairo_pdf_surface_create_for_stream(append, bytes_.get(), size.width, size.height)) {
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, clean(title).c_str());
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_AUTHOR, clean(author).c_str());
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATOR, "Tackcloth");
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE, to_iso(made_at).c_str());
  cairo_.reset(cairo_create(surface_.get()));
  pango_.reset(pango_cairo_create_context(cairo_.get()));
  pango_cairo_context_set_resolution(pango_.get(), 72);  // points on paper are points of type
}

Canvas::Canvas(Size size, double scale, const Tongue& tongue)
    : tongue_(tongue),
      picture_(true),
      surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(size.width * scale)),
                                          static_cast<int>(std::lround(size.height * scale)))) {
  cairo_.reset(cairo_create(surface_.get()));
  cairo_scale(cairo(), scale, scale);
  cairo_set_source_rgb(cairo(), 1, 1, 1);
  cairo_paint(cairo());
  ink(kInk);
  pango_.reset(pango_cairo_create_context(cairo_.get()));
  pango_cairo_context_set_resolution(pango_.get(), 72);
}

void Canvas::end_page() {
  if (!picture_) cairo_show_page(cairo());
}

Result<std::string> Canvas::finish() {
  cairo_status_t status = cairo_status(cairo());
  if (picture_ && status == CAIRO_STATUS_SUCCESS) {
    cairo_surface_flush(surface_.get());
    status = cairo_surface_write_to_png_stream(surface_.get(), append, bytes_.get());
  }
  cairo_surface_finish(surface_.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_status(cairo());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface_.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return tl::unexpected(Problem{"", 0, 0,
                                  std::string("the sheet could not be drawn: ") + cairo_status_to_string(status),
                                  "enough memory and at least one font", "install a font package and try again"});
  return *bytes_;
}

void Canvas::ink(Ink colour) const { cairo_set_source_rgb(cairo(), colour.red, colour.green, colour.blue); }

void Canvas::frame(double x, double y, double width, double height, double line) const {
  cairo_set_line_width(cairo(), line);
  cairo_rectangle(cairo(), x, y, width, height);
  cairo_stroke(cairo());
}

void Canvas::fill(double x, double y, double width, double height, Ink colour) const {
  ink(colour);
  cairo_rectangle(cairo(), x, y, width, height);
  cairo_fill(cairo());
  ink(kInk);
}

void Canvas::rule(double x, double y, double width, double line) const {
  cairo_set_line_width(cairo(), line);
  cairo_move_to(cairo(), x, y);
  cairo_line_to(cairo(), x + width, y);
  cairo_stroke(cairo());
}

Text::Text(const Canvas& canvas, const std::vector<Span>& spans, double width, int most_lines, double size)
    : layout_(pango_layout_new(canvas.pango()), End{}) {
  std::string all;
  PangoAttrList* attributes = pango_attr_list_new();
  for (const Span& span : spans) {
    const auto from = static_cast<guint>(all.size());
    all += clean(span.text);
    const auto to = static_cast<guint>(all.size());
    const auto add = [&](PangoAttribute* attribute) {
      attribute->start_index = from;
      attribute->end_index = to;
      pango_attr_list_insert(attributes, attribute);
    };
    if (span.bold) add(pango_attr_weight_new(PANGO_WEIGHT_BOLD));
    add(pango_attr_foreground_new(channel(span.colour.red), channel(span.colour.green), channel(span.colour.blue)));
  }
  PangoFontDescription* font = pango_font_description_from_string(kFamily);
  pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
  PangoLayout* layout = layout_.get();
  pango_layout_set_font_description(layout, font);
  pango_layout_set_text(layout, all.c_str(), static_cast<int>(all.size()));
  pango_layout_set_attributes(layout, attributes);
  pango_layout_set_width(layout, static_cast<int>(width * PANGO_SCALE));
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  if (most_lines > 0) {
    pango_layout_set_height(layout, -most_lines);  // of each paragraph
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  }
  pango_font_description_free(font);
  pango_attr_list_unref(attributes);
  PangoRectangle box;
  pango_layout_get_extents(layout, nullptr, &box);
  height_ = static_cast<double>(box.height) / PANGO_SCALE;
  width_ = static_cast<double>(box.width) / PANGO_SCALE;
}

bool Text::cut() const { return pango_layout_is_ellipsized(layout_.get()); }

void Text::draw(const Canvas& canvas, double x, double y) const {
  cairo_move_to(canvas.cairo(), x, y);
  pango_cairo_show_layout(canvas.cairo(), layout_.get());
}

}  // namespace tackcloth::sheet
