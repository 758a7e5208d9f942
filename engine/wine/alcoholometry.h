// What ethanol and water weigh together, and what a density says of the strength.
//
// Everything rests on one formula, the density of ethanol-water of OIML R 22 (1975), also Council Directive 76/766/EEC,
// annex, section 4. It agrees with tables measured elsewhere to 0.04 kg/m3 below 20 % mass and 0.1 kg/m3 up to 85 %
// mass.
//
// A strength in %vol is defined at 20 C on both volumes (same annex, section 1): the ethanol, alone, over the mixture.
//
// A wine also holds sugar, acids and glycerol. Its density alone does not give its strength (see must.h).
// Nothing is extrapolated: outside the stated ranges, and for a value that is not a number, the answer is empty.
#pragma once

#include <optional>

namespace tierce {

inline constexpr double kLowestDensityC = -20.0;  // the formula's range of temperature, OIML R 22
inline constexpr double kHighestDensityC = 40.0;
inline constexpr double kWaterDensity20cKgM3 = 998.20123;  // coefficient A1 of OIML R 22
inline constexpr double kMostLitres = 1e12;  // more than any cellar; larger volumes are refused as mistakes
inline constexpr double kSixtyFahrenheitC = 140.0 / 9.0;  // where US proof is defined (27 CFR 30.11)
inline constexpr double kSodaLimeGlassPerC = 25e-6;  // cubic expansion of a glass instrument, 1/C, OIML R 22 tables

/// Density in kg/m3 of ethanol-water of this mass fraction (0..1) at this temperature (-20..40 C).
/// It says nothing of ice: below the freezing point of the mixture it describes a liquid that is not there.
std::optional<double> density_kg_m3(double mass_fraction, double temperature_c);

/// Density in kg/m3 of ethanol-water of this strength (0..100 %vol at 20 C) at this temperature (-20..40 C).
std::optional<double> density_of_strength_kg_m3(double alcohol_pct, double temperature_c);

/// Strength in %vol at 20 C of ethanol-water of this mass fraction (0..1).
std::optional<double> alcohol_pct_from_mass_fraction(double mass_fraction);

/// Mass fraction (0..1) of ethanol-water of this strength (0..100 %vol at 20 C), to the precision of the formula.
std::optional<double> mass_fraction_from_alcohol_pct(double alcohol_pct);

/// Strength in %vol at 20 C of ethanol-water whose true density at this temperature (-20..40 C) is known in kg/m3.
/// Empty where the liquid would be heavier than water or lighter than ethanol at that temperature.
/// At 20 C, 0.1 kg/m3 is 0.07 %vol near water, 0.09 %vol near 20 %vol and 0.02 %vol near pure ethanol. In the cold the
/// curve flattens (at -20 C it is nearly level around 23 %vol), and a density says little there.
std::optional<double> alcohol_pct_from_density(double density_kg_m3, double temperature_c);

/// True strength in %vol at 20 C from what a glass alcohol hydrometer, graduated for 20 C, shows at another temperature
/// (-20..40 C). A warm liquid is lighter and looks stronger; the float, grown with its glass, takes a little of that
/// back: true density = density at the mark / (1 + expansion (t - 20)). Surface tension is taken as that of the scale.
/// Reading 0..100 %vol. Empty where no ethanol-water would show that reading at that temperature.
std::optional<double> alcohol_pct_from_hydrometer(double reading_pct, double temperature_c,
                                                  double glass_expansion_per_c = kSodaLimeGlassPerC);

/// What the same hydrometer shows at this temperature in a liquid of this true strength: the inverse.
/// Empty where the reading would lie off its scale (0..100 %vol).
std::optional<double> hydrometer_reading_pct(double alcohol_pct, double temperature_c,
                                             double glass_expansion_per_c = kSodaLimeGlassPerC);

/// Litres at 20 C of what fills this many litres (not negative) at this temperature (-20..40 C): the mass stays.
/// The strength (0..100 %vol) stands for the whole liquid; the sugar of a sweet wine changes its expansion a little.
std::optional<double> volume_at_20c_l(double volume_l, double temperature_c, double alcohol_pct);

/// Litres at this temperature of what fills this many litres at 20 C: the inverse.
std::optional<double> volume_at_temperature_l(double volume_at_20c_l, double temperature_c, double alcohol_pct);

/// Strength in %vol at 20 C from US proof (0..200), which is twice the strength by volume at 60 F (27 CFR 30.11).
/// The two scales differ by up to 0.07 %vol in between: 100 proof is 50.06 %vol at 20 C.
std::optional<double> alcohol_pct_from_us_proof(double us_proof);

/// Strength in %vol on the scale of another temperature (both volumes at it) from that at 20 C, and back.
std::optional<double> alcohol_pct_at(double alcohol_pct, double temperature_c);
std::optional<double> alcohol_pct_from_scale(double pct_on_scale, double temperature_c);

/// US proof from the strength in %vol at 20 C (0..100): the inverse.
std::optional<double> us_proof_from_alcohol_pct(double alcohol_pct);

/// A parcel of ethanol-water: litres at 20 C (0..kMostLitres) and its strength (0..100 %vol at 20 C).
struct EthanolWater {
  double volume_l = 0.0;
  double alcohol_pct = 0.0;
};

/// Two parcels in one vessel, brought to 20 C.
struct EthanolWaterMix {
  double volume_l = 0.0;
  double alcohol_pct = 0.0;
  double contraction_l = 0.0;  // the two volumes less the volume together; below zero where the mixture expands
};

/// Mixes two parcels by mass: ethanol and water are kept, the volume follows. Mixtures shrink, except that two liquids
/// both below about 19 %vol expand slightly. Empty for a volume or strength out of range and for nothing with nothing.
std::optional<EthanolWaterMix> mix_by_mass(EthanolWater a, EthanolWater b);

/// US proof gallons of `volume_l` litres at 20 C: wine gallons at 60 F x proof / 100 (27 CFR 30.11).
std::optional<double> proof_gallons(double volume_l, double alcohol_pct);

/// Litres at 20 C of a spirit, or of water, that bring `base` to `wanted_pct`, by mass: m_a (p_a - p) = m_b (p - p_b).
/// Empty unless the wanted strength lies between the base's and that of what is added (the latter not reached).
std::optional<double> volume_to_reach_l(EthanolWater base, double added_pct, double wanted_pct);

}  // namespace tierce
