#include "color/metamerism.h"

#include "color/difference.h"

namespace tackcloth::color {

Metamerism metamerism(const Spectrum& standard, const Spectrum& sample, const Viewer& reference, const Viewer& test,
                      Correction correction) {
  const Xyz s = reference.xyz(standard), p = reference.xyz(sample), t = test.xyz(standard);
  Xyz q = test.xyz(sample);
  if (correction == Correction::additive) {
    q = {q.x + s.x - p.x, q.y + s.y - p.y, q.z + s.z - p.z};
  } else if (correction == Correction::multiplicative) {
    const auto ratio = [](double a, double b) { return b > 0 ? a / b : 1; };
    q = {q.x * ratio(s.x, p.x), q.y * ratio(s.y, p.y), q.z * ratio(s.z, p.z)};
  }
  const Lab one = lab_from_xyz(t, test.white()), other = lab_from_xyz(q, test.white());
  const Xyz& white = reference.white();
  return {difference_2000(one, other), difference_1976(one, other),
          difference_2000(lab_from_xyz(s, white), lab_from_xyz(p, white))};
}

}  // namespace tackcloth::color
