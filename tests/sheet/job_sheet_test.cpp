// The PDF read back with poppler's tools: pages, sizes, words, type sizes.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "read_back.h"
#include "sample_plan.h"
#include "sheet/rows.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;

class JobSheet : public testing::Test {
 protected:
  void SetUp() override {
    if (output_of_command("command -v pdftotext").empty()) GTEST_SKIP() << "poppler-utils is not installed";
    std::string pattern = (fs::temp_directory_path() / "tackcloth-pdf-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = pattern;
  }
  void TearDown() override {
    if (!directory_.empty()) fs::remove_all(directory_);
  }
  void make(const plan::Plan& plan, Paper paper = Paper::a4) {
    const auto pdf = job_sheet_pdf(plan, paper, at(-1, 20));
    ASSERT_TRUE(pdf.has_value()) << pdf.error().what;
    path_ = directory_ / "sheet.pdf";
    ASSERT_TRUE(write_file(path_, *pdf));
    info_ = output_of_command("pdfinfo " + path_);
  }
  int pages() const { return pages_said(info_); }
  // Words of one page (or all), white space made single.
  std::string words(int page = 0) const {
    const std::string range = page ? "-f " + std::to_string(page) + " -l " + std::to_string(page) + " " : "";
    return in_one_line(output_of_command("pdftotext " + range + "-layout " + path_ + " -"));
  }
  fs::path directory_;
  std::string path_, info_;
};

TEST_F(JobSheet, ShowsWhatTheBenchNeeds) {
  make(sample_plan());
  EXPECT_NE(info_.find("Job sheet: Back Lane Workshop"), std::string::npos);  // metadata title
  EXPECT_LE(pages(), 3);                                                      // two a piece and the shopping page
  const std::string text = words();
  for (const char* expected : {"Hall table",
                               "For M. Example",
                               "Promised Wed 11 March",
                               "Do now: Wash with a mild cleaner",
                               "Lead",
                               "Rags",
                               "Solvents",
                               "Wiring",
                               "Sand P120, P220, P320",
                               "Satin wiping varnish",
                               "µm wet",
                               "likely",
                               "safe",
                               "A fingertip",
                               "Abrasive: P120, P220, P320",
                               "Care, to tell",
                               "thin",
                               "Hall table, page 1 of",
                               "Shopping and cautions",
                               "12.90",
                               "no pack sold"})
    EXPECT_NE(text.find(expected), std::string::npos) << expected << " not in: " << text;
}

TEST_F(JobSheet, PaperSizes) {
  make(sample_plan(), Paper::a4);  // ISO 216: 210 mm x 297 mm
  EXPECT_NE(info_.find("595.276 x 841.89"), std::string::npos) << info_;
  make(sample_plan(), Paper::letter);  // ANSI/ASME Y14.1 size A: 8.5 in x 11 in
  EXPECT_NE(info_.find("612 x 792"), std::string::npos) << info_;
}

TEST_F(JobSheet, NeverMoreThanTwoPagesAPieceAndNothingLeftOutInSilence) {
  for (const int coats : {6, 20, 40, 120}) {
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      plan::Plan plan = sample_plan();
      plan.pieces = {long_piece(coats)};
      make(plan, paper);
      ASSERT_EQ(pages(), 3) << coats;
      const std::string text = words();
      EXPECT_NE(text.find("Lead"), std::string::npos);
      int shown = 0;
      for (int i = 1; i <= coats; ++i)
        shown += text.find("Brush coat number " + std::to_string(i) + " ") != std::string::npos;
      const auto rows_out = matches(text, "(\\d+) rows of steps left out, see the app");
      // The coats are every second row; "do now" names the first step, which is a scuff.
      if (!rows_out.empty()) {
        EXPECT_NEAR(2 * (coats - shown), std::stoi(rows_out[0][1]), 1);
      } else {
        EXPECT_EQ(shown, coats);
      }
      if (coats >= 20) {
        EXPECT_FALSE(matches(text, "\\d+ notes? left out, see the app").empty());
      }
    }
  }
}

TEST_F(JobSheet, FortyStepsKeepAllTheirRows) {
  plan::Plan plan = sample_plan();
  plan.pieces = {long_piece(20)};
  make(plan);
  EXPECT_EQ(words().find("of steps left out"), std::string::npos);
}

// Every type size from poppler's XML: nothing under 11 pt.
TEST_F(JobSheet, BodyIsElevenPointOrMore) {
  plan::Plan plan = sample_plan();
  plan.pieces.push_back(long_piece(30));
  make(plan);
  // "-zoom 1" gives sizes in points.
  const std::string xml = output_of_command("pdftohtml -xml -i -zoom 1 -stdout " + path_);
  const auto sizes = matches(xml, "<fontspec id=\"\\d+\" size=\"(\\d+)\"");
  for (const auto& size : sizes) EXPECT_GE(std::stoi(size[1]), 11);
  EXPECT_FALSE(sizes.empty());
}

TEST_F(JobSheet, MustNotsAreNeverDropped) {
  plan::Plan plan = sample_plan();
  plan.pieces = {long_piece(40)};
  plan.findings.push_back({"lead-found", catalog::Severity::must_not, "Lead was found in the paint.",
                           "No sanding, no heat gun; a certified person takes it off.", "40 CFR 745", "P2", ""});
  make(plan);
  const std::string text = words(1);
  EXPECT_NE(text.find("Lead was found in the paint."), std::string::npos);
  EXPECT_NE(text.find("certified person"), std::string::npos);
}

TEST_F(JobSheet, ManyWarningsStillLeaveRoom) {
  plan::Plan plan = sample_plan();
  plan.pieces = {long_piece(10)};
  for (int i = 0; i < 320; ++i)
    plan.findings.push_back({"rule-" + std::to_string(i), catalog::Severity::must_not,
                             "Fault number " + std::to_string(i) + " of this plan, told in a rather long sentence.",
                             "Mend it.", "common practice, no source", i % 2 ? "P2" : "", ""});
  make(plan);
  EXPECT_EQ(pages(), 4);
  EXPECT_NE(words().find("more warnings, see the app"), std::string::npos);
  EXPECT_NE(words().find("cautions left out, see the app"), std::string::npos);
}

TEST_F(JobSheet, SaysWhereAWarningThatIsCutGoesOn) {
  plan::Plan plan = sample_plan();
  make(plan);
  EXPECT_EQ(words().find("goes on in the safety sheet"), std::string::npos);
  std::string reason;
  for (int i = 0; i < 40; ++i) reason += "Part " + std::to_string(i) + " of a long warning about this piece. ";
  for (int i = 0; i < 6; ++i)
    plan.findings.push_back({"rule-" + std::to_string(i), catalog::Severity::must_not, reason, "Mend it.",
                             "common practice, no source", plan.pieces[0].id, ""});
  make(plan);
  EXPECT_NE(words().find("goes on in the safety sheet"), std::string::npos) << words();
}

TEST_F(JobSheet, OddInputMakesAPage) {
  make({});
  EXPECT_EQ(pages(), 1);
  plan::Plan plan = sample_plan();
  plan.pieces[0].schedule.clear();
  plan.pieces[0].name = "broken \xff\xfe " + std::string(5000, 'W');
  plan.pieces[0].owner = std::string(5000, 'o');
  make(plan);
  EXPECT_LE(pages(), 3);
  EXPECT_NE(words().find("Do now: nothing."), std::string::npos);
}

TEST_F(JobSheet, SameInputSameWords) {
  make(sample_plan());
  const std::string first = words();
  make(sample_plan());
  EXPECT_EQ(words(), first);
}

TEST(Rows, SandingWithoutAWaitIsOneRow) {
  const auto rows = rows_of(sample_piece().schedule, units::System::metric);
  ASSERT_EQ(rows.size(), 6u);
  EXPECT_EQ(rows[1].what, "Sand P120, P220, P320, with the grain; dust off after each");
  EXPECT_EQ(rows[1].ids, "P1-02 to 05");
  EXPECT_EQ(rows[1].start, at(0, 14));
  EXPECT_EQ(rows[1].end, at(0, 15, 15));
  EXPECT_TRUE(rows[0].rests);
  EXPECT_FALSE(rows[1].rests);
}

TEST(Rows, AWaitPartsThem) {
  auto schedule = sample_piece().schedule;
  schedule[2].start += Minutes(40);
  schedule[2].end += Minutes(40);
  const auto rows = rows_of(schedule, units::System::metric);
  EXPECT_EQ(rows[1].what, "Sand P120, with the grain");
  schedule[1].done = true;
  EXPECT_TRUE(rows_of(schedule, units::System::metric)[1].done);
}

TEST(Rows, TheSameWorkOnTwoZonesIsOneRow) {
  Maker make;
  make.piece.id = "P3";
  make.coat("Brush the first coat", "varnish", at(0, 9), 20, 6, 9);
  make.coat("Brush the first coat", "varnish", at(0, 9, 20), 10, 6, 9.5).zones = "sides";
  const auto rows = rows_of(make.piece.schedule, units::System::metric);
  ASSERT_EQ(rows.size(), 1u);
  EXPECT_EQ(rows[0].ready_p90, after(at(0, 9, 30), 9.5));
  EXPECT_EQ(rows[0].end, at(0, 9, 30));
}

}  // namespace
}  // namespace tackcloth::sheet
