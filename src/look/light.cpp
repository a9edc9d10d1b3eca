#include "look/light.h"

#include <cctype>
#include <cstdio>

#include "picture/find.h"

namespace tackcloth::look {

namespace {

std::string at(shape::Point place) {
  char text[64];
  std::snprintf(text, sizeof text, "%.0f, %.0f", place.x, place.y);
  return text;
}

shape::Point middle_of(const picture::Corners& c) {
  return {(c[0].x + c[1].x + c[2].x + c[3].x) / 4, (c[0].y + c[1].y + c[2].y + c[3].y) / 4};
}

Light as_taken(const Problem& why) {
  Light light;
  light.note = "The light was not put right: " + why.what + ". " + why.remedy + ".";
  return light;
}

Light put_right(picture::Calibration by, std::string note) {
  Light light;
  light.known = true;
  light.note = std::move(note);
  for (std::string warning : by.warnings) {
    warning.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(warning.front())));
    light.note += " " + warning + ".";
  }
  light.calibration = std::move(by);
  return light;
}

Light by_chart(const picture::Image& photo) {
  const auto found = picture::find_chart(photo, {});
  if (!found)
    return as_taken({"", 0, 0, found.error().what, "", "Photograph it again with the whole chart in the picture"});
  auto fit = picture::fit_neutral_row(photo, found->corners, found->left_out);
  if (!fit) return as_taken(fit.error());
  char text[160];
  std::snprintf(
      text, sizeof text,
      "The light was put right by the chart found around %s (pixels of the photo): its grey row was off neutral "
      "by \u0394E00 %.1f, now by %.1f.",
      at(middle_of(found->corners)).c_str(), fit->before_mean_de00, fit->mean_de00);
  return put_right(std::move(*fit), text);
}

Light by_card(const picture::Image& photo, const job::Photo& said) {
  shape::Point place{};
  std::string where;
  if (said.card_at.size() == 2) {
    place = {said.card_at[0], said.card_at[1]};
    where = "the grey card shown at ";
  } else {
    const auto found = picture::find_grey_card(photo);
    if (!found) return as_taken({"", 0, 0, found.error().what, "", "Tap the card in the photo"});
    place = middle_of(found->corners);
    where = "what looks like the grey card at ";
  }
  auto fit = picture::fit_grey(photo, place);
  if (!fit) return as_taken(fit.error());
  return put_right(std::move(*fit), "The light was put right by " + where + at(place) +
                                        " (pixels of the photo); see that it is the card.");
}

}  // namespace

Light light_of(const picture::Image& photo, const job::Photo& said) {
  if (said.lies_in_it == "chart") return by_chart(photo);
  if (said.lies_in_it == "grey_card") return by_card(photo, said);
  Light light;
  light.note =
      "The light of this photo is not known: a lamp or a camera can turn a colour by more than a coat does. Lay a grey "
      "card or "
      "a chart of 24 patches beside the piece, and say so with the photo.";
  return light;
}

}  // namespace tackcloth::look
