#include <algorithm>

#include "job/read.h"

namespace tackcloth::job {

namespace {

constexpr std::size_t kMostProblems = 50;
constexpr std::size_t kMostPieces = 1000;

// Reads and measures; the measure of a piece is taken only when all of it could be read.
void read_pieces(reading::Table& root, reading::Document& document, const Names& names, Pieces pieces, Job& job) {
  std::vector<std::string> ids;
  std::vector<reading::Table> rows = root.tables("piece");
  if (rows.empty() && pieces == Pieces::needed)
    root.problem("piece", "there is no piece in this file", "one [[piece]] or more",
                 "add [[piece]] with an id, and its parts below it");
  if (rows.size() > kMostPieces) {
    root.problem("piece", "there are more than 1000 pieces in this file", "at most 1000", "split the file");
    rows.clear();
  }
  for (reading::Table& row : rows) {
    const std::size_t before = document.problems().size();
    read_id(row, "piece", ids);
    PieceOrder order = read_piece(row, names);
    if (document.problems().size() == before) {
      auto measured = piece::measure(order.piece);
      if (measured)
        order.piece = std::move(*measured);
      else
        for (Problem& problem : measured.error()) document.add(std::move(problem));
    }
    job.pieces.push_back(std::move(order));
  }
}

Results<Job> read_document(reading::Document& document, const std::string& name, const catalog::Catalog& catalog,
                           Pieces pieces) {
  Job job;
  job.file = name;
  reading::Table root = document.root();
  if (!root.has("schema")) {
    root.known("schema");
    root.problem("schema", "'schema' is missing here", "schema = 1", "add schema = 1 on the first line");
  } else if (const auto schema = root.integer("schema", 1, 1000000); schema && *schema > kSchemaVersion) {
    root.problem("schema", "this file is written for a later version", "schema = 1", "use a later tackcloth");
  }
  job.start = root.instant("start");
  Names names;
  names.catalog = &catalog;
  for (const catalog::Product& product : catalog.products) names.products.push_back(product.id);
  for (const catalog::Species& species : catalog.species) names.species.push_back(species.id);
  if (auto shop = root.table("shop"))
    job.shop = read_shop(*shop);
  else if (!root.has("shop"))
    root.problem("shop", "'shop' is missing here", "[shop] with its rooms and people", "see docs/job-file.md");
  for (const Room& room : job.shop.rooms) names.rooms.push_back(room.id);
  for (const reading::Table& row : root.tables("shelf")) job.shelf.push_back(read_shelf_item(row, names));
  read_pieces(root, document, names, pieces, job);
  read_cuts(root, document, job);
  root.finish();
  if (document.problems().empty()) return job;
  std::vector<Problem> problems = document.problems();
  std::stable_sort(problems.begin(), problems.end(),
                   [](const Problem& a, const Problem& b) { return a.line < b.line; });
  if (problems.size() > kMostProblems) problems.resize(kMostProblems);
  return tl::unexpected(std::move(problems));
}

}  // namespace

Results<Job> read_job(const std::string& path, const catalog::Catalog& catalog) {
  auto document = reading::Document::open(path);
  if (!document) return tl::unexpected(std::vector<Problem>{document.error()});
  return read_document(**document, path, catalog, Pieces::needed);
}

Results<Job> parse_job(std::string_view text, const std::string& name, const catalog::Catalog& catalog, Pieces pieces) {
  auto document = reading::Document::parse(text, name);
  if (!document) return tl::unexpected(std::vector<Problem>{document.error()});
  return read_document(**document, name, catalog, pieces);
}

}  // namespace tackcloth::job
