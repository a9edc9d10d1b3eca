// A chair of turned and sawn parts; the zone is all the wood, the seat pad is cloth.
#include "common.inc"
camera { location <-95, 100, -165> look_at <0, 49, 4> angle 38 right x*4/3 }
#macro Leg(X, Z)
  union {
    cone { <X, 0, Z>, 1.6, <X * 0.92, 22, Z * 0.92>, 2.6 }
    sphere { <X * 0.92, 23, Z * 0.92>, 3.1 }
    cone { <X * 0.92, 24, Z * 0.92>, 2.5, <X * 0.85, 44, Z * 0.85>, 3.0 }
  }
#end
union {
  object { Leg(-22, -20) } object { Leg(22, -20) } object { Leg(-22, 20) } object { Leg(22, 20) }
  cylinder { <-19.5, 20, -18>, <-19.5, 20, 18>, 1.3 } cylinder { <19.5, 20, -18>, <19.5, 20, 18>, 1.3 }
  cylinder { <-19.5, 20, 0>, <19.5, 20, 0>, 1.3 }
  superellipsoid { <0.25, 0.25> scale <24, 2.4, 22> translate <0, 46, 0> }
  // back: two posts, a bowed top rail, five spindles
  cone { <-20, 46, 18>, 2.4, <-22, 96, 27>, 1.8 } cone { <20, 46, 18>, 2.4, <22, 96, 27>, 1.8 }
  intersection {
    difference { cylinder { <0, 84, -20>, <0, 100, -20>, 52 } cylinder { <0, 83, -20>, <0, 101, -20>, 49 } }
    box { <-25, 84, 10>, <25, 99, 40> }
  }
  #declare I = -2;
  #while (I <= 2)
    cylinder { <I * 7, 46, 18.5>, <I * 7.6, 88, 29>, 1.15 }
    #declare I = I + 1;
  #end
  Zone()
}
superellipsoid { <0.35, 0.5> scale <19, 2.2, 16> translate <0, 50, -2> Other(<0.45, 0.40, 0.32>, 0) }
