// A two-door cabinet with framed panels; the zone is the whole painted body, the top is oak and the knobs brass.
#include "common.inc"
camera { location <-75, 105, -205> look_at <2, 44, 10> angle 37 right x*4/3 }
#macro Door(X)
  union {
    difference {
      box { <X, 12, -25>, <X + 38, 82, -22.6> }
      box { <X + 6, 18, -25.1>, <X + 32, 76, -23.6> }
    }
    // the raised field
    prism { linear_spline conic_sweep 0.8, 1, 5, <-13,-29>, <13,-29>, <13,29>, <-13,29>, <-13,-29>
      translate -1*y scale <1, 1, 1> rotate <90, 0, 0> scale <0.88, 0.92, 6> translate <X + 19, 47, -23.4> }
  }
#end
union {
  box { <-40, 8, -22.5>, <40, 86, 22> }
  object { Door(-39) }
  object { Door(1) }
  box { <-40, 0, -21>, <-34, 8, -15> } box { <34, 0, -21>, <40, 8, -15> }
  box { <-40, 0, 15>, <-34, 8, 21> } box { <34, 0, 15>, <40, 8, 21> }
  Zone()
}
box { <-42, 86, -26>, <42, 89, 24> Other(<0.36, 0.21, 0.10>, 0.1) }
sphere { <-5.5, 50, -27>, 1.8 Metal(<0.75, 0.55, 0.25>) }
sphere { <5.5, 50, -27>, 1.8 Metal(<0.75, 0.55, 0.25>) }
cylinder { <18, 89, 2>, <18, 104, 2>, 7 Other(<0.12, 0.28, 0.42>, 0.3) }
