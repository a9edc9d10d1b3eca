// Well-mixed zones joined by balanced air flows, fed by sources that change linearly in time: solved exactly.
#pragma once

#include <array>
#include <vector>

namespace tackcloth::air {

inline constexpr int kMostZones = 3;
using PerZone = std::array<double, kMostZones>;

// V_i dC_i/dt = E_i - (out_i + sum_j flow_ij) C_i + sum_j flow_ij C_j. Because flow_ij = flow_ji the system has real,
// never growing modes; each is stepped in closed form. Volumes m³, flows m³/h, E g/h, C g/m³, time h.
class Zones {
 public:
  // Preconditions: 1..kMostZones zones, volumes > 0, flows >= 0, `flow` symmetric (its diagonal is not read).
  Zones(int count, const PerZone& volume, const PerZone& out, const std::array<PerZone, kMostZones>& flow);

  // Factors of one step, shared by all components.
  struct Step {
    double hours = 0;
    PerZone fade{};           // e^(-r h)
    PerZone held{}, risen{};  // answer to a constant unit, and to a unit rising from 0 to 1, at the end of the step
    PerZone area{};           // integral of the fading start
    PerZone held_area{}, risen_area{};
  };
  Step step(double hours) const;

  // Concentrations at the end of a step that begins at `start` with emissions going linearly from `from` to `to`.
  // `integral` receives the integral of C over the step, g h/m³.
  PerZone advance(const Step& step, const PerZone& start, const PerZone& from, const PerZone& to,
                  PerZone& integral) const;

  int count() const { return count_; }

 private:
  int count_;
  PerZone root_volume_{};
  std::array<PerZone, kMostZones> modes_{};  // modes_[zone][mode], orthonormal
  PerZone rate_{};                           // 1/h, >= 0
};

}  // namespace tackcloth::air
