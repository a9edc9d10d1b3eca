// Random but sound jobs, repeatable by seed.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "job/job.h"
#include "world.h"

namespace tackcloth::testing {

class JobMaker {
 public:
  explicit JobMaker(std::uint64_t seed) : random_(seed) {}

  job::Job make(int most_pieces) {
    job::Job job;
    job.file = "generated";
    job.start = *parse_instant("2026-03-02T08:00");
    job.shop.name = "Generated";
    job.shop.hourly_rate = {3500};
    job.shop.overhead_percent = pick(0, 20);
    job.shop.tax_percent = pick(0, 21);
    job::Room room;
    room.id = "bench";
    room.volume_m3 = 30 + pick(0, 60);
    room.resting_places = 2 + pick(0, 2);
    room.spray_places = pick(0, 1);
    room.set_point = climate::Air{15.0 + pick(0, 10), 0.35 + 0.05 * pick(0, 6), 101325, 0.1};
    job.shop.rooms.push_back(room);
    const int people = 1 + pick(0, 1);
    for (int p = 0; p < people; ++p) {
      job::Person person;
      person.id = p == 0 ? "first" : "helper";
      for (int day = 0; day < 7; ++day) {
        if (p > 0 && day != 6 && day != 0) continue;
        if (day == 0 && pick(0, 1) == 0 && p == 0) continue;
        const int from = (p == 0 && day > 0 && day < 6) ? 17 * 60 + 30 : 9 * 60;
        person.week[day].push_back({from, from + 180 + 30 * pick(0, 6)});
      }
      job.shop.people.push_back(std::move(person));
    }
    const int pieces = 1 + pick(0, most_pieces - 1);
    for (int i = 0; i < pieces; ++i) job.pieces.push_back(make_piece("piece" + std::to_string(i + 1), people));
    return job;
  }

 private:
  int pick(int low, int high) { return std::uniform_int_distribution<int>(low, high)(random_); }
  template <class T>
  const T& one_of(const std::vector<T>& from) {
    return from[static_cast<std::size_t>(pick(0, static_cast<int>(from.size()) - 1))];
  }

  job::PieceOrder make_piece(const std::string& id, int people) {
    job::PieceOrder order;
    order.room = "bench";
    order.piece.id = id;
    order.piece.name = "Piece " + id;
    if (pick(0, 2) > 0) order.piece.year = 1930 + pick(0, 90);
    if (pick(0, 3) == 0) order.piece.lead_test_negative = true;
    if (pick(0, 1) == 0) order.due = *parse_instant("2026-03-10") + std::chrono::hours(24 * pick(0, 40));
    if (people > 1 && pick(0, 2) == 0) order.piece.two_person_steps = {"put_back"};
    const int parts = 1 + pick(0, 2);
    for (int p = 0; p < parts; ++p) order.piece.parts.push_back(make_part("part" + std::to_string(p + 1)));
    auto measured = piece::measure(order.piece);
    EXPECT_TRUE(measured.has_value()) << (measured ? "" : to_text(measured.error().front()));
    if (measured) order.piece = std::move(*measured);
    return order;
  }

  piece::Part make_part(const std::string& id) {
    using piece::Existing;
    using piece::Treatment;
    piece::Part part;
    part.id = id;
    part.kind = piece::PartKind::panel;
    part.width_mm = 300 + pick(0, 1200);
    part.height_mm = 200 + pick(0, 800);
    part.depth_mm = 18;
    part.substrate.material = pick(0, 1) ? piece::Material::solid_wood : piece::Material::veneer;
    if (part.substrate.material == piece::Material::veneer && pick(0, 1)) part.substrate.veneer_um = 200 + pick(0, 800);
    part.substrate.species = one_of(real_world().catalog.species).id;
    part.existing = one_of(std::vector<Existing>{Existing::bare, Existing::unknown, Existing::shellac,
                                                 Existing::lacquer, Existing::varnish, Existing::oil, Existing::wax,
                                                 Existing::paint_oil, Existing::paint_water});
    part.grimy = pick(0, 1) == 0;
    part.stubborn_finish = pick(0, 4) == 0;
    piece::Zone zone;
    zone.id = "z";
    zone.face = "front";
    zone.treatment = one_of(std::vector<Treatment>{Treatment::clear, Treatment::stain_and_clear, Treatment::paint,
                                                   Treatment::oil, Treatment::wax});
    if (pick(0, 2) == 0) {
      // A circle in one finish, what remains in another.
      piece::Zone round = zone;
      round.id = "round";
      round.form = piece::ZoneForm::circle;
      round.region = shape::circle({part.width_mm / 2, part.height_mm / 2}, 80);
      round.treatment = Treatment::paint;
      round.color = "light";
      zone.form = piece::ZoneForm::rest;
      zone.id = "rest";
      part.zones.push_back(round);
    }
    part.zones.push_back(zone);
    return part;
  }

  std::mt19937_64 random_;
};

}  // namespace tackcloth::testing
