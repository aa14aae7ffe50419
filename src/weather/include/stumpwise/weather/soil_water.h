#pragma once

/// Water of the root zone as one store (FAO-56, chapter 8). Depletion Dr is what the store lacks: 0 at field
/// capacity, the total available water TAW at the wilting point. All in mm of water.
namespace stumpwise::weather {

/// TAW = 1000 (field capacity - wilting point) depth (eq. 82), contents in m3/m3, depth in m.
double total_available_water_mm(double field_capacity, double wilting_point, double depth_m);
/// Share of TAW that is taken without stress: p + 0.04 (5 - ETc), kept in 0.1 to 0.8 (FAO-56, note to table
/// 22).
double depletion_fraction(double p_table, double etc_mm);
/// Ks = (TAW - Dr) / (TAW - RAW) (eq. 84): 1 while Dr <= RAW, 0 from TAW on.
double stress_coefficient(double depletion_mm, double total_mm, double readily_mm);

/// One day of the store (eq. 85 without capillary rise and runoff). Depletion after = before - rain + taken +
/// drained.
struct SoilWaterStep {
  double depletion_mm;  ///< at the end of the day, 0 to TAW
  double taken_mm;      ///< Ks ET, never more than is there
  double drained_mm;    ///< rain that the store could not hold
};
/// Ks is told from the depletion at the day's start, as in FAO-56 example 37. `demand_mm`: what the stand
/// would take where water is not short (Kc ET0).
SoilWaterStep next_soil_water(double depletion_mm, double rain_mm, double demand_mm, double total_mm,
                              double readily_mm);

}  // namespace stumpwise::weather
