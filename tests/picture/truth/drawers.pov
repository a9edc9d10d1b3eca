// A chest of three drawers with a rounded top edge; the zone is the drawer fronts and the sides, the top is stone.
#include "common.inc"
camera { location <70, 92, -190> look_at <-2, 38, 8> angle 36 right x*4/3 }
#macro Front(Y, H)
  union {
    superellipsoid { <0.06, 0.06> scale <41, H / 2, 1.6> translate <0, Y + H / 2, -26> }
    // a half-round bead around the front
    cylinder { <-37, Y + 3.5, -27.6>, <37, Y + 3.5, -27.6>, 0.7 }
    cylinder { <-37, Y + H - 3.5, -27.6>, <37, Y + H - 3.5, -27.6>, 0.7 }
  }
#end
union {
  box { <-44, 6, -25>, <44, 78, 24> }
  object { Front(9, 22) }
  object { Front(32.5, 22) }
  object { Front(56, 19) }
  cone { <-38, 0, -20>, 2, <-38, 6, -20>, 3.6 } cone { <38, 0, -20>, 2, <38, 6, -20>, 3.6 }
  cone { <-38, 0, 18>, 2, <-38, 6, 18>, 3.6 } cone { <38, 0, 18>, 2, <38, 6, 18>, 3.6 }
  Zone()
}
superellipsoid { <0.05, 0.5> scale <47, 1.6, 27.5> translate <0, 79.6, -0.5> Other(<0.55, 0.55, 0.53>, 0.2) }
#declare R = 0;
#while (R < 3)
  torus { 4, 0.6 rotate <90, 0, 0> translate <-20, 17 + R * 23.3, -29> Metal(<0.6, 0.6, 0.58>) }
  torus { 4, 0.6 rotate <90, 0, 0> translate <20, 17 + R * 23.3, -29> Metal(<0.6, 0.6, 0.58>) }
  #declare R = R + 1;
#end
sphere { <-24, 90, 4>, 9 Other(<0.5, 0.16, 0.10>, 0.2) }
