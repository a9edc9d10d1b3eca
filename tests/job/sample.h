// A small job file and catalogue for the tests.
#pragma once

#include <string>

#include "catalog/catalog.h"
#include "job/job.h"

namespace tackcloth::testing {

inline catalog::Catalog small_catalog() {
  catalog::Catalog catalog;
  for (const char* id : {"oak", "walnut"}) {
    catalog::Species species;
    species.id = id;
    catalog.species.push_back(species);
  }
  catalog::Product varnish, tape;
  varnish.id = "varnish";
  tape.id = "tape";
  tape.unit = "piece";
  catalog.products = {varnish, tape};
  return catalog;
}

inline const std::string kSample = R"job(schema = 1
start = 2027-04-05T17:00

[shop]
name = "Bench"
units = "us"
currency = "EUR"
hourly_rate = "32.50"
overhead_percent = 12
profit_percent = 8.5
tax_percent = 20
weather_file = "w.csv"

[[shop.room]]
id = "bench"
volume_m3 = 46
air_changes_per_h = 0.7
fan_m3_h = 250
resting_places = 4
spray_places = 1
set_point = { temperature = "68 F", humidity = "50%", air_speed = "0.15 m/s" }

[[shop.room]]
id = "garage"
volume_m3 = 72
follows_outdoors = { time_constant_h = 9, gain_c = 4, heated_to = "5 C", dried_to = "60%" }

[[shop.person]]
id = "ann"
name = "Ann"
hours = { mon = ["17:30-21:30"], sat = ["13:30-18:00", "8:30-12:30"], sun = ["00:00-24:00"] }

[[shop.person.exception]]
day = 2027-04-17
hours = []

[[shelf]]
product = "varnish"
amount = "1 qt"
opened = 2026-11-02

[[shelf]]
product = "tape"
amount = 3

[[piece]]
id = "cabinet"
name = "Cabinet"
owner = "A. B."
year = 1936
origin = "attic"
room = "garage"
due = 2027-05-08
arrives = 2027-04-06
weight = 2
lead_test = "negative"
two_person_steps = ["carry"]
footprint = "0.4 m2"
resting_units = 2

[[piece.part]]
id = "case"
kind = "box"
count = 2
width = "68 cm"
height = "41 cm"
depth = "11 13/16 in"
substrate = { material = "veneer", species = "walnut", veneer = "0.6 mm" }
existing = "lacquer"
hidden_faces = ["bottom", "back"]
damage = ["scratches"]
has_wiring = true
old_glue = true
stubborn_finish = true
grimy = false
sand = false

[[piece.part.zone]]
id = "sun"
face = "front"
form = "half_circle"
center_x = "34 cm"
base_y = "0 cm"
radius = "19 cm"
opens = "up"
treatment = "paint"
color = "green"
coats = 2
wanted = ["varnish"]

[[piece.part.zone]]
id = "rest"
face = "front"
form = "rest"
treatment = "clear"
product = "varnish"

[[piece.part]]
id = "leg"
kind = "turned_leg"
count = 4
profile = [["0 cm", 30], [120, 30], [160, 18, 4], [700, 15]]
substrate = { material = "solid_wood", species = "oak" }

[[piece.part.zone]]
id = "tip"
face = "side"
form = "band"
from_foot = "0 cm"
height = "9 cm"
treatment = "paint"

[[piece.photo]]
id = "front"
file = "front.jpg"
part = "case"
face = "front"
corners = [[130, 170], [1490, 150], [1500, 880], [120, 900]]
color_now = "lab(45 18 30)"
sheen_now = "satin"

[[piece.look]]
id = "sage"
name = "Sage"

[[piece.look.zone]]
part = "case"
zone = "sun"
color = "lab(62 -12 6)"

[[piece.taken_off]]
id = "back"
name = "Back plate"
held_by = [{ what = "screw", count = 6, size = "3 x 12, slotted" }]
bag = "A1"
photo = "front.jpg"

[[piece.taken_off]]
id = "leg-a"
part = "leg"
under = ["back"]
through = ["case"]
fits = "case"
clearance = "0.4 mm"
cable = [{ name = "Ak1", from = "lamp", to = "switch, left" }]
ticked = ["on", "Ak1/to"]
)job";

// The sample with the first `from` replaced.
inline std::string changed(const std::string& from, const std::string& to) {
  std::string text = kSample;
  const auto at = text.find(from);
  return at == std::string::npos ? "the sample has no '" + from + "'" : text.replace(at, from.size(), to);
}

}  // namespace tackcloth::testing

namespace tackcloth::job {

inline Results<Job> read(const std::string& text) { return parse_job(text, "job.toml", testing::small_catalog()); }

}  // namespace tackcloth::job
