// Colour spaces of one colour, as plain values. Y = 1 is the white. No value is clipped unless the name says so.
#pragma once

namespace tackcloth::color {

struct Xyz {
  double x = 0, y = 0, z = 0;
};
struct Lab {
  double l = 0, a = 0, b = 0;
};
struct Lch {
  double l = 0, c = 0, h_deg = 0;  // 0 <= h_deg < 360
};
struct Oklab {
  double l = 0, a = 0, b = 0;
};
// Linear light on the primaries of sRGB (IEC 61966-2-1, white D65); 0..1 inside the gamut.
struct LinearRgb {
  double r = 0, g = 0, b = 0;
};

// Whites of the 2 degree observer as used by CSS Color Module Level 4 (x, y of D50 0.3457, 0.3585; D65 0.3127, 0.3290).
inline constexpr Xyz kD50{0.3457 / 0.3585, 1.0, (1.0 - 0.3457 - 0.3585) / 0.3585};
inline constexpr Xyz kD65{0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290};

// CIE 15:2018, equations 8.3 to 8.11 and their inverse.
Lab lab_from_xyz(const Xyz& xyz, const Xyz& white);
Xyz xyz_from_lab(const Lab& lab, const Xyz& white);
Lch lch_from_lab(const Lab& lab);
Lab lab_from_lch(const Lch& lch);

LinearRgb linear_rgb_from_xyz(const Xyz& d65);
Xyz xyz_from_linear_rgb(const LinearRgb& rgb);  // D65
// The sRGB transfer curve, continued antisymmetrically below 0 (CSS Color 4).
double encode_srgb(double linear);
double decode_srgb(double encoded);

// Ottosson's Oklab as in CSS Color 4.
Oklab oklab_from_linear_rgb(const LinearRgb& rgb);
LinearRgb linear_rgb_from_oklab(const Oklab& lab);

enum class Adaptation { bradford, cat16 };
// What `xyz` seen under `from` becomes under `to`.
Xyz adapt(const Xyz& xyz, const Xyz& from, const Xyz& to, Adaptation how = Adaptation::bradford);

// The everyday pair: Lab of D50 (the lab() of CSS Color 4) and linear sRGB, through Bradford.
Lab lab_from_linear_rgb(const LinearRgb& rgb);
LinearRgb linear_rgb_from_lab(const Lab& d50);

bool in_gamut(const LinearRgb& rgb, double slack = 1e-6);
// Nearest look inside sRGB: lightness and hue kept, chroma given up (CSS Color 4, section 13.2).
LinearRgb map_to_gamut(const LinearRgb& rgb);

}  // namespace tackcloth::color
