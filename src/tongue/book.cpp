#include "tongue/book.h"

#include <algorithm>
#include <set>

#include "tongue/scan.h"

namespace tackcloth::tongue {
namespace {

constexpr std::size_t kLongest = 1500;  // letters; the engines say nothing longer, and looking grows with the square

// Text and names of slots in turn, as a split at {name} gives them.
std::vector<std::string> split_at_slots(std::string_view text) {
  std::vector<std::string> parts(1);
  while (!text.empty()) {
    const std::string_view name = slot_at(text);
    if (name.empty()) {
      parts.back() += text.front();
      text.remove_prefix(1);
      continue;
    }
    parts.emplace_back(name);
    parts.emplace_back();
    text.remove_prefix(name.size() + 2);
  }
  return parts;
}

std::string first_word(const std::string& text) {
  const std::size_t space = text.find(' ');
  return space == std::string::npos ? "" : text.substr(0, space);
}

// Without its number: "word2" is a word. Empty: what somebody typed.
std::string_view kind_of(std::string_view name) {
  while (!name.empty() && name.back() >= '0' && name.back() <= '9') name.remove_suffix(1);
  for (const std::string_view kind : {"n", "when", "said", "list", "all", "word", "part", "id"})
    if (name == kind) return name;
  return {};
}

std::size_t letters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string joined(const std::vector<std::string>& items, std::size_t from, std::size_t to) {
  std::string out;
  for (std::size_t i = from; i < to; ++i) out += (i > from ? ", " : "") + items[i];
  return out;
}

std::vector<std::string> between_commas(const std::string& value) {
  std::vector<std::string> items;
  for (std::size_t from = 0; from <= value.size();) {
    const std::size_t end = std::min(value.find(", ", from), value.size());
    items.push_back(value.substr(from, end - from));
    from = end + 2;
  }
  return items;
}

}  // namespace

std::vector<std::string> slots_of(std::string_view text) {
  const auto parts = split_at_slots(text);
  std::vector<std::string> names;
  for (std::size_t i = 1; i < parts.size(); i += 2) names.push_back(parts[i]);
  return names;
}

Book::Book(const std::vector<Entry>& entries, Marks marks) : marks_(std::move(marks)) {
  for (const Entry& entry : entries) {
    const std::vector<std::string> parts = split_at_slots(entry.english);
    if (parts.size() == 1 || !entry.context.empty()) {
      exact_[entry.context.empty() ? entry.english : entry.context + '\4' + entry.english] = entry.other;
      continue;
    }
    Template one;
    for (std::size_t i = 0; i < parts.size(); ++i) (i % 2 == 0 ? one.literals : one.names).push_back(parts[i]);
    one.other = split_at_slots(entry.other);
    for (const std::string& literal : one.literals) {
      if (letters(literal) > letters(one.mark)) one.mark = literal;
      one.weight += letters(literal);
    }
    const std::string word = first_word(one.literals.front());
    (word.empty() ? open_ : by_word_[word]).push_back(std::move(one));
  }
  const auto heavier = [](const Template& a, const Template& b) { return a.weight > b.weight; };
  for (auto& [word, list] : by_word_) std::stable_sort(list.begin(), list.end(), heavier);
  std::stable_sort(open_.begin(), open_.end(), heavier);
}

const std::string* Book::entry(const std::string& english) const {
  const auto found = exact_.find(english);
  return found == exact_.end() ? nullptr : &found->second;
}

std::vector<Bit> Book::say(const std::string& text) const {
  if (text.size() > kLongest) return {{text, true}};
  // A refusal comes as what is wrong, and after a dash what helps; reasons for an hour as a chain.
  for (std::size_t at = 0; at < text.size(); ++at) {
    const std::string_view rest = std::string_view(text).substr(at);
    const std::string_view between = rest.starts_with(" – ") ? " – " : rest.starts_with(" < ") ? " < " : "";
    if (between.empty()) continue;
    std::vector<Bit> bits = say(text.substr(0, at));
    bits.push_back({between == " < " ? " ← " : std::string(between), false});
    for (Bit& bit : say(text.substr(at + between.size()))) bits.push_back(std::move(bit));
    return bits;
  }
  const std::vector<std::size_t> ends = sentence_ends(text);
  std::vector<Bit> bits;
  for (std::size_t from = 0, first = 0; first < ends.size();) {
    std::size_t last = ends.size();
    std::optional<std::string> said;
    while (!said && last > first) {
      said = one(text.substr(from, ends[last - 1] - from), false);
      if (!said) --last;
    }
    const std::size_t end = said ? last - 1 : first;
    bits.push_back({(from > 0 ? " " : "") + (said ? *said : text.substr(from, ends[end] - from)), !said});
    from = ends[end] + 1;
    first = end + 1;
  }
  // A typed name may look like the end of a sentence ("Dr. Hill").
  if (bits.size() > 1 && std::any_of(bits.begin(), bits.end(), [](const Bit& b) { return b.english; }))
    if (auto loose = one(text, true)) return {{std::move(*loose), false}};
  return bits;
}

std::optional<std::string> Book::whole(const std::string& text) const {
  std::string out;
  for (const Bit& bit : say(text)) {
    if (bit.english) return std::nullopt;
    out += bit.text;
  }
  return out;
}

std::string Book::word(const std::string& text, const std::string& context) const {
  const auto found = exact_.find(context + '\4' + text);
  return found == exact_.end() ? text : found->second;
}

std::optional<std::string> Book::one(const std::string& sentence, bool loose) const {
  if (const auto exact = exact_.find(sentence); exact != exact_.end()) return exact->second;
  const auto found = find(sentence, loose);
  if (!found) return std::nullopt;
  std::string out;
  for (std::size_t i = 0; i < found->one->other.size(); ++i) {
    const std::string& part = found->one->other[i];
    if (i % 2 == 0) {
      out += part;
    } else if (const auto held = found->slots.find(part); held != found->slots.end()) {
      out += slot(part, held->second).value_or("");
    }
  }
  return out;
}

std::optional<Book::Found> Book::find(const std::string& sentence, bool loose) const {
  const auto ours = by_word_.find(first_word(sentence));
  for (const std::vector<Template>* list : {ours == by_word_.end() ? nullptr : &ours->second, &open_}) {
    if (!list) continue;
    for (const Template& one : *list) {
      if (sentence.find(one.mark) == std::string::npos) continue;
      if (auto slots = match(one, sentence, loose)) return Found{&one, std::move(*slots)};
    }
  }
  return std::nullopt;
}

// Every slot takes as little as it can; a place that failed once is not tried again, so the work stays slots × length.
std::optional<Book::Slots> Book::match(const Template& one, const std::string& text, bool loose) const {
  Slots slots;
  std::set<std::pair<std::size_t, std::size_t>> failed;
  const std::function<bool(std::size_t, std::size_t)> from = [&](std::size_t k, std::size_t at) -> bool {
    if (k == one.names.size()) return at == text.size();
    if (failed.contains({k, at})) return false;
    const std::string& next = one.literals[k + 1];
    const bool last = k + 1 == one.names.size();
    const auto after = [&](std::size_t place) {
      return place >= text.size() ? std::string::npos : text.find(next, place + 1);
    };
    std::size_t end = !last ? after(at) : text.size() < next.size() ? std::string::npos : text.size() - next.size();
    for (; end != std::string::npos && end > at; end = last ? std::string::npos : after(end)) {
      if (text.compare(end, next.size(), next) != 0 || !starts_letter(text, end)) continue;
      const std::string value = text.substr(at, end - at);
      if (!fits(one.names[k], value, loose) || !from(k + 1, end + next.size())) continue;
      slots[one.names[k]] = value;
      return true;
    }
    failed.insert({k, at});
    return false;
  };
  if (!text.starts_with(one.literals.front()) || !from(0, one.literals.front().size())) return std::nullopt;
  return slots;
}

bool Book::fits(const std::string& name, const std::string& value, bool loose) const {
  const std::string_view kind = kind_of(name);
  if (kind.empty() || kind == "word" || kind == "list" || kind == "part") return loose || !torn(value);
  return slot(name, value).has_value();
}

std::string Book::slot_number(std::string text) const { return with_point(text, marks_.point); }

std::optional<std::string> Book::slot(const std::string& name, const std::string& value) const {
  const std::string_view kind = kind_of(name);
  if (kind == "n") return is_number(value) ? std::optional(slot_number(value)) : std::nullopt;
  if (kind == "when") return moment(value);
  if (kind == "said") return whole(value);
  if (kind == "word") return one(value, true).value_or(value);
  if (kind == "list") return list(value);
  if (kind == "id") return is_step_id(value) ? std::optional(value) : std::nullopt;
  if (kind == "part") {
    std::vector<std::string> items = between_commas(value);
    for (std::string& item : items) item = word(item, "part");
    return joined(items, 0, items.size());
  }
  if (kind == "all") {
    std::string out;
    for (const std::string& sentence : sentences_between_commas(value)) {
      const auto said = whole(sentence);
      if (!said) return std::nullopt;
      out += (out.empty() ? "" : " ") + *said;
    }
    return out;
  }
  return value;
}

// Names have commas of their own ("Metal primer, alkyd"): the longest that is known is taken.
std::string Book::list(const std::string& value) const {
  const std::vector<std::string> items = between_commas(value);
  std::string out;
  for (std::size_t from = 0; from < items.size();) {
    std::size_t to = std::min(items.size(), from + 4);
    while (to > from + 1 && !exact_.contains(joined(items, from, to))) --to;
    const std::string item = joined(items, from, to);
    const auto known = exact_.find(item);
    out += (from > 0 ? ", " : "") + (known == exact_.end() ? item : known->second);
    from = to;
  }
  return out;
}

std::optional<std::string> Book::moment(const std::string& value) const {
  const auto found = moment_in(value);
  if (!found || !marks_.moment) return std::nullopt;
  return marks_.moment(found->year, found->month, found->day, found->minutes);
}

}  // namespace tackcloth::tongue
