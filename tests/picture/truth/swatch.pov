// The bare colour of a wood, evenly lit from everywhere: its mean is the wood's albedo, as a colour meter would give it.
#include "common.inc"
camera { orthographic location <0, 45, -100> look_at <0, 45, 0> right 64*x up 64*y }
box {
  <-60, -10, -25>, <60, 90, -22>
  texture {
    #if (WOOD = 2) pigment { WoodDark } #else pigment { WoodPale } #end
    finish { ambient 0 diffuse 0 emission 1 }
  }
}
