// The photo of the demo's radio cabinet, rendered: 68 x 41 x 30 cm, walnut veneer under old lacquer, a speaker cloth
// opening is not shown. Render: povray cabinet.pov +W1600 +H1200 +FN8 File_Gamma=sRGB +A0.1 +R3 +AM1 -D
// The corners of the front, in pixels of a 1600 x 1200 picture, are printed to the log (#debug).
#version 3.7;
global_settings {
  assumed_gamma 1.0
  radiosity { pretrace_start 0.08 pretrace_end 0.01 count 200 nearest_count 8 error_bound 0.4 recursion_limit 2
              low_error_factor 0.6 minimum_reuse 0.01 brightness 1 normal off }
}
background { rgb <0.22, 0.225, 0.235> }
#declare Eye = <-38, 66, -150>;
#declare Aim = <1, 20, 0>;
#declare Angle = 38;
camera { perspective location Eye look_at Aim angle Angle right x*4/3 up y }
light_source { <-190, 190, -190> rgb 0.85*<1.0, 0.93, 0.82> area_light <40,0,0>, <0,40,0>, 5, 5 adaptive 1 circular orient }
light_source { <230, 120, -160> rgb 0.22*<0.86, 0.94, 1.0> area_light <60,0,0>, <0,60,0>, 4, 4 adaptive 1 circular orient }

#declare Walnut = pigment {
  average
  pigment_map {
    [2 wood turbulence 0.12 octaves 4 scale <3.2, 3.2, 46> rotate <84, 10, 0> translate <9, 5, 0>
      color_map { [0 rgb <0.205,0.108,0.056>] [0.5 rgb <0.160,0.078,0.038>] [0.8 rgb <0.092,0.040,0.018>] [1 rgb <0.19,0.098,0.05>] }]
    [1 bozo scale <0.28, 8, 0.28>
      color_map { [0 rgb <0.095,0.042,0.019>] [0.4 rgb <0.18,0.09,0.044>] [1 rgb <0.21,0.11,0.057>] }]
  }
}
#declare Lacquer = finish { ambient 0 diffuse 1 specular 0.12 roughness 0.025 }
// The case: its front is the plane z = 0, from (-34, 6) to (34, 47).
box { <-34, 6, 0>, <34, 47, 30> texture { pigment { Walnut } finish { Lacquer } } }
// Feet, and the dent of a missing knob.
#declare Dark = texture { pigment { rgb <0.05, 0.035, 0.025> } finish { ambient 0 diffuse 1 } }
box { <-31, 0, 3>, <-27, 6, 7> texture { Dark } } box { <27, 0, 3>, <31, 6, 7> texture { Dark } }
box { <-31, 0, 23>, <-27, 6, 27> texture { Dark } } box { <27, 0, 23>, <31, 6, 27> texture { Dark } }
// Bench and wall.
plane { y, 0 texture { pigment { wood turbulence 0.1 scale <4, 4, 80> rotate <0, 88, 0>
  color_map { [0 rgb <0.42,0.33,0.22>] [0.7 rgb <0.36,0.27,0.17>] [1 rgb <0.30,0.22,0.13>] } } finish { ambient 0 diffuse 1 } } }
plane { -z, -95 texture { pigment { rgb <0.58, 0.585, 0.56> } finish { ambient 0 diffuse 1 } } }
// A grey card leaning on the wall side, reflectance 0.18.
box { <0, 0, 0>, <12, 16, 0.3> texture { pigment { rgb 0.18 } finish { ambient 0 diffuse 1 } } rotate x*12 rotate y*8 translate <41, 0, 4> }

// Where a point comes to lie on the picture (pinhole camera).
#macro Pixel(P)
  #local D = vnormalize(Aim - Eye);
  #local R = vnormalize(vcross(y, D));
  #local U = vcross(D, R);
  #local V = P - Eye;
  #local F = 0.5 / tan(radians(Angle / 2));  // of the picture's width
  #debug concat("[", str(1600 * (0.5 + F * vdot(V, R) / vdot(V, D)), 0, 1), ", ",
                str(1200 * (0.5 - F * 4/3 * vdot(V, U) / vdot(V, D)), 0, 1), "]\n")
#end
Pixel(<-34, 6, 0>) Pixel(<34, 6, 0>) Pixel(<34, 47, 0>) Pixel(<-34, 47, 0>)
