// Planted faults: each must be found, placed and explained; a sound catalogue must load.
#include <gmock/gmock.h>

#include "support.h"

namespace tackcloth::catalog {
namespace {

using testing::HasSubstr;

const char* const kComponents = R"([[component]]
id = "water"
name = "Water"
molar_mass_g = 18.015
density_kg_l = 0.998
antoine_a = 7.99
antoine_b = 1687.5
antoine_c = 230.2
latent_kj_kg = 2442.0
diffusivity_air_m2_s = 2.5e-5
lel_percent = 0.0
twa_ppm = 0.0
stel_ppm = 0.0
limit_source = "none set"
marks = { default = "from memory" }
)";
const char* const kSpecies = R"([[species]]
id = "oak"
name = "Oak"
open_pored = true
tannin = true
specific_gravity = 0.6
tangential_per_percent = 0.0037
radial_per_percent = 0.0016
marks = { default = "from memory" }
)";
const char* const kAbrasives = R"([[abrasive]]
grit = 120
median_um = 125.0
removal_um = 30.0
m2_per_sheet = 0.8
minutes_per_m2 = 16.0
price_per_sheet = "1.20"
marks = { default = "common practice", price_per_sheet = "demo" }
)";
const char* const kPaces = R"([[pace]]
id = "wash"
minutes_fixed = 5.0
minutes_per_m2 = 6.0
minutes_per_m = 0.0
mark = "common practice"
)";
const char* const kLeavings = R"([[leaving]]
id = "brush"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "pad"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "roller"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "wiping_cloth"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "spray_gun"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "aerosol"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "scraper"
litres = 0.02
mark = "common practice"
[[leaving]]
id = "by_hand"
litres = 0.0
mark = "common practice"
[[leaving]]
id = "can"
share = 0.03
mark = "common practice"
)";
const char* const kProducts = R"([[product]]
id = "paint"
name = "Paint"
kind = "paint"
binder = "acrylic"
carrier = "water"
cure = "coalescence"
density_kg_l = 1.27
solids_mass_fraction = 0.5
solids_volume_fraction = 0.364
volatiles = { water = 0.5 }
coats_usual = 2
min_temp_c = 10.0
max_temp_c = 30.0
max_rh = 0.8
rate_sigma_log = 0.25
self_heating = false
ready_by_hand = "Sands to powder."
bench_notes = ["Thin coats."]
packs = [{ amount = 1.0, price = "29.00" }]

[product.label]
wet_um = 90.0
touch_h = 1.0
scuff_h = 4.0
recoat_h = 4.0
recoat_max_h = 48.0
recoat_other_h = 72.0
handle_h = 24.0
use_h = 500.0

[[product.applications]]
method = "brush"
wet_um = 90.0
transfer = 0.95
minutes_per_m2 = 12.0

[product.marks]
default = "from memory"
label = "common practice"
"label.recoat_h" = "source: a label"
packs = "demo"
)";

std::string with(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos) {
    ADD_FAILURE() << "nothing to replace: " << from;
    return text;
  }
  return text.replace(at, from.size(), to);
}

class Loader : public testing::Test {
 protected:
  Loader() { sound(); }
  void sound() {
    scratch_.write("components.toml", kComponents);
    scratch_.write("species.toml", kSpecies);
    scratch_.write("abrasives.toml", kAbrasives);
    scratch_.write("paces.toml", kPaces);
    scratch_.write("leavings.toml", kLeavings);
    scratch_.write("products/paint.toml", kProducts);
  }
  Results<Catalog> load() { return load_catalog(scratch_.path()); }
  // Problems after one replacement in one file.
  std::string fault(const std::string& file, const char* text, const std::string& from, const std::string& to) {
    sound();
    scratch_.write(file, with(text, from, to));
    auto loaded = load();
    EXPECT_FALSE(loaded) << "loaded in spite of: " << to;
    if (loaded) return "";
    for (const auto& problem : loaded.error()) {
      EXPECT_FALSE(problem.what.empty());
      EXPECT_FALSE(problem.expected.empty()) << problem.what;
      EXPECT_FALSE(problem.remedy.empty()) << problem.what;
      EXPECT_THAT(problem.file, HasSubstr(file.substr(file.find('/') + 1)));
      EXPECT_GT(problem.line, 0) << problem.what;
    }
    return test::all_text(loaded.error());
  }
  std::string product_fault(const std::string& from, const std::string& to) {
    return fault("products/paint.toml", kProducts, from, to);
  }
  test::Scratch scratch_;
};

TEST_F(Loader, LoadsASoundCatalogue) {
  auto loaded = load();
  ASSERT_TRUE(loaded) << test::all_text(loaded.error());
  const Product* p = loaded->product("paint");
  ASSERT_NE(p, nullptr);
  EXPECT_EQ(p->kind, Kind::paint);
  EXPECT_EQ(p->binder, Binder::acrylic);
  EXPECT_EQ(p->carrier, Carrier::water);
  EXPECT_EQ(p->cure, Cure::coalescence);
  EXPECT_EQ(p->label.recoat_max_h, 48);
  EXPECT_EQ(p->label.temp_c, 21);  // the label's own conditions when it does not say
  EXPECT_EQ(p->packs.at(0).price.minor, 2900);
  EXPECT_EQ(p->applications.at(0).method, Method::brush);
  EXPECT_EQ(p->marks.at("label.recoat_h").origin, Origin::source);
  EXPECT_EQ(p->marks.at("label.recoat_h").note, "a label");
  EXPECT_EQ(p->marks.at("label.touch_h").origin, Origin::common_practice);
  EXPECT_EQ(p->marks.at("density_kg_l").origin, Origin::from_memory);
  EXPECT_EQ(p->marks.at("packs").origin, Origin::demo);
  EXPECT_EQ(loaded->abrasive(120)->marks.at("price_per_sheet").origin, Origin::demo);
  EXPECT_EQ(loaded->left_in_tool_l(Method::brush), 0.02);
  EXPECT_EQ(loaded->left_in_can(), 0.03);
}

TEST_F(Loader, EveryWayOfPuttingOnSaysWhatItLeavesBehind) {
  EXPECT_THAT(fault("leavings.toml", kLeavings, "id = \"pad\"", "id = \"paad\""), HasSubstr("no 'pad'"));
  EXPECT_THAT(fault("leavings.toml", kLeavings, "id = \"can\"", "id = \"tin\""), HasSubstr("litres"));
}

TEST_F(Loader, UnknownKeyIsNamedWithASuggestion) {
  const auto text = product_fault("coats_usual = 2", "coats_usal = 2\ncoats_usual = 2");
  EXPECT_THAT(text, HasSubstr("coats_usal"));
  EXPECT_THAT(text, HasSubstr("'coats_usual'"));
}

TEST_F(Loader, UnknownKeyInALabelAndAtTheTop) {
  EXPECT_THAT(product_fault("touch_h = 1.0", "touch_h = 1.0\ntuch_h = 1.0"), HasSubstr("tuch_h"));
  EXPECT_THAT(product_fault("[[product]]", "[[produkt]]\nid = \"x\"\n[[product]]"), HasSubstr("produkt"));
}

TEST_F(Loader, MissingMarkIsNamed) {
  const auto text = product_fault("default = \"from memory\"\n", "");
  EXPECT_THAT(text, HasSubstr("does not say where these values come from"));
  EXPECT_THAT(text, HasSubstr("density_kg_l"));
  EXPECT_THAT(text, testing::Not(HasSubstr("label.touch_h")));  // its group has one
}

TEST_F(Loader, MissingMarksTableIsReported) {
  EXPECT_THAT(fault("species.toml", kSpecies, "marks = { default = \"from memory\" }", ""),
              HasSubstr("specific_gravity"));
}

TEST_F(Loader, MarkForNoValueIsReported) {
  const auto text = product_fault("\"label.recoat_h\" =", "\"label.recoat\" =");
  EXPECT_THAT(text, HasSubstr("'label.recoat'"));
  EXPECT_THAT(text, HasSubstr("'label.recoat_h'"));
}

TEST_F(Loader, MarkThatSaysNothingIsReported) {
  EXPECT_THAT(product_fault("\"source: a label\"", "\"source:\""), HasSubstr("does not say where"));
  EXPECT_THAT(product_fault("\"source: a label\"", "\"trust me\""), HasSubstr("trust me"));
  EXPECT_THAT(fault("paces.toml", kPaces, "\"common practice\"", "\"\""), HasSubstr("does not say where"));
  EXPECT_THAT(fault("leavings.toml", kLeavings, "\"common practice\"", "\"\""), HasSubstr("does not say where"));
}

TEST_F(Loader, MassesThatDoNotClose) {
  const auto text = product_fault("water = 0.5 ", "water = 0.6 ");
  EXPECT_THAT(text, HasSubstr("sum to 1.1"));
  scratch_.write("products/paint.toml", with(kProducts, "water = 0.5 ", "water = 0.504 "));
  EXPECT_TRUE(load());  // rounding
}

TEST_F(Loader, VolumesThatDoNotClose) {
  EXPECT_THAT(product_fault("density_kg_l = 1.27", "density_kg_l = 1.05"),
              HasSubstr("volumes of 'paint' do not close"));
  EXPECT_THAT(product_fault("solids_volume_fraction = 0.364", "solids_volume_fraction = 0.5"),
              HasSubstr("do not close"));
}

TEST_F(Loader, NumbersOutOfRange) {
  EXPECT_THAT(product_fault("transfer = 0.95", "transfer = 1.5"), HasSubstr("transfer"));
  EXPECT_THAT(product_fault("touch_h = 1.0", "touch_h = -1.0"), HasSubstr("touch_h"));
  EXPECT_THAT(product_fault("density_kg_l = 1.27", "density_kg_l = nan"), HasSubstr("density_kg_l"));
  EXPECT_THAT(product_fault("density_kg_l = 1.27", "density_kg_l = inf"), HasSubstr("density_kg_l"));
  EXPECT_THAT(product_fault("coats_usual = 2", "coats_usual = 0"), HasSubstr("coats_usual"));
  EXPECT_THAT(fault("abrasives.toml", kAbrasives, "grit = 120", "grit = 0"), HasSubstr("grit"));
  EXPECT_THAT(fault("components.toml", kComponents, "antoine_c = 230.2", "antoine_c = -20.0"), HasSubstr("antoine_c"));
}

TEST_F(Loader, ASprayCanNamesItsGas) {
  EXPECT_THAT(product_fault("method = \"brush\"", "method = \"aerosol\""), HasSubstr("what drives it"));
  const std::string can = with(kProducts, "method = \"brush\"", "method = \"aerosol\"");
  const auto driven = [&](const std::string& gas) {
    return with(can, "coats_usual = 2", "propellant = " + gas + "\ncoats_usual = 2");
  };
  scratch_.write("products/paint.toml", driven("{ component = \"water\", mass_fraction = 0.3 }"));
  const auto loaded = load();
  ASSERT_TRUE(loaded) << test::all_text(loaded.error());
  EXPECT_EQ(loaded->product("paint")->propellant->component, "water");
  EXPECT_EQ(loaded->product("paint")->propellant->mass_fraction, 0.3);
  for (const char* bad : {"{ component = \"laughing\", mass_fraction = 0.3 }", "{ component = \"water\" }",
                          "{ component = \"water\", mass_fraction = 1.2 }", "\"air\""}) {
    scratch_.write("products/paint.toml", driven(bad));
    EXPECT_FALSE(load()) << bad;
  }
}

TEST_F(Loader, TimesOutOfOrder) {
  EXPECT_THAT(product_fault("recoat_h = 4.0", "recoat_h = 0.5"), HasSubstr("recoat_h"));
  EXPECT_THAT(product_fault("recoat_max_h = 48.0", "recoat_max_h = 2.0"), HasSubstr("recoat_max_h"));
  EXPECT_THAT(product_fault("use_h = 500.0", "use_h = 5.0"), HasSubstr("use_h"));
  EXPECT_THAT(product_fault("max_temp_c = 30.0", "max_temp_c = 8.0"), HasSubstr("max_temp_c"));
}

TEST_F(Loader, WrongWordsGetTheNearest) {
  EXPECT_THAT(product_fault("binder = \"acrylic\"", "binder = \"acrilic\""), HasSubstr("acrylic"));
  EXPECT_THAT(product_fault("method = \"brush\"", "method = \"bruch\""), HasSubstr("brush"));
  EXPECT_THAT(product_fault("{ water = 0.5 }", "{ watr = 0.5 }"), HasSubstr("'water'"));
  EXPECT_THAT(product_fault("id = \"paint\"", "id = \"Paint 1\""), HasSubstr("not an id"));
}

TEST_F(Loader, AMisspeltKindIsOneProblem) {
  scratch_.write("products/paint.toml", with(kProducts, "kind = \"paint\"", "kind = \"piant\""));
  const auto loaded = load();
  ASSERT_FALSE(loaded);
  EXPECT_EQ(loaded.error().size(), 1u) << test::all_text(loaded.error());
}

TEST_F(Loader, MissingParts) {
  EXPECT_THAT(product_fault("kind = \"paint\"\n", ""), HasSubstr("kind"));
  EXPECT_THAT(product_fault("ready_by_hand = \"Sands to powder.\"\n", ""), HasSubstr("how a hand tells"));
  EXPECT_THAT(product_fault("self_heating = false\n", ""), HasSubstr("rags"));
  EXPECT_THAT(product_fault("solids_mass_fraction = 0.5\n", ""), HasSubstr("solids_mass_fraction"));
  EXPECT_THAT(product_fault("\"29.00\"", "\"$29\""), HasSubstr("price"));
  EXPECT_THAT(fault("abrasives.toml", kAbrasives, "grit = 120\n", ""), HasSubstr("grit"));
}

TEST_F(Loader, FilmWithoutLabelOrApplication) {
  std::string text = kProducts;
  const auto from = text.find("[product.label]");
  text.erase(from, text.find("[product.marks]") - from);
  scratch_.write("products/paint.toml", with(with(text, "label = \"common practice\"\n", ""),
                                             "\"label.recoat_h\" = \"source: a label\"\n", ""));
  const auto loaded = load();
  ASSERT_FALSE(loaded);
  EXPECT_THAT(test::all_text(loaded.error()), HasSubstr("has no label"));
  EXPECT_THAT(test::all_text(loaded.error()), HasSubstr("no way to put it on"));
}

TEST_F(Loader, LabelOfACleanerIsRefused) {
  EXPECT_THAT(product_fault("kind = \"paint\"", "kind = \"cleaner\""), HasSubstr("never read"));
}

TEST_F(Loader, IdsTwice) {
  scratch_.write("products/second.toml", kProducts);
  auto loaded = load();
  ASSERT_FALSE(loaded);
  EXPECT_THAT(test::all_text(loaded.error()), HasSubstr("product 'paint' is there twice"));
  sound();
  scratch_.write("products/second.toml", with(kProducts, "\"paint\"", "\"other\""));
  scratch_.write("abrasives.toml", std::string(kAbrasives) + kAbrasives);
  loaded = load();
  ASSERT_FALSE(loaded);
  EXPECT_THAT(test::all_text(loaded.error()), HasSubstr("P120 is there twice"));
}

TEST_F(Loader, AllFaultsAtOnce) {
  scratch_.write("species.toml", with(kSpecies, "specific_gravity = 0.6", "specific_gravity = 60.0"));
  scratch_.write("paces.toml", with(kPaces, "minutes_fixed = 5.0", "minutes_fixed = -5.0"));
  scratch_.write("products/paint.toml",
                 with(with(kProducts, "transfer = 0.95", "transfer = 0.0"), "max_rh = 0.8", "max_rh = 80.0"));
  const auto loaded = load();
  ASSERT_FALSE(loaded);
  const auto text = test::all_text(loaded.error());
  for (const char* name : {"specific_gravity", "minutes_fixed", "transfer", "max_rh"})
    EXPECT_THAT(text, HasSubstr(name));
}

TEST_F(Loader, BrokenFilesGiveProblemsNotCrashes) {
  for (const std::string& text :
       {std::string(), std::string("[[product]"), std::string("[[product]]\nid = 3\n"), std::string("product = 7\n"),
        std::string("\xff\xfe"), std::string("a\0b", 3),
        std::string("[[product]]\nid = \"x\"\nmarks = 3\nlabel = []\nvolatiles = \"a\"\npacks = [1]\n")}) {
    sound();
    scratch_.write("products/paint.toml", text);
    const auto loaded = load();
    ASSERT_FALSE(loaded);
    EXPECT_FALSE(loaded.error().empty());
  }
}

TEST_F(Loader, CutOffFilesGiveProblemsNotCrashes) {
  const std::string whole = kProducts;
  for (std::size_t length = 0; length < whole.find("[product.marks]"); length += 11) {
    scratch_.write("products/paint.toml", whole.substr(0, length));
    EXPECT_FALSE(load()) << length;
  }
}

TEST_F(Loader, MissingFilesAndDirectory) {
  EXPECT_FALSE(load_catalog(scratch_.path() + "/nowhere"));
  std::filesystem::remove(scratch_.path() + "/species.toml");
  const auto loaded = load();
  ASSERT_FALSE(loaded);
  EXPECT_THAT(test::all_text(loaded.error()), HasSubstr("species.toml"));
  sound();
  std::filesystem::remove_all(scratch_.path() + "/products");
  const auto empty = load();
  ASSERT_FALSE(empty);
  EXPECT_THAT(test::all_text(empty.error()), HasSubstr("no products"));
}

TEST_F(Loader, OneProductsFileWillDo) {
  std::filesystem::remove_all(scratch_.path() + "/products");
  scratch_.write("products.toml", kProducts);
  const auto loaded = load();
  ASSERT_TRUE(loaded) << test::all_text(loaded.error());
  EXPECT_NE(loaded->product("paint"), nullptr);
}

}  // namespace
}  // namespace tackcloth::catalog
