// The template measured back from the vector paths of its PDF, as poppler reads them: to 0.1 mm, across sheets.
#include "sheet/template.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <numbers>

#include "../job/sample.h"
#include "drawn_page.h"
#include "shape/arc.h"
#include "shape/draw.h"
#include "sheet/stencil_sheet.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

constexpr double kOutline = 1.2, kFace = 0.8, kMark = 0.7, kRule = 0.9;

ZoneTemplate zone_of(shape::Region region, double face_width = 680, double face_height = 410) {
  ZoneTemplate zone;
  zone.piece = "Walnut cabinet";
  zone.part = "case";
  zone.zone = "sunrise";
  zone.face = "front";
  zone.face_region = shape::rectangle({0, 0}, face_width, face_height);
  zone.area_m2 = shape::area_mm2(region) * 1e-6;
  zone.tape_mm = shape::inner_boundary_mm(region, zone.face_region);
  zone.region = std::move(region);
  return zone;
}

class Template : public ::testing::Test {
 protected:
  void SetUp() override {
    if (output_of_command("command -v pdftocairo").empty()) GTEST_SKIP() << "poppler-utils is not installed";
    std::string pattern = (fs::temp_directory_path() / "tackcloth-template-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = pattern;
  }
  void TearDown() override {
    if (!directory_.empty()) fs::remove_all(directory_);
  }
  void make(const ZoneTemplate& zone, Paper paper = Paper::a4) {
    auto made = template_pdf(zone, paper, Instant{});
    ASSERT_TRUE(made.has_value()) << made.error().what;
    made_ = std::move(*made);
    path_ = directory_ / "template.pdf";
    ASSERT_TRUE(write_file(path_, made_.pdf));
    pages_.clear();
    for (int page = 1; page <= made_.pages; ++page) pages_.emplace_back(path_, page);
    EXPECT_THAT(output_of_command("pdfinfo " + path_), HasSubstr("Pages:           " + std::to_string(made_.pages)));
  }
  std::string words(int page) const {
    const std::string number = std::to_string(page);
    return in_one_line(output_of_command("pdftotext -f " + number + " -l " + number + " -layout " + path_ + " -"));
  }

  // The check rules, whose lengths a person measures.
  void expect_rules() const {
    for (const DrawnPage& page : pages_) {
      const auto rules = page.strokes(kRule);
      ASSERT_EQ(rules.size(), 2u);
      EXPECT_NEAR(apart(rules[0].lines[0].front(), rules[0].lines[0].back()), 100, kTo);
      EXPECT_NEAR(apart(rules[1].lines[0].front(), rules[1].lines[0].back()), 4 * 25.4, kTo);
    }
  }

  // Centres of the four crosses of a sheet: left top, left bottom, right top, right bottom.
  static std::vector<At> marks(const DrawnPage& page) {
    std::vector<At> found;
    const auto strokes = page.strokes(kMark);
    EXPECT_EQ(strokes.size(), 1u);
    if (strokes.size() != 1 || strokes[0].lines.size() != 8) return {{}, {}, {}, {}};
    for (std::size_t i = 0; i < 8; i += 2) {
      const auto middle = [&](std::size_t k) {
        const auto& line = strokes[0].lines[k];
        return At{(line.front().x + line.back().x) / 2, (line.front().y + line.back().y) / 2};
      };
      EXPECT_LT(apart(middle(i), middle(i + 1)), 0.02);  // the two arms cross in their middles
      found.push_back(middle(i));
    }
    return found;
  }

  // What can be seen of the outline on all sheets, laid over each other at their crosses and nothing else: mm, y down,
  // from the left top cross of the first sheet.
  std::vector<At> laid_together() const {
    std::vector<At> seen;
    double at_edge = 1e9;
    std::vector<At> corner(pages_.size());
    for (int row = 0; row < made_.rows; ++row)
      for (int column = 0; column < made_.columns; ++column) {
        const auto n = static_cast<std::size_t>(row * made_.columns + column);
        At shift{};
        if (pages_.size() > 1) {
          const std::vector<At> own = marks(pages_[n]);
          if (n > 0) {
            // Its left top cross lies on the right top cross of the sheet to the left, or on the left bottom one of
            // the sheet above.
            const std::size_t other = column > 0 ? n - 1 : n - static_cast<std::size_t>(made_.columns);
            const std::vector<At> theirs = marks(pages_[other]);
            const At shared = theirs[column > 0 ? 2 : 1];
            corner[n] = {corner[other].x + shared.x - theirs[0].x, corner[other].y + shared.y - theirs[0].y};
          }
          shift = {corner[n].x - own[0].x, corner[n].y - own[0].y};
        }
        const auto strokes = pages_[n].strokes(kOutline);
        EXPECT_EQ(strokes.size(), 1u);
        for (const Stroke& stroke : strokes) {
          for (const auto& line : stroke.lines)
            for (std::size_t i = 1; i < line.size(); ++i) {
              const int steps = std::max(1, static_cast<int>(apart(line[i - 1], line[i]) / 0.5));
              for (int k = 0; k <= steps; ++k) {
                const At p{line[i - 1].x + (line[i].x - line[i - 1].x) * k / steps,
                           line[i - 1].y + (line[i].y - line[i - 1].y) * k / steps};
                if (p.x < stroke.low.x || p.x > stroke.high.x || p.y < stroke.low.y || p.y > stroke.high.y) continue;
                at_edge = std::min({at_edge, p.x, p.y, pages_[n].paper().x - p.x, pages_[n].paper().y - p.y});
                seen.push_back({p.x + shift.x, p.y + shift.y});
              }
            }
        }
      }
    EXPECT_GT(at_edge, 5);  // inside of what a printer can print
    return seen;
  }

  // Every drawn point lies on the zone's outline and all of the outline is drawn.
  void expect_outline(const shape::Region& region) {
    const std::vector<At> seen = laid_together();
    ASSERT_FALSE(seen.empty());
    shape::Box drawn{1e9, 1e9, -1e9, -1e9};
    for (const At& p : seen) {
      drawn.left = std::min(drawn.left, p.x);
      drawn.right = std::max(drawn.right, p.x);
      drawn.bottom = std::min(drawn.bottom, -p.y);
      drawn.top = std::max(drawn.top, -p.y);
    }
    const shape::Box box = shape::bounds(region);
    EXPECT_NEAR(drawn.width(), box.width(), kTo);
    EXPECT_NEAR(drawn.height(), box.height(), kTo);
    const auto on_face = [&](At p) {
      return shape::Point{p.x - drawn.left + box.left, -p.y - drawn.bottom + box.bottom};
    };
    double worst = 0;
    std::map<std::pair<int, int>, std::vector<shape::Point>> near;  // by squares of 4 mm
    for (const At& p : seen) {
      const shape::Point at = on_face(p);
      double least = 1e9;
      for (const shape::Outline& outline : region.outlines)
        for (const shape::Segment& s : shape::segments(outline)) {
          double away = 0;
          s.nearest(at, away);
          least = std::min(least, away);
        }
      worst = std::max(worst, least);
      near[{int(std::floor(at.x / 4)), int(std::floor(at.y / 4))}].push_back(at);
    }
    EXPECT_LT(worst, kTo);
    RecordProperty("worst_mm", std::to_string(worst));
    for (const shape::Outline& outline : region.outlines)
      for (const shape::Segment& s : shape::segments(outline)) {
        const int steps = std::max(1, static_cast<int>(s.length() / 2));
        for (int k = 0; k <= steps; ++k) {
          const shape::Point p = s.at(double(k) / steps);
          double least = 1e9;
          for (int dx = -1; dx <= 1; ++dx)
            for (int dy = -1; dy <= 1; ++dy)
              for (const shape::Point& q : near[{int(std::floor(p.x / 4)) + dx, int(std::floor(p.y / 4)) + dy}])
                least = std::min(least, shape::distance(p, q));
          ASSERT_LT(least, 1) << "nothing drawn at " << p.x << ", " << p.y;
        }
      }
  }

  fs::path directory_;
  std::string path_;
  TemplatePages made_;
  std::vector<DrawnPage> pages_;
};

TEST_F(Template, SmallHalfCircleFillsOnePageAndMeasuresBack) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    make(zone_of(shape::half_circle({340, 0}, 60, true)), paper);
    ASSERT_EQ(made_.pages, 1);
    EXPECT_NEAR(pages_[0].paper().x, paper == Paper::a4 ? 210 : 8.5 * 25.4, kTo);
    EXPECT_NEAR(pages_[0].paper().y, paper == Paper::a4 ? 297 : 11 * 25.4, kTo);
    expect_rules();
    EXPECT_TRUE(pages_[0].strokes(kMark).empty());
    expect_outline(shape::half_circle({340, 0}, 60, true));
    const Stroke arc = pages_[0].strokes(kOutline).at(0);
    EXPECT_TRUE(arc.curved);
    // Chord and radius by themselves, from the drawn curve alone: its ends, and three points far apart.
    const auto& line = arc.lines.at(0);
    EXPECT_NEAR(apart(line[0], line[1]), 120, kTo);
    const auto round = shape::circle_through({line[1].x, line[1].y}, {line[line.size() / 3].x, line[line.size() / 3].y},
                                             {line[line.size() * 2 / 3].x, line[line.size() * 2 / 3].y});
    ASSERT_TRUE(round);
    EXPECT_NEAR(round->radius_mm, 60, kTo);
  }
}

TEST_F(Template, AStencilsIslandsAreHeldAndItMeasuresBack) {
  const shape::Region ring = shape::subtract(shape::circle({340, 200}, 60), shape::circle({340, 200}, 35));
  const auto held = as_stencil(zone_of(ring), 4);
  ASSERT_TRUE(held.has_value());
  EXPECT_EQ(held->region.outlines.size(), 2u);  // two halves, each cut out by itself
  for (const shape::Outline& outline : held->region.outlines) EXPECT_GT(shape::area_mm2(outline), 0);
  make(*held);
  expect_rules();
  expect_outline(held->region);
  EXPECT_THAT(words(1), HasSubstr("stencil, 2 bridges"));
  EXPECT_FALSE(as_stencil(zone_of(ring), 0.1).has_value());
}

TEST_F(Template, SheetsLaidOverTheirCrossesGiveTheArc) {
  make(zone_of(shape::half_circle({340, 0}, 190, true)));
  EXPECT_EQ(made_.pages, 3);
  EXPECT_NEAR(made_.width_mm, 380, 1e-9);
  EXPECT_NEAR(made_.height_mm, 190, 1e-9);
  expect_rules();
  expect_outline(shape::half_circle({340, 0}, 190, true));
  // The middle sheet goes on for 5 mm past its crosses on both sides, as its neighbours do: 10 mm of overlap. Poppler
  // widens clips to its own grid.
  const std::vector<At> own = marks(pages_[1]);
  const Stroke outline = pages_[1].strokes(kOutline).at(0);
  EXPECT_NEAR(own[0].x - outline.low.x, 5, 0.3);
  EXPECT_NEAR(outline.high.x - own[2].x, 5, 0.3);
}

TEST_F(Template, SharedCrossesHaveTheSameNameAndDistance) {
  const auto arch = shape::arch({20, 0}, 640, 280, 120);
  make(zone_of(*arch));
  ASSERT_GT(made_.rows * made_.columns, 3);
  for (int row = 0; row < made_.rows; ++row)
    for (int column = 0; column < made_.columns; ++column) {
      const int n = row * made_.columns + column;
      const std::vector<At> own = marks(pages_[static_cast<std::size_t>(n)]);
      // The same distance from cross to cross on every sheet.
      const std::vector<At> first = marks(pages_[0]);
      EXPECT_NEAR(apart(own[0], own[2]), apart(first[0], first[2]), 0.02);
      EXPECT_NEAR(apart(own[0], own[1]), apart(first[0], first[1]), 0.02);
      const std::string text = words(n + 1);
      EXPECT_THAT(text, HasSubstr("Row " + std::to_string(row + 1) + " of " + std::to_string(made_.rows) + ", sheet " +
                                  std::to_string(n + 1) + " of " + std::to_string(made_.pages)));
      EXPECT_THAT(text, HasSubstr(std::string(1, char('A' + column)) + std::to_string(row + 1)));
      EXPECT_THAT(text, HasSubstr(std::string(1, char('B' + column)) + std::to_string(row + 2)));
      EXPECT_THAT(text, HasSubstr("Measure this before cutting"));
      EXPECT_THAT(text, HasSubstr("Walnut cabinet, case: sunrise"));
    }
  expect_rules();
  expect_outline(*arch);
}

TEST_F(Template, FormsOfManySheetsMeasureBack) {
  const shape::Region face = shape::rectangle({0, 0}, 700, 500);
  const std::vector<shape::Region> forms = {
      *shape::rounded_rectangle({30, 40}, 600, 420, 60),
      *shape::stripe(face, {350, 250}, 30, 40),
      *shape::border(face, 20, 12),
      shape::subtract(face, shape::circle({350, 250}, 170)),
      shape::symmetric(*shape::curved_polygon({{{60, 60}}, {{250, 60}, 30}, {{250, 400}, -45}, {{60, 400}}}),
                       shape::Mirror::left_right, {350, 250}),
  };
  Paper paper = Paper::letter;
  for (const shape::Region& form : forms) {
    paper = paper == Paper::a4 ? Paper::letter : Paper::a4;
    make(zone_of(form, 700, 500), paper);
    EXPECT_GT(made_.pages, 3);
    expect_rules();
    expect_outline(form);
  }
}

// A very flat arc: 1.2 m wide, 4 mm high, its centre 45 m away.
TEST_F(Template, FlatArcKeepsItsRise) {
  const auto flat = shape::arch({0, 0}, 1200, 30, 4);
  make(zone_of(*flat, 1200, 400));
  EXPECT_TRUE(made_.landscape);
  expect_outline(*flat);
}

TEST_F(Template, EdgesOfTheFaceAreDashedInTheirPlace) {
  make(zone_of(shape::half_circle({340, 0}, 60, true)));
  const auto edge = pages_[0].strokes(kFace);
  ASSERT_EQ(edge.size(), 1u);
  const std::vector<At> line = pages_[0].strokes(kOutline).at(0).lines.at(0);
  // The face's left bottom corner is 280 mm left of the half circle's left end, on its base line.
  At corner{1e9, -1e9};
  for (const At& p : edge[0].lines.at(0)) corner = {std::min(corner.x, p.x), std::max(corner.y, p.y)};
  EXPECT_NEAR(corner.y, line[0].y, kTo);
  EXPECT_NEAR(line[0].x - corner.x, 280, kTo);
}

TEST(TemplateRefusals, SaysWhyInWords) {
  const auto huge = template_pdf(zone_of(shape::rectangle({0, 0}, 20000, 3000), 20000, 3000), Paper::a4, Instant{});
  ASSERT_FALSE(huge.has_value());
  EXPECT_THAT(huge.error().what, HasSubstr("sheets"));
  EXPECT_THAT(huge.error().expected, HasSubstr("200"));
  EXPECT_FALSE(huge.error().remedy.empty());
  EXPECT_FALSE(template_pdf(zone_of({}), Paper::a4, Instant{}).has_value());
  EXPECT_FALSE(template_pdf(zone_of(shape::rectangle({0, 0}, 1e300, 1e300)), Paper::a4, Instant{}).has_value());
  EXPECT_FALSE(template_pdf(zone_of(shape::rectangle({0, 0}, std::nan(""), 10)), Paper::a4, Instant{}).has_value());
}

TEST(TemplateZone, IsFoundByItsIds) {
  const auto job = job::parse_job(tackcloth::testing::kSample, "job.toml", tackcloth::testing::small_catalog());
  ASSERT_TRUE(job.has_value());
  const auto sun = zone_template(*job, "cabinet/case/sun");
  ASSERT_TRUE(sun.has_value()) << sun.error().what;
  EXPECT_EQ(sun->piece, "Cabinet");
  EXPECT_EQ(sun->face, "front");
  EXPECT_EQ(sun->count, 2);
  EXPECT_NEAR(sun->area_m2, std::numbers::pi * 0.19 * 0.19 / 2, 1e-9);  // of one
  EXPECT_NEAR(sun->tape_mm, std::numbers::pi * 190, 1e-3);
  EXPECT_EQ(sun->system, units::System::us);
  EXPECT_NEAR(zone_template(*job, "cabinet/case/rest")->area_m2, 0.68 * 0.41 - std::numbers::pi * 0.19 * 0.19 / 2,
              1e-9);
  for (const char* wrong : {"", "cabinet", "cabinet/case", "cabinet/case/sun/x", "cabinett/case/sun", "cabinet/cse/sun",
                            "cabinet/case/sum", "cabinet/leg/tip", "//", "\xFF/\xFF/\xFF"}) {
    const auto refused = zone_template(*job, wrong);
    ASSERT_FALSE(refused.has_value()) << wrong;
    EXPECT_FALSE(refused.error().expected.empty());
    EXPECT_FALSE(refused.error().remedy.empty());
  }
  EXPECT_THAT(zone_template(*job, "cabinet/case/sum").error().remedy, HasSubstr("'sun'"));
  EXPECT_THAT(zone_template(*job, "cabinet/leg/tip").error().what, HasSubstr("around a part"));
}

}  // namespace
}  // namespace tackcloth::sheet
