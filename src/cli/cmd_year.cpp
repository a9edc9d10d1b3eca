// year: what was handed over in a year, month by month; as text, JSON, CSV or a spreadsheet.
#include <fmt/format.h>

#include <iostream>
#include <memory>

#include "cli/actual_json.h"
#include "cli/paper.h"
#include "cli/problems.h"
#include "cli/stored_actuals.h"
#include "sheet/sheet.h"
#include "sheet/year_files.h"

namespace tackcloth::cli {
namespace {

struct YearCommand {
  int year = 0;
  std::string data = "tackcloth.db", file, language;
  bool json = false;
};

void print(const plan::Year& year) {
  std::cout << fmt::format("{:<9} {:>6} {:>12} {:>11} {:>11} {:>9} {:>12} {:>8} {:>9}\n", year.year, "pieces", "income",
                           "tax", "materials", "waste", "left", "hours", "an hour");
  const auto line = [](const std::string& name, const plan::YearSums& sums) {
    const auto per_hour = sums.per_hour();
    std::cout << fmt::format("{:<9} {:>6} {:>12} {:>11} {:>11} {:>9} {:>12} {:>8.1f} {:>9}\n", name, sums.pieces,
                             to_text(sums.income), to_text(sums.tax), to_text(sums.materials), to_text(sums.waste_fees),
                             to_text(sums.left), double(sums.minutes) / 60, per_hour ? to_text(*per_hour) : "");
  };
  for (int m = 0; m < 12; ++m)
    if (year.months[m].pieces > 0) line(fmt::format("{:04}-{:02}", year.year, m + 1), year.months[m]);
  line("all", year.total);
  std::cout << "All money in " << year.currency
            << ". Left: income less tax, materials and waste fees; rent and the like are not in it.\n";
  if (year.total.untimed_minutes > 0)
    std::cout << fmt::format("Of the hours nobody told {:.1f}: there the plan's count.\n",
                             double(year.total.untimed_minutes) / 60);
  for (const plan::YearPiece& piece : year.pieces) {
    if (!piece.agreed)
      std::cout << piece.name << ": no price is agreed, the plan's is taken (agreed = \"...\" in the piece).\n";
    if (!piece.bought) std::cout << piece.name << ": what was bought is not said, the plan's materials are taken.\n";
  }
  for (const std::string& id : year.missing)
    std::cout << "Not in the sums: '" << id << "' was handed over and taken out of the job since.\n";
}

Results<void> summary(const YearCommand& command, Context& context) {
  const bool ods = command.file.ends_with(".ods"), csv = command.file.ends_with(".csv");
  if (!command.file.empty() && !ods && !csv)
    return one({"", 0, 0, "'" + command.file.substr(0, 200) + "' is no kind of file the year can be written as",
                "FILE.csv or FILE.ods", "give it one of these endings"});
  const auto tongue = tongue_of(command.language, context);
  if (!tongue) return one(tongue.error());
  const auto stored = stored_actuals(command.data, context);
  if (!stored) return tl::unexpected(stored.error());
  const plan::Year year = year_told(*stored, command.year);
  if (!command.file.empty()) {
    const Result<std::string> bytes = ods ? sheet::year_ods(year, *tongue) : Result<std::string>(sheet::year_csv(year));
    if (!bytes) return one(bytes.error());
    if (const auto written = sheet::write_file(command.file, *bytes); !written) return one(written.error());
    std::cerr << "wrote " << command.file << "\n";
  }
  if (command.json)
    std::cout << year_json(year).dump(2) << "\n";
  else
    print(year);
  return {};
}

}  // namespace

void add_year(CLI::App& app, Context& context) {
  auto command = std::make_shared<YearCommand>();
  CLI::App* sub = app.add_subcommand("year", "What was handed over in a year, month by month; CSV or spreadsheet");
  sub->add_option("year", command->year, "2027")->required()->check(CLI::Range(1900, 2200));
  add_language_option(*sub, command->language);
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  sub->add_option("-o,--out", command->file, "write it to FILE.csv (RFC 4180) or FILE.ods (OpenDocument 1.3)");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] {
    if (const auto done = summary(*command, context); !done) context.exit_code = report(done.error());
  });
}

}  // namespace tackcloth::cli
