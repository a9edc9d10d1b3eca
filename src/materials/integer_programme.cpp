#include "materials/integer_programme.h"

#include <cmath>

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wpedantic"
#include <coin/CbcModel.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#pragma GCC diagnostic pop

namespace tackcloth::materials {

namespace {

constexpr int kNodes = 50'000;

}  // namespace

std::optional<WholeCounts> solve(const IntegerProgramme& programme) {
  const int columns = static_cast<int>(programme.cost.size());
  CoinPackedMatrix matrix(false, 0, 0);
  matrix.setDimensions(0, columns);
  std::vector<double> low, high;
  for (const IntegerProgramme::Row& row : programme.rows) {
    CoinPackedVector values;
    for (const auto& [column, factor] : row.values) values.insert(column, factor);
    matrix.appendRow(values);
    low.push_back(row.low);
    high.push_back(row.high);
  }
  const std::vector<double> zero(programme.cost.size(), 0);
  OsiClpSolverInterface lp;
  lp.messageHandler()->setLogLevel(0);
  lp.loadProblem(matrix, zero.data(), programme.most.data(), programme.cost.data(), low.data(), high.data());
  for (int i = 0; i < columns; ++i) lp.setInteger(i);
  CbcModel model(lp);
  model.setLogLevel(0);
  model.messageHandler()->setLogLevel(0);
  model.solver()->messageHandler()->setLogLevel(0);
  model.setMaximumNodes(kNodes);
  model.setAllowableGap(0);
  model.setAllowableFractionGap(0);
  model.setDblParam(CbcModel::CbcCutoffIncrement, 0.999);  // the objective is whole
  model.branchAndBound();
  const double* best = model.bestSolution();
  if (best == nullptr) return std::nullopt;
  WholeCounts found;
  for (int i = 0; i < columns; ++i) found.counts.push_back(static_cast<int>(std::lround(best[i])));
  found.proven = model.isProvenOptimal();
  return found;
}

}  // namespace tackcloth::materials
