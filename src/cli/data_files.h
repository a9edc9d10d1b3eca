// What is made of the catalogue's files, read once for all who ask and anew when a file has changed.
#pragma once

#include <memory>

#include "catalog/catalog.h"
#include "cli/command.h"
#include "color/palette.h"
#include "film/film.h"
#include "finish/finish.h"

namespace tackcloth::cli {

// All that plans are made with; `plan::World` points into it. The finisher is each asker's own: it remembers the hours
// of the first coat it meets, and a plan must not depend on the one before.
struct Loaded {
  std::shared_ptr<const catalog::Catalog> catalog;
  std::shared_ptr<const film::Model> film;
  std::unique_ptr<const finish::Finisher> finisher;
};

Results<std::shared_ptr<const catalog::Catalog>> catalog_of(const Context& context);
Results<std::shared_ptr<const color::Palette>> palette_of(const Context& context);
Results<std::unique_ptr<const Loaded>> load(const Context& context);

}  // namespace tackcloth::cli
