// Takeoff, packs, cost and price.
#pragma once

#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "units/money.h"
#include "units/result.h"

namespace tackcloth::materials {

// 1 US gallon covers 1604 ft² at 1 mil wet: film geometry, V = A * t.
double spreading_rate_m2_l(double wet_um);
double spreading_rate_ft2_gal(double wet_mil);
// Wet film for a coverage written on a label.
double wet_um_from_coverage(double m2_per_l);

// One use of a product on one area.
struct Use {
  std::string product;
  std::string piece;                         // id
  double area_m2 = 0;
  double wet_um = 0;
  double transfer = 0.95;                    // 0..1]
  double absorbed = 0;                       // extra share drawn in by bare wood
  double amount = 0;                         // pieces or litres, when it is not a film (area and wet film zero)
};

struct Need {
  std::string product;
  std::string unit;                          // "l", "piece", "sheet", "m"
  double expected = 0;
  double for_90_percent = 0;                 // bought for
  std::vector<std::pair<std::string, double>> by_piece;  // expected
};
// Uses summed by product, with the spread of a hand-applied film (coefficient of variation beside its definition).
Results<std::vector<Need>> takeoff(const std::vector<Use>& uses, const catalog::Catalog& catalog);

struct Shelf {
  std::string product;
  double amount = 0;
  double age_months = 0;
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
  std::string note;                          // "shelf stock is past its shelf life", "no pack sold"
};
// Least-cost packs by integer programming (CBC); the optimum is proven or `optimal` is false.
Results<std::vector<Purchase>> choose_packs(const std::vector<Need>& needs, const std::vector<Shelf>& shelf,
                                            const catalog::Catalog& catalog);

struct Price {
  Money materials, labour, overhead, profit, tax, total;
  double hours = 0;
};
// Sums always match: total = materials + labour + overhead + profit + tax, each rounded once.
Price price(Money materials, double hours, Money hourly_rate, double overhead_percent, double profit_percent,
            double tax_percent);

// Sheets of abrasive for an area, whole sheets up.
int abrasive_sheets(double area_m2, const catalog::Abrasive& abrasive, double clogging_factor = 1.0);

}  // namespace tackcloth::materials
