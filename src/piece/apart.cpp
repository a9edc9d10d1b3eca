#include "piece/apart.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tackcloth::piece {

namespace {

using catalog::Finding;
using catalog::Severity;

constexpr const char* kPractice = "common practice, no source";
constexpr double kTight = 0.5;  // of the gap taken up by the coats: try it for fit (common practice, no source)

bool has(const std::vector<std::string>& list, const std::string& word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}
bool is_on(const TakenOff& one) { return has(one.ticked, "on"); }

std::string called(const TakenOff& one) { return one.name.empty() ? one.id : one.name; }

// What is still loose of it although it may be on: words, empty when nothing is.
std::string loose_ends(const TakenOff& one) {
  std::string words;
  const auto add = [&](const std::string& what) { words += (words.empty() ? "" : "; ") + what; };
  if (!one.bag.empty() && !has(one.ticked, "bag")) add("bag " + one.bag + " is not emptied");
  for (const Cable& cable : one.cables) {
    const bool from = has(one.ticked, cable.name + "/from"), to = has(one.ticked, cable.name + "/to");
    if (!from) add("cable " + cable.name + " is not back on " + (cable.from.empty() ? "its first end" : cable.from));
    if (!to) add("cable " + cable.name + " is not back on " + (cable.to.empty() ? "its second end" : cable.to));
  }
  return words;
}

std::string tenths_of_mm(double um) {
  const double tenths = std::round(um / 10) / 100;
  std::string text = std::to_string(tenths);
  return text.substr(0, text.find('.') + 3) + " mm";
}

class WayBack {
 public:
  WayBack(const std::vector<TakenOff>& apart, const std::vector<PartState>& parts) : apart_(apart) {
    for (const PartState& state : parts) parts_[state.part] = &state;
    for (std::size_t k = 0; k < apart.size(); ++k) at_.emplace(apart[k].id, k);
  }

  std::vector<BackOn> build() {
    std::vector<BackOn> back;
    for (const std::size_t k : order()) {
      BackOn one;
      one.id = apart_[k].id;
      one.on = is_on(apart_[k]);
      found_ = &one.findings;
      about_ = &apart_[k];
      if (in_circle_[k])
        say("apart-circle", Severity::must_not, called(apart_[k]) + " covers what would have to go on after it.",
            "Look at the piece and take one of the two out of what it covers.");
      one.on ? when_on() : before_on();
      shared_bag();
      one.may = !one.on && std::none_of(one.findings.begin(), one.findings.end(),
                                        [](const Finding& f) { return f.severity == Severity::must_not; });
      back.push_back(std::move(one));
    }
    return back;
  }

 private:
  std::vector<const TakenOff*> covered_by(const TakenOff& one) const {
    std::vector<const TakenOff*> under;
    for (const TakenOff& other : apart_)
      if (other.id != one.id && has(other.under, one.id)) under.push_back(&other);
    return under;
  }

  // The last off goes on first; whatever covers something waits for it. What is left in a circle comes last.
  std::vector<std::size_t> order() {
    std::vector<std::size_t> sorted;
    std::vector<bool> placed(apart_.size(), false);
    in_circle_.assign(apart_.size(), false);
    while (sorted.size() < apart_.size()) {
      std::size_t next = apart_.size();
      for (std::size_t k = apart_.size(); k-- > 0 && next == apart_.size();) {
        if (placed[k]) continue;
        const auto under = covered_by(apart_[k]);
        if (std::all_of(under.begin(), under.end(), [&](const TakenOff* u) { return placed[at_.at(u->id)]; })) next = k;
      }
      if (next == apart_.size()) {
        for (std::size_t k = apart_.size(); k-- > 0 && next == apart_.size();)
          if (!placed[k]) next = k;
        in_circle_[next] = true;
      }
      placed[next] = true;
      sorted.push_back(next);
    }
    return sorted;
  }

  void say(const char* rule, Severity severity, std::string reason, std::string remedy) {
    found_->push_back({rule, severity, std::move(reason), std::move(remedy), kPractice, "", about_->id});
  }
  const PartState* state(const std::string& part) const {
    const auto found = parts_.find(part);
    return part.empty() || found == parts_.end() ? nullptr : found->second;
  }

  void before_on() {
    const TakenOff& one = *about_;
    if (const PartState* own = state(one.part); own != nullptr && !own->not_ready.empty())
      say("apart-coats", Severity::must_not, called(one) + " has a coat to come or to harden: " + own->not_ready + ".",
          "Leave it off until that coat may be handled.");
    if (const PartState* into = state(one.fits); into != nullptr && one.fits != one.part && !into->not_ready.empty())
      say("apart-coats", Severity::must_not,
          "What it fits into (" + one.fits + ") has a coat to come or to harden: " + into->not_ready + ".",
          "Leave it off until that coat may be handled.");
    for (const TakenOff* under : covered_by(one)) {
      if (!is_on(*under)) {
        say("apart-covers", Severity::must_not,
            "Once " + called(one) + " is on, " + called(*under) + " cannot be put on any more.",
            "Put " + called(*under) + " on first.");
        continue;  // its coats and loose ends are said with itself
      }
      if (const std::string loose = loose_ends(*under); !loose.empty())
        say("apart-loose", Severity::must_not,
            "Under " + called(one) + " something is still loose, of " + called(*under) + ": " + loose + ".",
            "Finish that first; it cannot be reached afterwards.");
      if (const PartState* below = state(under->part); below != nullptr && !below->not_ready.empty())
        say("apart-cure-under", Severity::must_not,
            "Under " + called(one) + " a coat of " + called(*under) + " has still to harden: " + below->not_ready +
                ". Shut in it stays soft.",
            "Leave it open to the air until that coat is ready.");
    }
    for (const std::string& opening : one.through) {
      const PartState* front = state(opening);
      if (front == nullptr || front->cloth_step.empty()) continue;
      if (front->cloth_is_on)
        say("apart-cloth", Severity::must_not,
            "It goes in through the opening of " + opening + ", and cloth is glued over it.",
            "Look for another way in; else the cloth has to come off at one edge and be glued again.");
      else
        say("apart-cloth", Severity::caution,
            "It goes in through the opening of " + opening +
                ", which will be covered with cloth: " + front->cloth_step + ".",
            "Put it in before that step.");
    }
    joint();
  }

  void joint() {
    const TakenOff& one = *about_;
    if (!one.clearance_um) return;
    const PartState* own = state(one.part);
    const PartState* into = one.fits == one.part ? nullptr : state(one.fits);
    const double build = (own == nullptr ? 0 : own->build_um) + (into == nullptr ? 0 : into->build_um);
    if (build <= 0 || build < kTight * *one.clearance_um) return;
    const std::string words = "The coats build up " + tenths_of_mm(build) + " in a gap of " +
                              tenths_of_mm(*one.clearance_um) + " on this side.";
    if (build >= *one.clearance_um)
      say("apart-joint", Severity::must_not, words + " It will not close.",
          "Scrape or sand the faces of the joint bare once the coats are hard, and try it dry before anything is "
          "fastened. Where coats are still to come, mask the joint.");
    else
      say("apart-joint", Severity::caution, words + " It will be tight.",
          "Try it dry; wax the faces that slide. Where coats are still to come, mask the joint.");
  }

  void when_on() {
    const TakenOff& one = *about_;
    if (const std::string loose = loose_ends(one); !loose.empty())
      say("apart-loose", Severity::caution, called(one) + " is on, but " + loose + ".",
          "See what was left out before anything closes over it.");
    for (const TakenOff* under : covered_by(one))
      if (!is_on(*under))
        say("apart-covers", Severity::must_not,
            called(one) + " is on, and covers " + called(*under) + ", which is not.",
            "Take " + called(one) + " off again and put " + called(*under) + " on first.");
    if (const PartState* own = state(one.part); own != nullptr && !own->not_ready.empty())
      say("apart-coats", Severity::caution,
          called(one) + " is on, and has a coat to come or to harden: " + own->not_ready + ".",
          "Where films touch they stick: take it off again, or keep them apart until the coat is ready.");
  }

  void shared_bag() {
    if (about_->bag.empty()) return;
    for (const TakenOff& other : apart_)
      if (other.id != about_->id && other.bag == about_->bag)
        say("apart-bag-twice", Severity::caution,
            "Bag " + about_->bag + " is written for " + called(*about_) + " and for " + called(other) + ".",
            "If it is not one bag for both, give one of them another name.");
  }

  const std::vector<TakenOff>& apart_;
  std::map<std::string, const PartState*> parts_;
  std::map<std::string, std::size_t> at_;
  std::vector<bool> in_circle_;
  std::vector<Finding>* found_ = nullptr;
  const TakenOff* about_ = nullptr;
};

}  // namespace

std::vector<std::string> tick_words(const TakenOff& one) {
  std::vector<std::string> words{"on"};
  if (!one.bag.empty()) words.emplace_back("bag");
  for (const Cable& cable : one.cables)
    for (const char* end : {"/from", "/to"}) words.push_back(cable.name + end);
  return words;
}

std::vector<BackOn> way_back(const std::vector<TakenOff>& apart, const std::vector<PartState>& parts) {
  return WayBack(apart, parts).build();
}

catalog::Finding mains_caution() {
  return {
      "apart-mains",
      Severity::must_not,
      "Mains voltage kills, and parts of old sets hold a charge after the plug is out.",
      "Pull the plug before anything is opened and leave it out, also when all is back together. Label and "
      "photograph wires only; anything electrical is for a qualified person, who passes it before it is plugged in.",
      kPractice,
      "",
      ""};
}

}  // namespace tackcloth::piece
