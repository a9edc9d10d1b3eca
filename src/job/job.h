// The job file: the shop, what is on the shelf, and the pieces. TOML, schema in docs/job.schema.json.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "climate/air.h"
#include "climate/days.h"
#include "climate/room.h"
#include "cutting/order.h"
#include "materials/offer.h"
#include "piece/apart.h"
#include "piece/piece.h"
#include "units/money.h"
#include "units/quantity.h"
#include "units/time.h"

namespace tackcloth::job {

inline constexpr int kSchemaVersion = 1;

struct DayHours {
  int from_min = 0, to_min = 0;  // minutes after midnight
};

struct Exception {
  std::chrono::local_days day;
  std::vector<DayHours> hours;  // empty: closed
};

struct Person {
  std::string id, name;
  std::vector<DayHours> week[7];  // 0 = Sunday (std::chrono::weekday::c_encoding)
  std::vector<Exception> exceptions;
};

// One room of the shop with its own air. "garage" may be unheated while "bench" is heated.
struct Room {
  std::string id;
  double volume_m3 = 40;
  double air_changes_per_h = 0.5;         // doors shut
  double fan_m3_h = 0;                    // extract fan while coating
  std::optional<climate::Air> set_point;  // constant air; otherwise follows outdoors:
  climate::RoomModel follow;
  int resting_places = 2;
  int spray_places = 0;
};

struct ShelfItem {
  std::string product;
  double amount = 0;                      // litres or pieces
  std::optional<Instant> bought, opened;  // bought: nothing when only the can knows
};

// How numbers and dates stand on papers for the owner.
enum class Numbers { comma_point, point_comma, space_comma, space_point };  // 1,234.50  1.234,50  1 234,50  1 234.50
enum class Dates { day_first, month_first, year_first };  // 4 March 2027, March 4, 2027, 2027-03-04 (ISO 8601)

struct Shop {
  std::string name;
  std::vector<std::string> address;  // lines; empty: a line to fill in
  std::string tax_number;
  Numbers numbers = Numbers::space_point;  // left out: as `system` has it
  Dates dates = Dates::day_first;
  std::vector<materials::Fee> waste_fees;  // on every piece
  materials::Deposit deposit;
  std::vector<std::string> not_included;  // lines of a quote
  units::System system = units::System::metric;
  std::string currency = "USD";               // ISO 4217
  std::vector<Room> rooms;                    // at least one
  std::vector<Person> people;                 // at least one
  std::string weather_file;                   // EPW, relative to the job file; may be empty
  std::vector<climate::OutdoorDay> outdoors;  // by day; goes before the file
  Money hourly_rate;
  double overhead_percent = 0, tax_percent = 0, profit_percent = 0;
  bool own_pace = true;  // plan at the pace the log has taught, not at the table's
};

// A photo of the piece, for the record; or of one flat face of it, to show looks on. Its corners, in pixels of the
// upright picture from its left top, go with the face's left top, right top, right bottom and left bottom.
struct Photo {
  std::string id, file, part, face;  // file: relative to the job file
  std::vector<double> corners;       // x, y four times
  std::string color_now;             // of the surface as it is, measured; empty: judged from the picture
  std::string sheen_now;             // "matt", "satin", "gloss"; empty: not said
  std::string lies_in_it;       // "grey_card" or "chart" beside the piece, to put the light right by; empty: neither
  std::vector<double> card_at;  // x, y of a place on that card, in pixels; empty: looked for
  int line = 0, column = 0;
};

// The cloth for a zone with treatment fabric: a picture of exactly one repeat of its pattern.
struct Swatch {
  std::string part, zone;
  std::string source;    // a file relative to the job file, or a data URL (RFC 2397) of a JPEG or PNG
  double repeat_mm = 0;  // width of the repeat
  int line = 0, column = 0;
};

// One way the piece could look: what changes in some of its zones. An empty word or no number leaves the zone's own.
struct LookZone {
  std::string part, zone, treatment, product, color;
  int line = 0, column = 0;
};
struct Look {
  std::string id, name;
  std::vector<LookZone> zones;
};

inline constexpr std::size_t kMostLooks = 12;

// What a zone is cut from, where it says so: the id of a [[cut]].
struct ZoneCut {
  std::string part, zone, cut;
  int line = 0, column = 0;
};

// Cloth, boards or veneer with what is cut from it: its own parts, and the zones of the pieces that are cut from it.
struct CutFrom {
  std::string id, name;
  cutting::Order order;
  std::vector<std::string> pieces;  // id by part of the order; empty: of no piece
  std::optional<Money> price;       // of a metre (a yard where the shop measures so), or of a sheet
};

struct PieceOrder {
  piece::Piece piece;
  std::vector<Photo> photos;
  std::vector<Look> looks;  // at most kMostLooks
  std::string chosen_look;  // the one the owner chose; a record: what is done stands in the zones
  std::vector<Swatch> swatches;
  std::vector<ZoneCut> cut_from;
  std::vector<piece::TakenOff> taken_off;  // in the order in which it came off
  std::vector<std::string> owner_address;  // lines
  std::vector<materials::Fee> waste_fees;  // beside the shop's
  std::optional<Money> agreed;             // what the owner pays in all, tax included; nothing: no price is agreed
  std::vector<materials::Fee> bought;      // what was paid for materials; with none it is not known
  std::string room;                        // where it dries
  std::optional<Instant> due;
  std::optional<Instant> arrives;
  double weight = 1;  // how much a day late matters
};

struct Job {
  int schema = kSchemaVersion;
  std::string file;
  Shop shop;
  std::vector<ShelfItem> shelf;
  std::vector<PieceOrder> pieces;
  std::vector<CutFrom> cuts;
  std::optional<Instant> start;
};

// The shop's, then the piece's own.
std::vector<materials::Fee> waste_fees(const Shop& shop, const PieceOrder& order);

// A shop that has just been set up has no piece; a job file without one is a mistake.
enum class Pieces { needed, may_be_none };

// Reads, checks against the catalogue (species and product ids) and measures every piece. All problems at once.
Results<Job> read_job(const std::string& path, const catalog::Catalog& catalog);
Results<Job> parse_job(std::string_view text, const std::string& name, const catalog::Catalog& catalog,
                       Pieces pieces = Pieces::needed);

}  // namespace tackcloth::job
