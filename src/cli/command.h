// One file a subcommand (src/cli/cmd_<name>.cpp), each adding itself to the parser.
#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <string>

#include "units/result.h"

namespace tackcloth::cli {

enum Exit { fine = 0, must_not = 1, bad_input = 2, internal = 3 };

struct DataFiles;  // cli/data_files.h
std::shared_ptr<DataFiles> no_data_files_yet();

struct Context {
  std::string catalog_dir;  // where the data files are
  std::string web_dir;
  int exit_code = fine;
  std::shared_ptr<DataFiles> data = no_data_files_yet();  // what was read of catalog_dir
};

// Prints problems to stderr, one a line, and returns Exit::bad_input.
int report(const std::vector<Problem>& problems);

void add_plan(CLI::App& app, Context& context);  // plan, check
void add_climate(CLI::App& app, Context& context);
void add_dry(CLI::App& app, Context& context);
void add_air(CLI::App& app, Context& context);
void add_buy(CLI::App& app, Context& context);
void add_stock(CLI::App& app, Context& context);   // the shelf: what is there, what came, what there is by count
void add_quote(CLI::App& app, Context& context);   // price, quote and invoice of a piece
void add_papers(CLI::App& app, Context& context);  // everything printed for a piece
void add_worth(CLI::App& app, Context& context);   // before a piece is taken on
void add_color(CLI::App& app, Context& context);
void add_tint(CLI::App& app, Context& context);
void add_log(CLI::App& app, Context& context);     // log
void add_pin(CLI::App& app, Context& context);     // a step to an hour
void add_log(CLI::App& app, Context& context);     // log
void add_actual(CLI::App& app, Context& context);  // planned against what was told
void add_year(CLI::App& app, Context& context);    // the year's summary
void add_sooner(CLI::App& app, Context& context);
void add_boards(CLI::App& app, Context& context);    // looks side by side
void add_labels(CLI::App& app, Context& context);    // bags and cables of a piece taken apart
void add_template(CLI::App& app, Context& context);  // the full-size template of a zone
void add_arc(CLI::App& app, Context& context);       // an arc from what can be measured
void add_serve(CLI::App& app, Context& context);
void add_everything(CLI::App& app, Context& context);  // all of it as one file, and back
void add_recolor(CLI::App& app, Context& context);
void add_photo(CLI::App& app, Context& context);    // mask, flatten, balance
void add_sources(CLI::App& app, Context& context);  // writes docs/sources.md

}  // namespace tackcloth::cli
