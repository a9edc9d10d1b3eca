#include "film/slab.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

// Diagonally implicit Runge-Kutta of two stages, second order and L-stable (Alexander, SIAM J. Numer. Anal. 14, 1977).
const double kGamma = 1 - std::sqrt(0.5);

// Integral of D f^2 over u from dry, divided by dry. With f = 1 / (1 + u) the share of volatile is y = u / (1 + u) and
// dy = f^2 du, so the integral is in closed form.
double potential(const Diffusivity& d, double u) {
  if (d.in_solids_frame) return u;
  const double share = u / (1 + u);
  return d.per_share > 0 ? std::expm1(d.per_share * share) / d.per_share : share;
}

double local(const Diffusivity& d, double u) {
  if (d.in_solids_frame) return 1;
  const double solid = 1 / (1 + u);
  return solid * solid * (d.per_share > 0 ? std::exp(d.per_share * (1 - solid)) : 1.0);
}

// Mean of D f^2 over the stretch between two ratios, m2/s.
double between(const Diffusivity& d, double u, double v, double of_u, double of_v) {
  if (std::fabs(u - v) > 1e-5 * (1 + u + v)) return d.dry_m2_s * (of_u - of_v) / (u - v);
  return d.dry_m2_s * local(d, 0.5 * (u + v));
}

}  // namespace

Slab::Slab(double solids_m, int parts, int cells, double stretch, const Diffusivity& diffusivity)
    : solids_m_(solids_m), parts_(parts), cells_(std::max(cells, 2)), diffusivity_(diffusivity) {
  const std::size_t n = static_cast<std::size_t>(cells_);
  width_.resize(n);
  // A smooth stretch, the same function of the place whatever the number of cells: order two is kept.
  double sum = 0;
  for (std::size_t k = 0; k < n; ++k) {
    const double place = (static_cast<double>(k) + 0.5) / static_cast<double>(n);
    sum += width_[k] = std::pow(stretch, 1 - place);
  }
  for (double& w : width_) w *= solids_m / sum;
  u_.assign(n * static_cast<std::size_t>(parts), 0.0);
  plain_.assign(static_cast<std::size_t>(parts), false);
  mid_ = next_ = u_;
  stage_.resize(n);
  wall_.resize(n);
  upper_.resize(n);
  pivot_.resize(n);
}

void Slab::fill(int part, double ratio) {
  std::fill_n(u_.begin() + static_cast<std::ptrdiff_t>(at(part, 0)), cells_, ratio);
}

double Slab::volume_m(int part) const {
  double sum = 0;
  for (int k = 0; k < cells_; ++k) sum += width_[static_cast<std::size_t>(k)] * u_[at(part, k)];
  return sum;
}

double Slab::thickness_m() const {
  double sum = solids_m_;
  for (int i = 0; i < parts_; ++i) sum += volume_m(i);
  return sum;
}

// Conductance of the half cell under the face, with D taken between the cell and the face: the skin is where D falls.
// The share of the ratio left at the face, one for all parts, follows from flux through = flux taken (Newton, guarded).
double Slab::face_conductance(const std::vector<double>& u, const FaceTake& take) const {
  double last = 0, taken = 0;
  for (int i = 0; i < parts_; ++i) {
    last += u[at(i, cells_ - 1)];
    taken += u[at(i, cells_ - 1)] * take.m_s[static_cast<std::size_t>(i)];
  }
  const double scale = diffusivity_.dry_m2_s * 2 / width_.back();
  const double of_last = potential(diffusivity_, last);
  if (!(last > 1e-12)) return scale * local(diffusivity_, 0);
  if (diffusivity_.in_solids_frame) return scale;
  double low = 0, high = 1, left = left_at_face_;
  for (int pass = 0; pass < 20; ++pass) {
    const double miss = scale * (of_last - potential(diffusivity_, left * last)) - taken * left;
    (miss > 0 ? low : high) = left;
    const double next = left + miss / (scale * last * local(diffusivity_, left * last) + taken);
    const double change = next - left;
    left = next > low && next < high ? next : 0.5 * (low + high);
    if (std::fabs(change) < 1e-8) break;
  }
  left_at_face_ = left;
  return between(diffusivity_, last, left * last, of_last, potential(diffusivity_, left * last)) * 2 / width_.back();
}

double Slab::face_ratio(int part, const FaceTake& take) const {
  const double g = face_conductance(u_, take);
  return g * u_[at(part, cells_ - 1)] / (g + take.m_s[static_cast<std::size_t>(part)]);
}

double Slab::mid_face_ratio(int part, const FaceTake& take) const {
  const double g = face_conductance(mid_, take);
  return g * mid_[at(part, cells_ - 1)] / (g + take.m_s[static_cast<std::size_t>(part)]);
}

void Slab::conductances(const std::vector<double>& u, const FaceTake& take) {
  double below = 0, of_below = 0;
  for (int k = 0; k < cells_; ++k) {
    double sum = 0;
    for (int i = 0; i < parts_; ++i) sum += u[at(i, k)];
    const double of_sum = potential(diffusivity_, sum);
    const std::size_t j = static_cast<std::size_t>(k);
    if (k > 0) wall_[j - 1] = between(diffusivity_, below, sum, of_below, of_sum) / (0.5 * (width_[j - 1] + width_[j]));
    below = sum;
    of_below = of_sum;
  }
  wall_.back() = face_conductance(u, take);
}

// Gaussian elimination of the cells under the face: the same for every part.
void Slab::factor(double dt_s) {
  const std::size_t n = static_cast<std::size_t>(cells_);
  double lower = 0, carried = 0;  // wall below, times dt; what elimination took from the diagonal
  for (std::size_t k = 0; k + 1 < n; ++k) {
    const double wall = wall_[k] * dt_s;
    pivot_[k] = 1 / (width_[k] + lower + wall - carried);
    upper_[k] = wall * pivot_[k];
    carried = wall * upper_[k];
    lower = wall;
  }
  factored_s_ = dt_s;
  pivot_[n - 1] = width_[n - 1] + lower - carried;  // the face adds its own
}

// One implicit Euler stage of `dt_s` (already factored). Returns the flux through the face at its end, m/s.
double Slab::solve(double dt_s, double take, const double* from, double* to) const {
  const std::size_t n = static_cast<std::size_t>(cells_);
  const double face = wall_[n - 1] * take / (wall_[n - 1] + take);
  double carried = 0;
  for (std::size_t k = 0; k + 1 < n; ++k) {
    to[k] = (width_[k] * from[k] + carried) * pivot_[k];
    carried = wall_[k] * dt_s * to[k];
  }
  to[n - 1] = (width_[n - 1] * from[n - 1] + carried) / (pivot_[n - 1] + face * dt_s);
  for (std::size_t k = n - 1; k-- > 0;) to[k] += upper_[k] * to[k + 1];
  return face * to[n - 1];
}

void Slab::half(double dt_s, const FaceTake& take) {
  std::fill(plain_.begin(), plain_.end(), false);
  face_found_ = false;
  conductances(u_, take);
  factor(0.5 * dt_s);
  for (int i = 0; i < parts_; ++i)
    solve(0.5 * dt_s, take.m_s[static_cast<std::size_t>(i)], &u_[at(i, 0)], &mid_[at(i, 0)]);
  conductances(mid_, take);
}

void Slab::full(double dt_s, const FaceTake& take, std::vector<double>& gone_m) {
  // The face's conductance half way is found once a step; so is the elimination.
  if (!face_found_) {
    wall_.back() = face_conductance(mid_, take);
    face_found_ = true;
    factored_s_ = 0;
  }
  if (factored_s_ != kGamma * dt_s) factor(kGamma * dt_s);
  bool some_plain = false;
  gone_m.assign(static_cast<std::size_t>(parts_), 0.0);
  for (int i = 0; i < parts_; ++i) {
    const std::size_t part = static_cast<std::size_t>(i);
    const double* from = &u_[at(i, 0)];
    double* to = &next_[at(i, 0)];
    if (!plain_[part]) {
      const double first = solve(kGamma * dt_s, take.m_s[part], from, to);
      constexpr double carry = 2.414213562373095;  // (1 - gamma) / gamma
      for (int k = 0; k < cells_; ++k) stage_[static_cast<std::size_t>(k)] = from[k] + carry * (to[k] - from[k]);
      const double second = solve(kGamma * dt_s, take.m_s[part], stage_.data(), to);
      gone_m[part] = dt_s * ((1 - kGamma) * first + kGamma * second);
      plain_[part] = std::any_of(to, to + cells_, [](double x) { return x < 0; });
    }
    some_plain = some_plain || plain_[part];
  }
  if (!some_plain) return;
  // A part that leaves in much less than the step: one plain implicit step, which stays positive; for this step it
  // stays with that, so that what leaves is a smooth function of what the air takes.
  factor(dt_s);
  for (int i = 0; i < parts_; ++i) {
    const std::size_t part = static_cast<std::size_t>(i);
    if (plain_[part]) gone_m[part] = dt_s * solve(dt_s, take.m_s[part], &u_[at(i, 0)], &next_[at(i, 0)]);
  }
}

void Slab::accept() { u_.swap(next_); }

}  // namespace tackcloth::film
