#include <algorithm>
#include <array>
#include <cctype>

#include "job/read.h"

namespace tackcloth::job {

namespace {

constexpr std::array<const char*, 7> kDays = {"sun", "mon", "tue", "wed", "thu", "fri", "sat"};
constexpr int kDayMin = 24 * 60;

// Minutes after midnight of "18:00" or "9:30"; -1 when it is none. "24:00" is the end of the day.
int clock_min(std::string_view text) {
  const auto colon = text.find(':');
  if (colon == std::string_view::npos || colon < 1 || colon > 2 || text.size() != colon + 3) return -1;
  int parts[2] = {0, 0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i == colon) continue;
    if (!std::isdigit(static_cast<unsigned char>(text[i]))) return -1;
    int& part = parts[i > colon ? 1 : 0];
    part = part * 10 + (text[i] - '0');
  }
  const int minutes = parts[0] * 60 + parts[1];
  return parts[1] < 60 && minutes <= kDayMin ? minutes : -1;
}

std::vector<DayHours> read_hours(reading::Table& table, std::string_view key) {
  std::vector<DayHours> hours;
  const std::string form = "hours within one day, as \"18:00-21:30\"";
  for (const std::string& text : table.texts(key)) {
    const auto dash = text.find('-');
    const std::string_view whole(text);
    const int from = dash == std::string::npos ? -1 : clock_min(whole.substr(0, dash));
    const int to = dash == std::string::npos ? -1 : clock_min(whole.substr(dash + 1));
    const std::string shown = "'" + text.substr(0, 40) + "'";
    if (from < 0 || to < 0) {
      table.problem(key, shown + " are no hours", form, "write them with a colon and a dash, up to 24:00");
    } else if (to <= from) {
      table.problem(key, shown + " ends before it starts", form,
                    "swap the two, or end at 24:00 and start the next day at 00:00");
    } else {
      hours.push_back({from, to});
    }
  }
  std::sort(hours.begin(), hours.end(), [](DayHours a, DayHours b) { return a.from_min < b.from_min; });
  for (std::size_t i = 1; i < hours.size(); ++i)
    if (hours[i].from_min < hours[i - 1].to_min) {
      table.problem(key, "two stretches of hours overlap", "stretches that follow each other", "join them into one");
      break;
    }
  return hours;
}

climate::Air read_set_point(reading::Table table) {
  climate::Air air;
  air.temp_c = table.need_quantity("temperature", units::parse_temperature_c, -30, 50,
                                   "a temperature from -30 to 50 °C, as \"20 C\" or \"68 F\"");
  air.rh = table.need_quantity("humidity", units::parse_fraction, 0.01, 1, "a humidity from 1 to 100 %, as \"50%\"");
  if (const auto speed = table.quantity("air_speed", units::parse_speed_m_s, 0, 10,
                                        "air past the work from 0 to 10 m/s, as \"0.1 m/s\""))
    air.speed_m_s = *speed;
  if (const auto pressure = table.quantity("pressure", units::parse_pressure_pa, 50000, 110000,
                                           "a pressure from 500 to 1100 hPa, as \"1013 hPa\""))
    air.pressure_pa = *pressure;
  table.finish();
  return air;
}

climate::RoomModel read_following(reading::Table table) {
  climate::RoomModel model;
  const std::string degrees = "a temperature from -30 to 50 °C, as \"20 C\" or \"68 F\"";
  model.time_constant_h = table.number("time_constant_h", 0.1, 1000).value_or(model.time_constant_h);
  model.gain_c = table.number("gain_c", -20, 30).value_or(model.gain_c);
  model.heated_to_c = table.quantity("heated_to", units::parse_temperature_c, -30, 50, degrees);
  model.cooled_to_c = table.quantity("cooled_to", units::parse_temperature_c, -30, 50, degrees);
  if (model.heated_to_c && model.cooled_to_c && *model.heated_to_c > *model.cooled_to_c)
    table.problem("cooled_to", "the room would be heated and cooled at once", "cooled_to above heated_to",
                  "swap the two");
  model.dried_to_rh =
      table.quantity("dried_to", units::parse_fraction, 0.05, 1, "a humidity from 5 to 100 %, as \"60%\"");
  if (const auto speed = table.quantity("air_speed", units::parse_speed_m_s, 0, 10,
                                        "air past the work from 0 to 10 m/s, as \"0.1 m/s\""))
    model.air_speed_m_s = *speed;
  table.finish();
  return model;
}

Room read_room(reading::Table table, std::vector<std::string>& ids) {
  Room room;
  room.id = read_id(table, "room", ids);
  room.volume_m3 = table.need_number("volume_m3", 1, 100000);
  room.air_changes_per_h = table.number("air_changes_per_h", 0, 100).value_or(room.air_changes_per_h);
  room.fan_m3_h = table.number("fan_m3_h", 0, 100000).value_or(0);
  room.resting_places = static_cast<int>(table.integer("resting_places", 0, 1000).value_or(room.resting_places));
  room.spray_places = static_cast<int>(table.integer("spray_places", 0, 1000).value_or(0));
  const bool set = table.has("set_point"), follows = table.has("follows_outdoors");
  if (auto point = table.table("set_point")) room.set_point = read_set_point(*point);
  if (auto follow = table.table("follows_outdoors")) room.follow = read_following(*follow);
  if (set == follows)
    table.problem(set ? "follows_outdoors" : "id",
                  set ? "the room has a set-point and follows outdoors" : "the air of this room is not described",
                  "either set_point or follows_outdoors",
                  set ? "take one of the two out"
                      : "add set_point = { temperature = \"20 C\", humidity = \"50%\" } or follows_outdoors = {}");
  table.finish();
  return room;
}

Person read_person(reading::Table table, std::vector<std::string>& ids) {
  Person person;
  person.id = read_id(table, "person", ids);
  person.name = read_line(table, "name", person.id);
  bool works = false;
  if (auto hours = table.table("hours")) {
    for (std::size_t day = 0; day < kDays.size(); ++day) {
      person.week[day] = read_hours(*hours, kDays[day]);
      works = works || hours->has(kDays[day]);
    }
    hours->finish();
  }
  for (reading::Table& row : table.tables("exception")) {
    const auto day = row.instant("day");
    if (!row.has("day")) row.problem("day", "'day' is missing here", "a date, 2026-03-04", "add day = 2026-03-04");
    Exception exception;
    if (!row.has("hours"))
      row.problem("hours", "'hours' is missing here", "the hours of that day", "add hours = [] for a day off");
    exception.hours = read_hours(row, "hours");
    works = works || row.has("hours");
    row.finish();
    if (!day) continue;
    exception.day = std::chrono::floor<std::chrono::days>(*day);
    const bool twice = std::any_of(person.exceptions.begin(), person.exceptions.end(),
                                   [&](const Exception& other) { return other.day == exception.day; });
    if (twice) row.problem("day", "there is an exception for this day already", "one exception a day", "join the two");
    person.exceptions.push_back(std::move(exception));
  }
  if (!works)
    table.problem("hours", "this person never works", "hours on at least one day",
                  "add hours = { sat = [\"09:00-12:00\"] }, or take the person out");
  table.finish();
  return person;
}

std::vector<climate::OutdoorDay> read_outdoors(const std::vector<reading::Table>& rows) {
  std::vector<climate::OutdoorDay> days;
  const std::string degrees = "a temperature from -60 to 60 °C, as \"4 C\" or \"39 F\"";
  for (reading::Table row : rows) {
    climate::OutdoorDay one;
    const auto day = row.instant("day");
    if (!row.has("day")) row.problem("day", "'day' is missing here", "a date, 2026-03-04", "add day = 2026-03-04");
    one.low_c = row.need_quantity("low", units::parse_temperature_c, -60, 60, degrees);
    one.high_c = row.need_quantity("high", units::parse_temperature_c, -60, 60, degrees);
    one.rh = row.need_quantity("humidity", units::parse_fraction, 0.01, 1, "a humidity from 1 to 100 %, as \"70%\"");
    if (row.has("low") && row.has("high") && one.low_c > one.high_c)
      row.problem("low", "the lowest temperature of that day is above its highest", "low of high or less",
                  "swap the two");
    row.finish();
    if (!day) continue;
    one.day = std::chrono::floor<std::chrono::days>(*day);
    const bool twice = std::any_of(days.begin(), days.end(), [&](const auto& other) { return other.day == one.day; });
    if (twice) row.problem("day", "this day's weather is told already", "each day once", "take one of the two out");
    days.push_back(one);
  }
  std::sort(days.begin(), days.end(), [](const auto& a, const auto& b) { return a.day < b.day; });
  return days;
}

}  // namespace

Shop read_shop(reading::Table table) {
  Shop shop;
  shop.name = read_line(table, "name", "");
  if (const auto system = table.choice("units", {"metric", "us"}))
    shop.system = *system == 1 ? units::System::us : units::System::metric;
  if (const auto currency = table.text("currency")) {
    const bool good = currency->size() == 3 &&
                      std::all_of(currency->begin(), currency->end(), [](char c) { return c >= 'A' && c <= 'Z'; });
    if (good)
      shop.currency = *currency;
    else
      table.problem("currency", "this is no currency", "three capital letters of ISO 4217, as \"USD\"",
                    "write the code, not the sign");
  }
  if (!table.has("hourly_rate")) {
    table.known("hourly_rate");
    table.problem("hourly_rate", "'hourly_rate' is missing here", "money an hour, as \"35.00\"",
                  "add hourly_rate = \"35.00\"");
  } else if (const auto rate = table.text("hourly_rate")) {
    const auto money = parse_money(*rate);
    if (!money)
      table.problem("hourly_rate", money.error().what, money.error().expected, money.error().remedy);
    else if (money->minor < 0 || money->minor > 100000000)
      table.problem("hourly_rate", "'hourly_rate' is " + to_text(*money), "money from 0 to 1000000.00 an hour",
                    "check the figure");
    else
      shop.hourly_rate = *money;
  }
  shop.overhead_percent = table.number("overhead_percent", 0, 1000).value_or(0);
  shop.profit_percent = table.number("profit_percent", 0, 1000).value_or(0);
  shop.tax_percent = table.number("tax_percent", 0, 100).value_or(0);
  shop.own_pace = table.boolean("own_pace").value_or(true);
  shop.weather_file = read_line(table, "weather_file", "");
  shop.outdoors = read_outdoors(table.tables("outdoors"));
  read_papers(table, shop);
  std::vector<std::string> rooms, people;
  for (const reading::Table& row : table.tables("room")) shop.rooms.push_back(read_room(row, rooms));
  for (const reading::Table& row : table.tables("person")) shop.people.push_back(read_person(row, people));
  if (shop.rooms.empty())
    table.problem("room", "the shop has no room", "one [[shop.room]] or more", "add [[shop.room]] with an id");
  if (shop.people.empty())
    table.problem("person", "nobody works in the shop", "one [[shop.person]] or more",
                  "add [[shop.person]] with an id and hours");
  table.finish();
  return shop;
}

ShelfItem read_shelf_item(reading::Table table, const Names& names) {
  ShelfItem item;
  item.product = table.need_text("product");
  check_name(table, "product", item.product, "product of the catalogue", names.products);
  const catalog::Product* product = names.catalog->product(item.product);
  const std::string unit = product ? product->unit : "l";
  constexpr double kMost = 1e5;
  if (!table.has("amount")) {
    table.known("amount");
    table.problem("amount", "'amount' is missing here", unit == "l" ? "a volume, as \"1 qt\"" : "a number",
                  "say how much is left");
  } else if (unit == "l") {
    item.amount =
        table.quantity("amount", units::parse_volume_l, 0, kMost, "a volume, as \"1 qt\" or \"750 ml\"").value_or(0);
  } else if (unit == "m" && table.is_text("amount")) {
    item.amount =
        table.quantity("amount", units::parse_length_mm, 0, kMost * 1000, "a length, as \"12 m\"").value_or(0) / 1000;
  } else if (unit == "m2" && table.is_text("amount")) {
    item.amount = table.quantity("amount", units::parse_area_m2, 0, kMost, "an area, as \"2 m2\"").value_or(0);
  } else {
    item.amount = table.number("amount", 0, kMost).value_or(0);
  }
  item.bought = table.instant("bought");
  item.opened = table.instant("opened");
  if (item.bought && item.opened && *item.opened < *item.bought)
    table.problem("opened", "opened before it was bought", "a day not before 'bought'", "mend one of the two");
  table.finish();
  return item;
}

}  // namespace tackcloth::job
