// The drawings read back by others: the PDF's paths by poppler, the SVG by librsvg, the DXF by ezdxf.
#include "sheet/cut_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "drawn_files.h"
#include "drawn_page.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

constexpr double kCutLine = 1.1, kRollLine = 0.8, kScaleLine = 0.9;  // points, as drawn

CutDrawing sample() {
  CutDrawing d;
  d.title = "Cutting layout on a roll of 1400 mm";
  d.says = {"Buy 1.2 m (1 3/8 yd).", "No layout is shorter: proven."};
  d.grounds = {{"", 1400, 1161.5, {}}};
  d.grounds[0].parts = {{"seat <1> & \"back\"", 10, 0, 680, 580, false},
                        {"seat 2", 695, 0, 680, 580, false},
                        {"arm ü", 10, 585.25, 333.3, 576.25, true}};
  d.list = {"1  seat: cut 680 mm × 580 mm", "2  seat 2: cut 680 mm × 580 mm", "3  arm: cut 333 mm × 576 mm"};
  return d;
}

struct Box {
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
};
Box box_of(const Stroke& stroke) {
  Box box;
  for (const auto& line : stroke.lines)
    for (const At& p : line)
      box = {std::min(box.left, p.x), std::min(box.top, p.y), std::max(box.right, p.x), std::max(box.bottom, p.y)};
  return box;
}

class CutSheetFiles : public DrawnFiles {};

TEST_F(CutSheetFiles, PdfMeasuresBackInItsScale) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const CutDrawing drawing = sample();
    const auto sheet = cut_pdf(drawing, paper, Instant{});
    ASSERT_TRUE(sheet.has_value());
    EXPECT_EQ(sheet->pages, 1);
    EXPECT_GT(sheet->scale, 1);
    const std::string path = file("cut.pdf", sheet->pdf);
    const DrawnPage page(path, 1);
    const auto roll = page.strokes(kRollLine);
    ASSERT_EQ(roll.size(), 1u);
    const Box outer = box_of(roll[0]);
    EXPECT_NEAR((outer.right - outer.left) * sheet->scale, drawing.grounds[0].width, kTo * sheet->scale);
    EXPECT_NEAR((outer.bottom - outer.top) * sheet->scale, drawing.grounds[0].height, kTo * sheet->scale);
    EXPECT_GT(outer.left, 5);
    EXPECT_LT(outer.bottom, page.paper().y - 5);
    const auto parts = page.strokes(kCutLine);
    ASSERT_EQ(parts.size(), drawing.grounds[0].parts.size());
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const Box box = box_of(parts[i]);
      const CutPart& part = drawing.grounds[0].parts[i];
      EXPECT_NEAR(box.left - outer.left, part.x / sheet->scale, kTo);
      EXPECT_NEAR(outer.bottom - box.bottom, part.y / sheet->scale, kTo);
      EXPECT_NEAR(box.right - box.left, part.width / sheet->scale, kTo);
      EXPECT_NEAR(box.bottom - box.top, part.height / sheet->scale, kTo);
    }
    const auto rule = page.strokes(kScaleLine);
    ASSERT_EQ(rule.size(), 1u);
    const double length = apart(rule[0].lines[0].front(), rule[0].lines[0].back()) * sheet->scale;
    const std::string text = output_of_command("pdftotext -layout " + path + " -");
    EXPECT_THAT(text, HasSubstr("Buy 1.2 m"));
    EXPECT_THAT(text, HasSubstr("seat 2"));
    const auto said = matches(text, "This rule is ([0-9]+) cm");
    ASSERT_FALSE(said.empty());
    EXPECT_NEAR(length, std::stod(said[0][1]) * 10, kTo * sheet->scale);
  }
}

TEST_F(CutSheetFiles, LongListsGoOnMorePagesAndHugeRollsAreRefused) {
  CutDrawing drawing = sample();
  for (int i = 0; i < 120; ++i) drawing.list.push_back("a line of the list " + std::to_string(i));
  const auto sheet = cut_pdf(drawing, Paper::a4, Instant{});
  ASSERT_TRUE(sheet.has_value());
  EXPECT_GT(sheet->pages, 2);
  EXPECT_THAT(output_of_command("pdftotext " + file("long.pdf", sheet->pdf) + " -"), HasSubstr("list 119"));
  drawing.grounds[0].height = 1e9;
  EXPECT_FALSE(cut_pdf(drawing, Paper::a4, Instant{}).has_value());
  drawing.grounds[0].height = 0;
  EXPECT_FALSE(cut_pdf(drawing, Paper::a4, Instant{}).has_value());
}

TEST_F(CutSheetFiles, SvgIsFullSizeToLibrsvg) {
  const CutDrawing drawing = sample();
  const std::string svg = file("cut.svg", cut_svg(drawing)), pdf = (dir_ / "svg.pdf").string();
  output_of_command("rsvg-convert -f pdf -o " + pdf + " " + svg);
  ASSERT_TRUE(fs::exists(pdf)) << "rsvg-convert (librsvg2-bin) is missing or refuses the file";
  const DrawnPage page(pdf, 1);
  // librsvg counts 96 pixels an inch and writes them as points or as pixels, by version: the page gives the measure.
  const double k = drawing.grounds[0].width / page.paper().x;
  EXPECT_NEAR(page.paper().y * k, drawing.grounds[0].height, kTo);
  EXPECT_TRUE(std::abs(k - 1) < 1e-3 || std::abs(k - 0.75) < 1e-3) << k;
  std::vector<Box> boxes;
  for (const Stroke& stroke : page.strokes(0.2 * 72 / 25.4 / k)) boxes.push_back(box_of(stroke));
  ASSERT_EQ(boxes.size(), drawing.grounds[0].parts.size());
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    EXPECT_NEAR(boxes[i].left * k, drawing.grounds[0].parts[i].x, kTo);
    EXPECT_NEAR(drawing.grounds[0].height - boxes[i].bottom * k, drawing.grounds[0].parts[i].y, kTo);
    EXPECT_NEAR((boxes[i].right - boxes[i].left) * k, drawing.grounds[0].parts[i].width, kTo);
    EXPECT_NEAR((boxes[i].bottom - boxes[i].top) * k, drawing.grounds[0].parts[i].height, kTo);
  }
}

TEST_F(CutSheetFiles, DxfIsReadByEzdxf) {
  const CutDrawing drawing = sample();
  const std::string dxf = file("cut.dxf", cut_dxf(drawing));
  const std::string script = file("read.py", R"(
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {"version": doc.dxfversion, "errors": len(audit.errors), "cut": [], "roll": [], "labels": []}
for e in doc.modelspace():
    if e.dxftype() == "POLYLINE":
        out[e.dxf.layer.lower()].append({"closed": e.is_closed, "points": [[v.dxf.location.x, v.dxf.location.y] for v in e.vertices]})
    elif e.dxftype() == "TEXT":
        out["labels"].append(e.dxf.text)
print(json.dumps(out))
)");
  const std::string read = output_of_command("/usr/bin/python3 " + script + " " + dxf);
  ASSERT_FALSE(read.empty()) << "python3-ezdxf is missing or refuses the file";
  const auto j = nlohmann::json::parse(read);
  EXPECT_EQ(j.at("version"), "AC1009");
  EXPECT_EQ(j.at("errors"), 0);
  ASSERT_EQ(j.at("cut").size(), drawing.grounds[0].parts.size());
  ASSERT_EQ(j.at("roll").size(), 1u);
  for (std::size_t i = 0; i < drawing.grounds[0].parts.size(); ++i) {
    const CutPart& part = drawing.grounds[0].parts[i];
    EXPECT_EQ(j.at("cut")[i].at("closed"), true);
    const auto points = j.at("cut")[i].at("points").get<std::vector<std::array<double, 2>>>();
    ASSERT_EQ(points.size(), 4u);
    EXPECT_NEAR(points[0][0], part.x, 1e-3);
    EXPECT_NEAR(points[0][1], part.y, 1e-3);
    EXPECT_NEAR(points[2][0], part.x + part.width, 1e-3);
    EXPECT_NEAR(points[2][1], part.y + part.height, 1e-3);
  }
  EXPECT_EQ(j.at("labels")[1], "seat 2");
  EXPECT_EQ(j.at("labels")[2], "arm ?");
}

}  // namespace
}  // namespace tackcloth::sheet
