#include "cli/look_pages.h"

#include <nlohmann/json.hpp>

#include "cli/clock.h"
#include "cli/data_files.h"
#include "cli/problems.h"
#include "picture/photo.h"

namespace tackcloth::cli {

namespace {

constexpr int kScreen = 1280, kCard = 640;  // pixels of the longer side
constexpr std::size_t kMostSets = 40;

}  // namespace

Results<look::Page> looks_page(ledger::Ledger& ledger, const StoredPhotos& photos, const Context& context) {
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  const auto catalog = catalog_of(context);
  if (!catalog) return tl::unexpected(catalog.error());
  const auto job =
      job::parse_job(photos.with_files(ledger, standing->toml), standing->name, **catalog, job::Pieces::may_be_none);
  if (!job) return tl::unexpected(job.error());
  const auto palette = palette_of(context);
  if (!palette) return tl::unexpected(palette.error());
  auto page = look::page_of(*job, standing->toml, **catalog, **palette, standing->changes, standing->version, kScreen);
  if (!page) return one(page.error());
  return std::move(*page);
}

Result<std::string> boards_sheet_of(const Compared& compared, const std::string& piece, sheet::Paper paper,
                                    sheet::Sheet wanted, Instant made_at, const sheet::Tongue& tongue) {
  std::vector<sheet::Card> cards;
  for (std::size_t k = 0; k < compared.boards.size(); ++k) cards.push_back({compared.boards[k], compared.pictures[k]});
  sheet::BoardsText words;
  for (const auto& order : compared.job.pieces) {
    if (order.piece.id != piece) continue;
    words.piece = order.piece.name;
    words.owner = order.piece.owner;
  }
  words.shop = compared.job.shop.name;
  words.currency = compared.job.shop.currency;
  words.about_pictures = "A screen or a print is not the colour: the sample board decides.";
  for (const std::string& note : compared.notes) words.about_pictures += " " + note;
  return sheet::boards_sheet(cards, words, paper, wanted, made_at, tongue);
}

Results<look::Page> boards_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& piece,
                                const Context& context, const std::function<bool(int, int)>& between) {
  const auto standing = standing_job(ledger, context);
  if (!standing) return tl::unexpected(standing.error());
  const auto compared = boards_text(photos.with_files(ledger, standing->toml), standing->name, piece, standing->args,
                                    standing->log, context, kCard, between);
  if (!compared) return tl::unexpected(compared.error());
  look::Page page;
  nlohmann::ordered_json json =
      nlohmann::ordered_json::parse(look::to_json(compared->boards, piece, compared->job.shop.currency));
  json["notes"] = compared->notes;
  for (std::size_t k = 0; k < compared->boards.size(); ++k) {
    if (compared->pictures[k].width == 0) continue;
    auto jpeg = picture::encode_jpeg(compared->pictures[k], 88);
    if (!jpeg) return one(jpeg.error());
    const std::string path =
        "boards/" + std::to_string(standing->version) + "/" + piece + "/" + std::to_string(k) + ".jpg";
    page.pictures[path] = std::move(*jpeg);
    json["looks"][k]["picture"] = "/api/picture/" + path;
  }
  const auto sheet = boards_sheet_of(*compared, piece, sheet::Paper::a4, sheet::Sheet::png, wall_clock());
  if (!sheet) return one(sheet.error());
  const std::string path = "boards/" + std::to_string(standing->version) + "/" + piece + "/sheet.png";
  page.pictures[path] = *sheet;
  json["sheet"] = "/api/picture/" + path;
  page.json = json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  return page;
}

Result<look::Page> photo_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& id) {
  const auto path = photos.file(ledger, id);
  if (!path) return tl::unexpected(path.error());
  auto photo = picture::load(*path);
  if (!photo) {
    Problem problem = photo.error();
    problem.file.clear();  // a temporary name means nothing to anybody
    return tl::unexpected(problem);
  }
  look::Page page;
  auto jpeg = picture::encode_jpeg(picture::shrink(photo->image, kScreen), 88);
  if (!jpeg) return tl::unexpected(jpeg.error());
  page.pictures["photo/" + id + ".jpg"] = std::move(*jpeg);
  page.json = nlohmann::ordered_json{{"id", id},
                                     {"width", photo->image.width},
                                     {"height", photo->image.height},
                                     {"picture", "/api/picture/photo/" + id + ".jpg"},
                                     {"notes", photo->notes}}
                  .dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  return page;
}

void Album::put(std::map<std::string, std::string> pictures) {
  const std::lock_guard lock(mutex_);
  sets_.push_front(std::move(pictures));
  if (sets_.size() > kMostSets) sets_.pop_back();
}

std::optional<service::Asset> Album::find(const std::string& path) const {
  const std::lock_guard lock(mutex_);
  for (const auto& set : sets_) {
    const auto found = set.find(path);
    if (found != set.end())
      return service::Asset{path.ends_with(".png")   ? "image/png"
                            : path.ends_with(".jpg") ? "image/jpeg"
                                                     : "application/octet-stream",
                            found->second,
                            {}};
  }
  return {};
}

}  // namespace tackcloth::cli
