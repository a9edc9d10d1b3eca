// A small catalogue by hand for the film tests. Products are generic; label times are demo values. Antoine constants:
// Poling, Prausnitz & O'Connell, The Properties of Gases and Liquids, 5th ed., appendix A, in mmHg and °C;
// diffusivities by the method of Fuller, Schettler and Giddings (ibid., eq. 11-4.4).
#pragma once

#include "catalog/catalog.h"
#include "climate/series.h"
#include "film/film.h"

namespace tackcloth::film::test {

inline catalog::Component component(const char* id, double molar_mass, double density, double a, double b, double c,
                                    double latent, double diffusivity) {
  catalog::Component out;
  out.id = out.name = id;
  out.molar_mass_g = molar_mass;
  out.density_kg_l = density;
  out.antoine_a = a;
  out.antoine_b = b;
  out.antoine_c = c;
  out.latent_kj_kg = latent;
  out.diffusivity_air_m2_s = diffusivity;
  return out;
}

inline catalog::Product product(const char* id, catalog::Binder binder, catalog::Carrier carrier, catalog::Cure cure,
                                double density, double solids_mass, double solids_volume,
                                std::vector<catalog::Volatile> volatiles, catalog::Label label) {
  catalog::Product out;
  out.id = out.name = id;
  out.binder = binder;
  out.carrier = carrier;
  out.cure = cure;
  out.density_kg_l = density;
  out.solids_mass_fraction = solids_mass;
  out.solids_volume_fraction = solids_volume;
  out.volatiles = std::move(volatiles);
  out.label = label;
  return out;
}

inline catalog::Label label(double wet_um, double touch, double scuff, double recoat, double other, double handle,
                            double use) {
  catalog::Label out;
  out.wet_um = wet_um;
  out.touch_h = touch;
  out.scuff_h = scuff;
  out.recoat_h = recoat;
  out.recoat_other_h = other;
  out.handle_h = handle;
  out.use_h = use;
  return out;
}

inline catalog::Catalog small_catalog() {
  using catalog::Binder;
  using catalog::Carrier;
  using catalog::Cure;
  catalog::Catalog c;
  c.components = {
      component("water", 18.015, 0.998, 7.99074, 1687.537, 230.170, 2442, 2.504e-5),
      component("ms_light", 128.26, 0.718, 6.94866, 1438.03, 202.694, 362, 6.162e-6),
      component("ms_heavy", 156.31, 0.740, 6.9722, 1569.57, 187.7, 361, 5.538e-6),
      component("ethanol", 46.07, 0.789, 8.21185, 1648.22, 230.918, 918, 1.225e-5),
      component("acetone", 58.08, 0.791, 7.0935, 1197.01, 228.06, 534, 1.058e-5),
      component("butyl_acetate", 116.16, 0.882, 7.3751, 1596.7, 229.3, 377, 7.223e-6),
      component("toluene", 92.14, 0.867, 6.92553, 1327.62, 217.625, 412, 8.056e-6),
      component("isopropanol", 60.1, 0.786, 8.11778, 1580.92, 219.61, 755, 1.024e-5),
      component("ethyl_acetate", 88.11, 0.902, 7.00871, 1195.13, 212.47, 404, 8.694e-6),
      component("xylene", 106.17, 0.864, 7.01561, 1468.703, 216.12, 402, 7.37e-6),
      component("dpnb", 190.28, 0.913, 6.9071, 1650.8, 180.0, 350, 5.485e-6),
      component("propylene_glycol", 76.09, 1.036, 8.9171, 2645.7, 250.7, 865, 9.565e-6),
  };
  catalog::Product paint =
      product("paint", Binder::acrylic, Carrier::water, Cure::coalescence, 1.3, 0.51, 0.36,
              {{"water", 0.44}, {"propylene_glycol", 0.03}, {"dpnb", 0.02}}, label(90, 1, 4, 4, 72, 24, 504));
  paint.min_film_temp_c = 7;
  paint.absorbency = 0.1;
  catalog::Product clear = product("clear", Binder::acrylic_urethane, Carrier::water, Cure::coalescence, 1.03, 0.32,
                                   0.3, {{"water", 0.62}, {"dpnb", 0.06}}, label(90, 0.5, 2.5, 2.5, 72, 12, 336));
  clear.min_film_temp_c = 10;
  catalog::Product wiping = product("wiping", Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation, 0.82, 0.35,
                                    0.27, {{"ms_light", 0.35}, {"ms_heavy", 0.30}}, label(75, 3, 14, 14, 72, 24, 168));
  wiping.label.recoat_max_h = 24;
  wiping.absorbency = 0.35;
  catalog::Product alkyd = product("alkyd", Binder::alkyd, Carrier::mineral_spirits, Cure::oxidation, 1.14, 0.68, 0.5,
                                   {{"ms_light", 0.15}, {"ms_heavy", 0.17}}, label(75, 6, 24, 24, 72, 24, 168));
  catalog::Product shellac = product("shellac", Binder::shellac_dewaxed, Carrier::alcohol, Cure::evaporation, 0.84, 0.2,
                                     0.15, {{"ethanol", 0.77}, {"water", 0.03}}, label(60, 0.2, 0.75, 1, 2, 2, 24));
  shellac.min_temp_c = 13;
  catalog::Product lacquer = product(
      "lacquer", Binder::nitrocellulose, Carrier::lacquer_thinner, Cure::evaporation, 0.92, 0.22, 0.15,
      {{"butyl_acetate", 0.3}, {"acetone", 0.18}, {"toluene", 0.12}, {"isopropanol", 0.1}, {"ethyl_acetate", 0.08}},
      label(90, 0.15, 0.75, 0.75, 24, 2, 72));
  catalog::Product spirits = product("spirits", Binder::none, Carrier::mineral_spirits, Cure::evaporation, 0.729, 0, 0,
                                     {{"ms_light", 0.5}, {"ms_heavy", 0.5}}, label(30, 2, 12, 12, 12, 2, 12));
  spirits.min_temp_c = 5;
  catalog::Product wax = product("wax", Binder::wax, Carrier::mineral_spirits, Cure::evaporation, 0.787, 0.34, 0.285,
                                 {{"ms_light", 0.4}, {"ms_heavy", 0.26}}, label(20, 0.75, 12, 24, 72, 12, 504));
  catalog::Product epoxy =
      product("epoxy", Binder::epoxy, Carrier::none, Cure::crosslink, 1.15, 1, 1, {}, label(200, 4, 12, 12, 24, 8, 24));
  c.products = {paint, clear, wiping, alkyd, shellac, lacquer, spirits, wax, epoxy};
  return c;
}

inline climate::ClimateSeries air(double temp_c, double rh, double speed_m_s = 0.1) {
  return climate::ClimateSeries::constant({temp_c, rh, 101325.0, speed_m_s});
}

inline Instant at_hour(int hours) { return Instant{} + std::chrono::hours{hours}; }

}  // namespace tackcloth::film::test
