#include "cli/data_files.h"

#include "cli/kept.h"

namespace tackcloth::cli {

struct DataFiles {
  struct Shared {
    std::shared_ptr<const catalog::Catalog> catalog;
    std::shared_ptr<const film::Model> film;  // points into the catalogue
    std::vector<finish::Rule> rules;
  };
  Kept<catalog::Catalog> catalog;
  Kept<color::Palette> palette;
  Kept<Shared> shared;
};

std::shared_ptr<DataFiles> no_data_files_yet() { return std::make_shared<DataFiles>(); }

Results<std::shared_ptr<const catalog::Catalog>> catalog_of(const Context& context) {
  return context.data->catalog.get(context.catalog_dir, catalog::load_catalog);
}

Results<std::shared_ptr<const color::Palette>> palette_of(const Context& context) {
  return context.data->palette.get(context.catalog_dir, color::load_palette);
}

Results<std::unique_ptr<const Loaded>> load(const Context& context) {
  using Shared = DataFiles::Shared;
  const auto shared = context.data->shared.get(context.catalog_dir, [&](const std::string& dir) -> Results<Shared> {
    auto catalog = catalog_of(context);
    if (!catalog) return tl::unexpected(catalog.error());
    auto rules = finish::load_rules((std::filesystem::path(dir) / "rules.toml").string());
    if (!rules) return tl::unexpected(rules.error());
    auto film = std::make_shared<const film::Model>(**catalog);
    return Shared{std::move(*catalog), std::move(film), std::move(*rules)};
  });
  if (!shared) return tl::unexpected(shared.error());
  const Shared& all = **shared;
  return std::make_unique<const Loaded>(
      Loaded{all.catalog, all.film, std::make_unique<const finish::Finisher>(*all.catalog, *all.film, all.rules)});
}

}  // namespace tackcloth::cli
