// What a hydrometer or a refractometer says of the sugar: in must, in fermenting must, in sweet wine.
//
// SG is the density at 20 C over that of water at 20 C. Readings are those of an instrument at 20 C; sg_at_20c brings
// others there.
//
// Two kinds of Brix: a refractometer shows the sucrose solution of the same refraction, a hydrometer the sucrose
// solution of the same density; in must they differ by 0.1 to 0.4 Brix.
//
// Sugar is glucose and fructose in g/L; extract is everything dissolved, counted as the sucrose of the same density.
// A must's Brix times its density is extract: it is 10 to 30 % more than the sugar.
//
// The tables are not extrapolated: outside them, and for a value that is not a number, the answer is empty.
#pragma once

#include <optional>

#include "engine/wine/alcoholometry.h"

namespace tierce {

// Sugar in g/L that ferments to 1 %vol: the EU and OIV conversion (French order of 14 September 2011, annex IV, column
// 6). The older French 17.5 (same annex, column 7) or a house's own figure may be passed instead.
inline constexpr double kSugarGPerLPerPctVol = 16.83;

inline constexpr double kMostExtractGPerL = 614.8;  // 50 % sucrose by mass, where the sucrose table ends

/// SG from degrees Baume (below 145) on the scale for heavy liquids, 145 - 145/SG; below zero for liquids lighter than
/// water. The modulus 145 is the American one; it meets printed sucrose pairs (Mohos 2010, table A2.1) to 0.1 degree.
double sg_from_baume(double baume_deg);
/// The inverse, for SG above zero.
double baume_from_sg(double sg);

/// SG from degrees Oechsle, 1000 (SG - 1), by definition.
double sg_from_oechsle(double oechsle_deg);
/// The inverse.
double oechsle_from_sg(double sg);

/// SG from the Brix of a hydrometer (0..50), by the sucrose table (after the CRC Handbook, 20 C). Between its six rows
/// sucrose in g/L is taken as linear in density: within 0.0001 SG, as much as the table's last digit.
std::optional<double> sg_from_hydrometer_brix(double brix_pct);
/// The inverse, for SG 1..1.2318.
std::optional<double> hydrometer_brix_from_sg(double sg);

/// Sucrose in g/L of the water solution of this SG (1..1.2318), which is the unit of extract; within 0.4 g/L.
std::optional<double> extract_g_l_from_sg(double sg);
/// The inverse, for 0..614.8 g/L.
std::optional<double> sg_from_extract_g_l(double extract_g_l);

/// Sugar in g/L of a must before fermentation from the Brix of a refractometer (10..30), OIV-MA-AS2-02 table II as
/// printed in the French order of 14 September 2011, annex IV. Between rows within 0.1 g/L of the table. The table is
/// an average over musts: what else is dissolved varies from one must to the next, and the sugar with it, by several
/// g/L.
std::optional<double> must_sugar_g_l_from_brix(double brix_pct);
/// The inverse, for 82.2..308.9 g/L.
std::optional<double> brix_from_must_sugar_g_l(double sugar_g_l);

/// The same from the SG of the must (1.0410..1.1307). The table's densities end at 0.0001, which is 0.25 g/L.
std::optional<double> must_sugar_g_l_from_sg(double sg);
/// The inverse, for 82.2..308.9 g/L.
std::optional<double> sg_from_must_sugar_g_l(double sugar_g_l);

/// Extract in g/L, other than sugar, of a must with this sugar (82.2..308.9 g/L): the extract at the table's density
/// less the table's sugar, 24 to 34 g/L. Fermentation changes it: tartrate falls out, glycerol comes in.
std::optional<double> must_other_extract_g_l(double must_sugar_g_l);

/// Alcohol in %vol that the sugar (g/L) would give. No range: it is a quotient by convention, not a promise of a yeast.
double potential_alcohol_pct(double sugar_g_l, double sugar_g_l_per_pct = kSugarGPerLPerPctVol);

/// Extract in g/L of a wine, from its SG and its strength (0..100 %vol): Tabarie's relation, SG of the residue = SG of
/// the wine - SG of the alcohol + 1 (OIV-MA-AS2-03B, Oeno 465/2012), then the sucrose table. An error of 0.0001 SG or
/// of 0.1 %vol makes 0.3 g/L. The relation supposes that sugar and alcohol change the density independently of each
/// other; how far a sweet fortified wine departs from that was not found in print. Empty if the residue would be
/// lighter than water or beyond the table.
std::optional<double> wine_extract_g_l(double wine_sg, double alcohol_pct);

/// What a wine holds beside sugar, at most: 20 to 30 g/L in dry wine (docs/sources.md [other-extract]); with nothing
/// known of it the sugar of a density may be less by any part of it.
constexpr double kMostOtherExtractGL = 30.0;

/// Sugar in g/L of a wine, or of must in fermentation: its extract less the part that is not sugar, which the caller
/// states (dry wines hold 20 to 30 g/L; see must_other_extract_g_l). That part is known to a few g/L at best, and so is
/// the sugar. Empty where the extract is unknown or smaller than that part.
std::optional<double> wine_sugar_g_l(double wine_sg, double alcohol_pct, double other_extract_g_l);

/// SG that a hydrometer shows in wine, or in must in fermentation, of this sugar, strength and other extract: the
/// inverse.
std::optional<double> wine_sg(double sugar_g_l, double alcohol_pct, double other_extract_g_l);

/// SG at the mark that a glass hydrometer, graduated for 20 C, shows at another temperature (-20..40 C) in must or wine
/// of this SG at 20 C. The liquid is taken to expand like ethanol-water of its strength (OIML R 22), the float like
/// glass. An estimate: what sugar adds to the expansion is left out, as no table of it was read. It makes warm must
/// read lower than this says, by less than 0.001 SG at 30 C (from memory of sucrose solutions of 20 % mass).
std::optional<double> sg_shown(double sg_20c, double alcohol_pct, double temperature_c,
                               double glass_expansion_per_c = kSodaLimeGlassPerC);
/// The inverse.
std::optional<double> sg_at_20c(double sg_shown, double alcohol_pct, double temperature_c,
                                double glass_expansion_per_c = kSodaLimeGlassPerC);

}  // namespace tierce
