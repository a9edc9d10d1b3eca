#include "calendar/proof_focus.h"

#include <algorithm>

namespace tackcloth::calendar::proof {
namespace {

constexpr double kDecay = 0.95;
constexpr std::size_t kMost = 2'000'000;  // questions; beyond, all start anew

std::size_t hash(Literal l) {
  std::uint64_t z =
      (static_cast<std::uint64_t>(static_cast<std::uint32_t>(l.bound)) << 32) | static_cast<std::uint32_t>(l.value);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;  // splitmix64's mixing
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
  return static_cast<std::size_t>(z ^ (z >> 31));
}

}  // namespace

Focus::Focus() : table_(1024, -1) {}

void Focus::grow() {
  if (question_.size() >= kMost) {
    question_.clear();
    score_.clear();
    place_.clear();
    heap_.clear();
    out_.clear();
    table_.assign(1024, -1);
    return;
  }
  table_.assign(table_.size() * 2, -1);
  for (std::size_t k = 0; k < question_.size(); ++k) {
    std::size_t slot = hash(question_[k]) & (table_.size() - 1);
    while (table_[slot] >= 0) slot = (slot + 1) & (table_.size() - 1);
    table_[slot] = static_cast<std::int32_t>(k);
  }
}

int Focus::atom_of(Literal l) {
  if (l.bound & 1) l = negated(l);
  if (2 * question_.size() + 2 > table_.size()) grow();
  std::size_t slot = hash(l) & (table_.size() - 1);
  for (; table_[slot] >= 0; slot = (slot + 1) & (table_.size() - 1)) {
    if (question_[at(table_[slot])] == l) return table_[slot];
  }
  const auto atom = static_cast<std::int32_t>(question_.size());
  table_[slot] = atom;
  question_.push_back(l);
  score_.push_back(0);
  place_.push_back(static_cast<std::int32_t>(heap_.size()));
  heap_.push_back(atom);
  return atom;
}

void Focus::bump(Literal l) {
  const int a = atom_of(l);
  score_[at(a)] += step_;
  if (score_[at(a)] > 1e100) {
    for (double& s : score_) s *= 1e-100;
    step_ *= 1e-100;
  }
  if (place_[at(a)] >= 0) up(at(place_[at(a)]));
}

void Focus::decay() { step_ /= kDecay; }

void Focus::up(std::size_t place) {
  const std::int32_t a = heap_[place];
  while (place > 0) {
    const std::size_t parent = (place - 1) / 2;
    if (!before(a, heap_[parent])) break;
    heap_[place] = heap_[parent];
    place_[at(heap_[place])] = static_cast<std::int32_t>(place);
    place = parent;
  }
  heap_[place] = a;
  place_[at(a)] = static_cast<std::int32_t>(place);
}

void Focus::down(std::size_t place) {
  const std::int32_t a = heap_[place];
  for (;;) {
    std::size_t child = 2 * place + 1;
    if (child >= heap_.size()) break;
    if (child + 1 < heap_.size() && before(heap_[child + 1], heap_[child])) ++child;
    if (!before(heap_[child], a)) break;
    heap_[place] = heap_[child];
    place_[at(heap_[place])] = static_cast<std::int32_t>(place);
    place = child;
  }
  heap_[place] = a;
  place_[at(a)] = static_cast<std::int32_t>(place);
}

Literal Focus::pop(int level) {
  if (heap_.empty()) return {};
  const std::int32_t a = heap_.front();
  place_[at(a)] = -1;
  const std::int32_t last = heap_.back();
  heap_.pop_back();
  if (!heap_.empty()) {
    heap_.front() = last;
    place_[at(last)] = 0;
    down(0);
  }
  out_.push_back({a, level});
  return question_[at(a)];
}

void Focus::put_back(std::int32_t atom) {
  if (place_[at(atom)] >= 0) return;
  place_[at(atom)] = static_cast<std::int32_t>(heap_.size());
  heap_.push_back(atom);
  up(heap_.size() - 1);
}

void Focus::restore(int level) {
  for (; !out_.empty() && out_.back().level > level; out_.pop_back()) put_back(out_.back().atom);
}

}  // namespace tackcloth::calendar::proof
