// Looks for ever shorter layouts: a height to reach is set, and orders of the boxes are changed little by little until
// all find a place under it.
#pragma once

#include <functional>
#include <random>

#include "cutting/layer.h"
#include "cutting/strip.h"

namespace tackcloth::cutting {

class Search {
 public:
  // `better` gets every shorter layout, with its height (gap counted).
  Search(const Boxes& boxes, Layer& layer, const Options& options, bool splits, Length bound,
         std::function<void(const std::vector<Spot>&, Length)> better);

  // Until `most` layouts have been tried in all, the options' time is over or the bound is met. Goes on where it left
  // off; `best` (when not 0) and `bound` are what others have found meanwhile.
  void run(std::int64_t most, Length best = 0, Length bound = 0);
  bool over();
  std::int64_t layouts() const { return layouts_; }
  Length best() const { return best_; }

 private:
  struct State {
    std::vector<int> order;
    std::vector<char> ways;
  };
  void first_layouts();
  bool reach(Length cap, std::int64_t most);
  std::size_t below(std::size_t bound);
  Length lay(const State& state, Length cap, Length most_left);
  void change(State& state);

  const Boxes& boxes_;
  Layer& layer_;
  const Options& options_;
  Length bound_, best_ = 0;
  std::function<void(const std::vector<Spot>&, Length)> better_;
  std::vector<State> starts_;
  std::mt19937_64 random_;
  std::int64_t layouts_ = 0, most_ = 0, patience_ = 200;
  Length step_ = 0;
  double started_ = 0;
  bool stopped_ = false, splits_, turns_ = false;
};

}  // namespace tackcloth::cutting
