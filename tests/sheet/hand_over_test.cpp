// Care card, safety sheet and portfolio page read back with poppler.
#include "sheet/hand_over.h"

#include "pdf_reader.h"
#include "sample_plan.h"

namespace tackcloth::sheet {
namespace {

const Forms kForms{job::Numbers::comma_point, job::Dates::month_first, "USD"};

class HandOver : public PdfReader {
 protected:
  HandOver() {
    plan_.pieces[0].light_use = at(6, 8);
    plan_.pieces[0].full_use = at(20, 0);
  }
  static catalog::Catalog cans() {
    catalog::Catalog catalog;
    catalog::Product varnish, cleaner;
    varnish.id = "varnish";
    varnish.name = "Satin wiping varnish";
    varnish.hazards = {"Vapour burns.", "Skin dries out."};
    varnish.flash_point_c = 40;
    varnish.self_heating = true;
    cleaner.id = "cleaner";
    cleaner.name = "Mild wood cleaner";
    catalog.products = {cleaner, varnish};
    return catalog;
  }
  plan::Plan plan_ = sample_plan();
};

TEST_F(HandOver, CareCardIsOneHalfPage) {
  read(care_card_pdf(plan_, plan_.pieces[0], kForms, Paper::a4, at(0, 8)));
  EXPECT_EQ(pages(), 1);
  EXPECT_NE(info_.find("419.528 x 595.276"), std::string::npos) << info_;  // ISO 216 A5: 148 mm x 210 mm
  for (const char* expected :
       {"Care of your piece", "Hall table", "Satin wiping varnish, 3 coats, on top", "Light use from March 9, 2026",
        "Full use from March 22, 2026", "Dust with a soft dry cloth.", "Back Lane Workshop"})
    EXPECT_TRUE(says(expected)) << expected << " not in: " << words();
  read(care_card_pdf(plan_, plan_.pieces[0], kForms, Paper::letter, at(0, 8)));
  EXPECT_NE(info_.find("396 x 612"), std::string::npos) << info_;
}

// A moment in the day is told as the next day; midnight is that day.
TEST_F(HandOver, NothingIsCalledReadyEarly) {
  plan_.pieces[0].full_use = at(20, 0, 1);
  read(care_card_pdf(plan_, plan_.pieces[0], kForms, Paper::a4, at(0, 8)));
  EXPECT_TRUE(says("Full use from March 23, 2026")) << words();
}

TEST_F(HandOver, UnknownUseIsSaid) {
  plan_.pieces[0].full_use.reset();
  read(care_card_pdf(plan_, plan_.pieces[0], kForms, Paper::a4, at(0, 8)));
  EXPECT_TRUE(says("is not known: ask before anything is put on it")) << words();
}

TEST_F(HandOver, ALongCardStaysOnePage) {
  plan::PlannedPiece piece = long_piece(6);
  for (int i = 0; i < 30; ++i) {
    plan::PlannedStep step = piece.schedule[1];
    step.product = "varnish" + std::to_string(i);
    step.product_name = "Varnish with a rather long name number " + std::to_string(i);
    piece.schedule.push_back(step);
  }
  read(care_card_pdf(plan_, piece, kForms, Paper::letter, at(0, 8)));
  EXPECT_EQ(pages(), 1);
  EXPECT_TRUE(says("more finishes, see the job sheet")) << words();
  EXPECT_TRUE(says("Dust with a soft dry cloth.")) << words();
}

TEST_F(HandOver, SafetySheetNamesEveryCan) {
  read(safety_sheet_pdf(plan_, plan_.pieces[0], cans(), Paper::a4, at(0, 8)));
  EXPECT_EQ(pages(), 1);
  for (const char* expected :
       {"Safety sheet", "old finish may hold lead",
        "Satin wiping varnish: rags catch fire by themselves; Vapour burns; "
        "Skin dries out; flash point 40 °C",
        "Mild wood cleaner: no danger is known to the catalogue: read the can", "lidded metal can",
        "vapour of this piece was not computed", "Local codes and licensed practice decide."})
    EXPECT_TRUE(says(expected)) << expected << " not in: " << words();
  // The can that can start a fire by itself stands first.
  EXPECT_LT(words().find("Satin wiping varnish:"), words().find("Mild wood cleaner:"));
}

TEST_F(HandOver, SafetySheetRunsOnRatherThanCutADanger) {
  catalog::Catalog many = cans();
  for (int i = 0; i < 24; ++i) {
    catalog::Product can = many.products[0];
    can.id = "can" + std::to_string(i);
    can.name = "Can number " + std::to_string(i);
    can.hazards = {
        "Irritates skin and eyes, and what it is wiped off with stays wet for a day: gloves, goggles, a lidded metal "
        "can.",
        "Vapour burns and creeps along the floor: no flame, no spark, no heater, no smoking in the room or beside it."};
    many.products.push_back(can);
    plan::PlannedStep step = plan_.pieces[0].schedule.front();
    step.product = can.id;
    plan_.pieces[0].schedule.push_back(step);
  }
  read(safety_sheet_pdf(plan_, plan_.pieces[0], many, Paper::letter, at(0, 8)));
  EXPECT_GT(pages(), 1);
  // What is cut keeps its words in the text of the PDF; that something is cut is said beside it.
  EXPECT_FALSE(says("is cut: the rest stands")) << words();
  EXPECT_FALSE(says("goes on in the safety sheet")) << words();
  for (int i = 0; i < 24; ++i) EXPECT_TRUE(says("Can number " + std::to_string(i) + ":")) << i;
  EXPECT_TRUE(says("Poison centre")) << words();
}

TEST_F(HandOver, SafetySheetSaysTheAir) {
  plan_.pieces[0].air.worst_component = "white spirit";
  plan_.pieces[0].air.mixture_share = 1.4;
  plan_.pieces[0].air.fan_needed_m3_h = 180.2;
  plan_.pieces[0].air.reentry_h = 5;
  read(safety_sheet_pdf(plan_, plan_.pieces[0], cans(), Paper::letter, at(0, 8)));
  EXPECT_TRUE(says("white spirit, 1.4 of what may be breathed")) << words();
  EXPECT_TRUE(says("at least 181 m³/h")) << words();
  EXPECT_TRUE(says("again 5 h after the coat")) << words();
  plan_.pieces[0].air.reentry_h = plan_.pieces[0].air.fan_needed_m3_h = film::kNever;
  read(safety_sheet_pdf(plan_, plan_.pieces[0], cans(), Paper::letter, at(0, 8)));
  EXPECT_TRUE(says("No fan in this room is enough")) << words();
  EXPECT_TRUE(says("is not known")) << words();
}

TEST_F(HandOver, PortfolioShowsBothPictures) {
  Portfolio portfolio{"Back Lane Workshop", "Hall table", {"Sanding", "Clear finish"}};
  EXPECT_FALSE(portfolio_pdf(portfolio, Paper::a4, at(0, 8)).has_value());
  const picture::Image before(40, 30), after(60, 40);
  portfolio.before = &before;
  portfolio.after = &after;
  read(portfolio_pdf(portfolio, Paper::a4, at(0, 8)));
  EXPECT_EQ(pages(), 1);
  for (const char* expected : {"Hall table", "Before", "After", "Sanding. Clear finish."})
    EXPECT_TRUE(says(expected)) << expected << " not in: " << words();
  const std::string images = output_of_command("pdfimages -list " + path_);
  EXPECT_NE(images.find("40    30"), std::string::npos) << images;
  EXPECT_NE(images.find("60    40"), std::string::npos) << images;
}

}  // namespace
}  // namespace tackcloth::sheet
