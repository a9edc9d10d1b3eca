#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>

#include "cli/command.h"
#include "cli/cut_command.h"

namespace {

namespace fs = std::filesystem;

// The data files lie beside the program's source tree or its installation; TACKCLOTH_HOME says otherwise.
std::string find_directory(const char* name, const char* marker) {
  std::vector<fs::path> bases;
  if (const char* home = std::getenv("TACKCLOTH_HOME")) bases.emplace_back(home);
  std::error_code error;
  fs::path base = fs::read_symlink("/proc/self/exe", error).parent_path();
  for (int up = 0; up < 4 && !base.empty(); ++up, base = base.parent_path()) {
    bases.push_back(base);
    bases.push_back(base / "share" / "tackcloth");
  }
  bases.push_back(fs::current_path(error));
  for (const fs::path& candidate : bases)
    if (fs::exists(candidate / name / marker, error)) return (candidate / name).string();
  return name;
}

}  // namespace

int main(int argc, char** argv) {
  using namespace tackcloth::cli;
  Context context;
  context.catalog_dir = find_directory("catalog", "rules.toml");
  context.web_dir = find_directory("web/dist", "index.html");
  CLI::App app{"Tackcloth: from a measured piece and a look to a finish that holds and a date that is kept.",
               "tackcloth"};
  app.require_subcommand(1);
  app.set_version_flag("--version", TACKCLOTH_VERSION);
  add_plan(app, context);
  add_climate(app, context);
  add_dry(app, context);
  add_air(app, context);
  add_buy(app, context);
  add_stock(app, context);
  add_cut(app, context);
  add_quote(app, context);
  add_papers(app, context);
  add_worth(app, context);
  add_color(app, context);
  add_tint(app, context);
  add_log(app, context);
  add_pin(app, context);
  add_actual(app, context);
  add_year(app, context);
  add_sooner(app, context);
  add_boards(app, context);
  add_template(app, context);
  add_labels(app, context);
  add_arc(app, context);
  add_serve(app, context);
  add_everything(app, context);
  add_recolor(app, context);
  add_photo(app, context);
  add_sources(app, context);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& done) {
    return app.exit(done);
  } catch (const CLI::ParseError& error) {
    app.exit(error);
    return bad_input;
  } catch (const std::exception& error) {
    std::cerr << "tackcloth: " << error.what() << "\n";
    return internal;
  }
  return context.exit_code;
}
