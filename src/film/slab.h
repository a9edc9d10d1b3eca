// Diffusion of volatile parts through a film whose top moves as it dries. One dimension, closed at the back; the face
// gives to the air against a resistance. The grid rides on the solids: the coordinate is the volume of solids per area
// between the back and a point, so no solids cross a cell's wall and the top needs no tracking (Crank, The Mathematics
// of Diffusion, 2nd ed., sections 10.2-10.3). In it each part obeys
//     du/dt = d/dxi ( D f^2 du/dxi )
// with u the volume of the part per volume of solids and f the volume share of solids. Finite volumes, second order in
// space and time, L-stable; what leaves through the face and what stays add up to rounding.
#pragma once

#include <vector>

namespace tackcloth::film {

// Mutual diffusion coefficient, one for all parts.
struct Diffusivity {
  double dry_m2_s = 1e-13;
  double per_share = 0;          // D = dry exp(per_share * volatile share by volume)
  bool in_solids_frame = false;  // D f^2 = dry whatever f: the textbook's constant coefficient
};

// The air at the face takes `m_s[i]` (volume of part i, m3/(m2 s)) per unit of its ratio u right at the face.
struct FaceTake {
  std::vector<double> m_s;
};

class Slab {
 public:
  // `cells` >= 2; the cell at the back is `stretch` times as thick as the one at the face (1: even).
  Slab(double solids_m, int parts, int cells, double stretch, const Diffusivity& diffusivity);

  int parts() const { return parts_; }
  int cells() const { return cells_; }
  double solids_m() const { return solids_m_; }
  double cell_m(int cell) const { return width_[static_cast<std::size_t>(cell)]; }

  // The same ratio of part `part` everywhere.
  void fill(int part, double ratio);
  double ratio(int part, int cell) const { return u_[at(part, cell)]; }
  // Volume of a part per area, m, and of everything in the film: the top's height over the back.
  double volume_m(int part) const;
  double thickness_m() const;

  // Ratio right at the face under `take`, now and half way through the step being made.
  double face_ratio(int part, const FaceTake& take) const;
  double mid_face_ratio(int part, const FaceTake& take) const;

  // A step is made in two moves. `half` goes half way with everything taken at the start and keeps the result aside;
  // `full` then goes the whole way with D half way and what the air takes half way. `gone_m[i]` is what left, m.
  // `full` may be asked again with another `take`: it starts from the same state until `accept`.
  void half(double dt_s, const FaceTake& take);
  void full(double dt_s, const FaceTake& take, std::vector<double>& gone_m);
  void accept();

 private:
  std::size_t at(int part, int cell) const { return static_cast<std::size_t>(part * cells_ + cell); }
  double face_conductance(const std::vector<double>& u, const FaceTake& take) const;
  void conductances(const std::vector<double>& u, const FaceTake& take);
  void factor(double dt_s);
  double solve(double dt_s, double take, const double* from, double* to) const;

  double solids_m_;
  int parts_, cells_;
  Diffusivity diffusivity_;
  std::vector<double> width_, u_, mid_, next_, stage_;
  std::vector<double> wall_;           // conductance of the wall above each cell, m/s; the last is the face
  bool face_found_ = false;            // half way, for the step being made
  double factored_s_ = 0;              // what the elimination was made for
  std::vector<bool> plain_;            // parts that take one plain implicit step
  mutable double left_at_face_ = 0.5;  // share of the last cell's ratio, the last time: a start for the next
  std::vector<double> upper_, pivot_;  // elimination from the back, shared by the parts
};

}  // namespace tackcloth::film
