// Takeoff, packs, cost and price.
#pragma once

#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "units/money.h"
#include "units/result.h"

namespace tackcloth::materials {

// Film geometry, V = A * t: 1 l is 1 m² of film 1 mm thick; 1 US gal (231 in³) is 1604 ft² of film 1 mil thick.
// The wet film must be > 0.
double spreading_rate_m2_l(double wet_um);
double spreading_rate_ft2_gal(double wet_mil);
// Wet film for a coverage written on a label.
double wet_um_from_coverage(double m2_per_l);

// One use of a product on one area.
struct Use {
  std::string product;
  std::string piece;  // id
  double area_m2 = 0;
  double wet_um = 0;
  double transfer = 0.95;  // 0..1]
  double absorbed = 0;     // extra share drawn in by bare wood
  double amount = 0;       // pieces or litres, when it is not a film (area and wet film zero)
  double spread = 0;       // of what is counted, as coefficient of variation; a film has kHandCv and kCoatCv
};

// What one use takes from the can.
double amount_of(const Use& use);

struct Need {
  std::string product;
  std::string unit;  // "l", "piece", "sheet", "m"
  double expected = 0;
  double for_90_percent = 0;                             // bought for
  std::vector<std::pair<std::string, double>> by_piece;  // expected
};
// Spread of what a hand really lays on, as coefficients of variation: `kHandCv` is the shop's own lean towards thick or
// thin on one product (the same for all its coats), `kCoatCv` what differs from coat to coat. Common practice, no
// source. The quantity for 90 % is that of a log-normal with this mean and spread.
inline constexpr double kHandCv = 0.10;
inline constexpr double kCoatCv = 0.15;

// Uses summed by product, in order of first use. A film takes area * wet film * (1 + absorbed) / transfer; uses in
// pieces, sheets and metres have the spread they say. Abrasives go by "P120" and so on, in sheets (see abrasive_sheets).
// Problems: unknown product, area, film or amount negative or not a number, transfer outside 0..1, a film of a product
// that is not sold by the litre.
Results<std::vector<Need>> takeoff(const std::vector<Use>& uses, const catalog::Catalog& catalog);

// The id an abrasive goes by in Use, Need and Purchase: 120 -> "P120" (FEPA grade).
std::string abrasive_id(int grit);

struct Shelf {
  std::string product;
  double amount = 0;
  double age_months = 0;  // since it was opened, or bought
  bool past = false;      // its date is over, whatever the age
};
struct Purchase {
  std::string product, name, unit;
  double need = 0, from_shelf = 0;
  struct Line {
    double pack = 0;
    int count = 0;
    Money each, total;
  };
  std::vector<Line> lines;
  Money total;
  double left_over = 0;
  bool optimal = false;
  std::string note;  // "shelf stock is past its shelf life", "no pack sold"
  double expected = 0;  // `need` is enough in nine jobs of ten
};
// Least-cost packs by integer programming (CBC); the optimum is proven or `optimal` is false. Among equal costs the one
// with least left over. Stock past its shelf life is not counted on and said so; packs without a price are left out
// unless there is nothing else. `left_over` is packs bought and stock drawn on, less `need`; when nothing is sold it is
// negative: what is still short.
Results<std::vector<Purchase>> choose_packs(const std::vector<Need>& needs, const std::vector<Shelf>& shelf,
                                            const catalog::Catalog& catalog);

struct Price {
  Money materials, labour, overhead, profit, tax, total;
  double hours = 0;
  Money fees = {};  // for waste, passed on
};
// Sums always match: total = materials + labour + overhead + profit + fees + tax, each rounded once, half away from
// zero. Labour is charged by the whole minute; overhead is on materials and labour, profit on those and overhead, tax
// on all of them and the fees. Percentages count to 0.0001 %. Hours, rate and percentages below zero or not finite
// count as zero.
Price price(Money materials, double hours, Money hourly_rate, double overhead_percent, double profit_percent,
            double tax_percent, Money waste_fees = {});

// Sheets of abrasive for an area in one grit, whole sheets up. `clogging_factor` > 1 for a finish that loads the paper.
int abrasive_sheets(double area_m2, const catalog::Abrasive& abrasive, double clogging_factor = 1.0);

}  // namespace tackcloth::materials
