#include "tongue/tongue.h"

#include <unicode/dcfmtsym.h>
#include <unicode/dtptngen.h>
#include <unicode/smpdtfmt.h>

#include <algorithm>
#include <unordered_map>

#include "tongue/book.h"

namespace tackcloth::tongue {
namespace {

constexpr const char* kPaper = "paper\4";  // the context of sentences that only papers say

bool is_tag(const std::string& tag) {
  const auto letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
  return tag.size() >= 2 && tag.size() <= 35 && letter(tag[0]) && letter(tag[1]) &&
         std::all_of(tag.begin(), tag.end(), [&](char c) { return letter(c) || c == '-' || (c >= '0' && c <= '9'); });
}

std::string utf8(const icu::UnicodeString& text) {
  std::string out;
  text.toUTF8String(out);
  return out;
}

}  // namespace

// Dates of one locale; the clock on the wall of the shop is written as if it were UTC.
class Dates {
 public:
  explicit Dates(icu::Locale locale) : locale_(std::move(locale)) {}
  std::string write(Instant instant, const std::string& skeleton) {
    auto& format = formats_[skeleton];
    if (!format) {
      UErrorCode error = U_ZERO_ERROR;
      const std::unique_ptr<icu::DateTimePatternGenerator> patterns(
          icu::DateTimePatternGenerator::createInstance(locale_, error));
      if (U_FAILURE(error)) return to_iso(instant);
      const auto pattern = patterns->getBestPattern(icu::UnicodeString::fromUTF8(skeleton), error);
      format = std::make_unique<icu::SimpleDateFormat>(pattern, locale_, error);
      if (U_FAILURE(error)) {
        format.reset();
        return to_iso(instant);
      }
      format->adoptTimeZone(icu::TimeZone::getGMT()->clone());
    }
    const auto minutes = std::chrono::floor<std::chrono::minutes>(instant.time_since_epoch()).count();
    icu::UnicodeString text;
    return utf8(format->format(static_cast<UDate>(minutes) * 60'000.0, text));
  }

 private:
  icu::Locale locale_;
  std::unordered_map<std::string, std::unique_ptr<icu::SimpleDateFormat>> formats_;
};

struct Tongue::State {
  Dates dates;
  std::string decimal = ".", group;
  std::unique_ptr<Book> book;
  std::unordered_map<std::string, std::string> memo;
  std::vector<std::string>* missing = nullptr;

  void lacks(const std::string& text) {
    if (missing && std::find(missing->begin(), missing->end(), text) == missing->end()) missing->push_back(text);
  }
};

Result<Tongue> Tongue::load(const std::string& directory, const std::string& tag) {
  const std::string base = tag.substr(0, tag.find('-'));
  if (tag.empty() || base == "en") return Tongue{};
  const auto none = [&](std::string remedy) {
    return tl::unexpected(Problem{"", 0, 0, "there is no book of the language '" + tag.substr(0, 40) + "'",
                                  "en, or a language with a book in catalog/words", std::move(remedy)});
  };
  if (!is_tag(tag)) return none("take one like de");
  auto po = read_po(directory + "/words/" + base + ".po");
  if (!po && po.error().line == 0) return none("docs/translating.md tells how to begin one");
  if (!po) return tl::unexpected(po.error());
  const icu::Locale locale = icu::Locale::createFromName(tag.c_str());
  UErrorCode error = U_ZERO_ERROR;
  const icu::DecimalFormatSymbols symbols(locale, error);
  auto state = std::make_shared<State>(State{Dates(locale), ".", "", nullptr, {}, nullptr});
  if (U_SUCCESS(error)) {
    state->decimal = utf8(symbols.getConstSymbol(icu::DecimalFormatSymbols::kDecimalSeparatorSymbol));
    state->group = utf8(symbols.getConstSymbol(icu::DecimalFormatSymbols::kGroupingSeparatorSymbol));
  }
  Marks marks{state->decimal, [dates = &state->dates](int year, int month, int day, std::optional<int> minutes) {
                const auto date = std::chrono::year(year) / month / day;
                const Instant instant = Instant(std::chrono::local_days(date)) + Minutes(minutes.value_or(0));
                return dates->write(instant, minutes ? "EEEdMMMMjjmm" : "yMMMMd");
              }};
  state->book = std::make_unique<Book>(po->entries, std::move(marks));
  Tongue tongue;
  tongue.state_ = std::move(state);
  return tongue;
}

std::string Tongue::fill(const std::string& template_, std::initializer_list<std::string> values) const {
  const std::string* text = state_ ? state_->book->entry(std::string(kPaper) + template_) : nullptr;
  if (state_ && !text) state_->lacks(template_);
  if (values.size() == 0) return text ? *text : template_;
  const std::vector<std::string> names = slots_of(template_);
  std::string out, from = text ? *text : template_;
  for (std::size_t at = 0; at < from.size();) {
    const std::size_t open = std::min(from.find('{', at), from.size());
    out += from.substr(at, open - at);
    if (open == from.size()) break;
    const std::size_t close = std::min(from.find('}', open), from.size());
    const auto name = std::find(names.begin(), names.end(), from.substr(open + 1, close - open - 1));
    const auto which = static_cast<std::size_t>(name - names.begin());
    if (which < values.size()) out += *(values.begin() + static_cast<std::ptrdiff_t>(which));
    at = close + 1;
  }
  return out;
}

std::string Tongue::say(const std::string& text) const {
  if (!state_ || text.empty()) return text;
  if (const auto known = state_->memo.find(text); known != state_->memo.end()) return known->second;
  std::string out;
  for (const Bit& bit : state_->book->say(text)) {
    if (bit.english) state_->lacks(bit.text);
    out += bit.text;
  }
  return state_->memo[text] = out;
}

std::string Tongue::word(const std::string& text) const {
  if (!state_ || text.empty()) return text;
  return state_->book->one(text, true).value_or(text);
}

std::string Tongue::parts(const std::string& names) const {
  if (!state_) return names;
  std::string out;
  for (std::size_t from = 0; from <= names.size();) {
    const std::size_t end = std::min(names.find(", ", from), names.size());
    out += (from > 0 ? ", " : "") + state_->book->word(names.substr(from, end - from), "part");
    from = end + 2;
  }
  return out;
}

std::string Tongue::number(const std::string& text) const { return state_ ? state_->book->slot_number(text) : text; }

std::string Tongue::dated(Instant instant, const std::string& skeleton) const {
  return state_ ? state_->dates.write(instant, skeleton) : "";
}

std::string Tongue::decimal_mark() const { return state_ ? state_->decimal : "."; }
std::string Tongue::group_mark() const { return state_ ? state_->group : "\u00a0"; }

void Tongue::note_missing(std::vector<std::string>* to) {
  if (state_) state_->missing = to;
}

}  // namespace tackcloth::tongue
