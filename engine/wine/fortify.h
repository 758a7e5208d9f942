// Arresting a ferment with spirit: what the must holds at that moment, how much spirit it needs, what comes out.
//
// Three assumptions. The must keeps its volume while it ferments. Each %vol of alcohol costs the same sugar, 16.83 g/L
// unless stated. Base and spirit mix like ethanol and water at 20 C: masses are kept and the volume follows
// (alcoholometry.h); the sugar is kept, and what it does to the contraction is left out, as no figure was found in
// print. Against the additive rule (Pearson's square) the mass balance matters: up to 0.2 %vol and 0.8 % of the volume.
#pragma once

#include <optional>
#include <variant>

#include "engine/wine/must.h"

namespace tierce {

/// Must before it ferments.
struct Must {
  double volume_l = 0.0;   // at 20 C, above zero, at most kMostLitres
  double sugar_g_l = 0.0;  // glucose and fructose; at most 100 %vol worth
  double sugar_g_l_per_pct = kSugarGPerLPerPctVol;
};

/// Must as it stands when the spirit goes in: computed from the must, or measured and stated directly.
struct MustAtArrest {
  double volume_l = 0.0;     // at 20 C, above zero, at most kMostLitres
  double alcohol_pct = 0.0;  // 0..100 %vol at 20 C
  double sugar_g_l = 0.0;    // what is left of it
  double sugar_g_l_per_pct = kSugarGPerLPerPctVol;
};

/// The fortified wine at 20 C, and what it is made of.
struct Fortified {
  double spirit_l = 0.0;
  double volume_l = 0.0;
  double contraction_l = 0.0;  // must + spirit - wine; below zero where the mixture expands
  double alcohol_pct = 0.0;
  double sugar_g_l = 0.0;
  double total_alcohol_pct = 0.0;                 // with what the sugar would still give
  double spirit_share_of_must_pct = 0.0;          // L of spirit for 100 L of must
  double spirit_alcohol_share_of_must_pct = 0.0;  // L of pure alcohol from the spirit for 100 L of must
  double must_share_of_wine_pct = 0.0;            // of the litres that went in, before contraction;
  double spirit_share_of_wine_pct = 0.0;          // with the one above, 100
  double spirit_share_of_alcohol_pct = 0.0;       // of the pure alcohol; 0 where there is none
  double additive_alcohol_pct = 0.0;              // what the additive rule gives for the same litres, on mixing
  double additive_error_pct = 0.0;                // that, less alcohol_pct, in %vol
  std::optional<double> additive_spirit_l;  // Pearson's square for alcohol_pct; none if the spirit is not stronger
};

/// Why a wish cannot be met. The comment says what FortifyRefusal::lowest and highest then mean.
enum class FortifyFault {
  must_volume_out_of_range,       // L, above lowest
  must_sugar_out_of_range,        // g/L
  sugar_per_pct_out_of_range,     // g/L per %vol, above lowest
  other_extract_out_of_range,     // g/L, as far as the extract table goes
  arrest_alcohol_out_of_reach,    // %vol the must can have made
  arrest_sugar_out_of_reach,      // g/L the must can still hold
  arrest_density_out_of_reach,    // SG as shown, from all sugar fermented to none
  temperature_out_of_range,       // C
  spirit_strength_out_of_range,   // %vol
  spirit_volume_out_of_range,     // L
  strength_below_the_arrest,      // %vol, below the strength the must already has
  strength_not_below_the_spirit,  // %vol, the spirit's strength is highest and itself not reached
  final_sugar_out_of_reach,       // g/L, over every arrest that can give the wanted strength
  run_on_out_of_reach,            // g/L the wine still holds
};

/// A wish refused, with the value asked and the range in which it could be met (lowest above
/// highest where no value would do).
struct FortifyRefusal {
  FortifyFault fault;
  double asked = 0.0;
  double lowest = 0.0;
  double highest = 0.0;
};

template <class T>
using OrRefusal = std::variant<T, FortifyRefusal>;

/// The must once it has made this much alcohol (%vol).
OrRefusal<MustAtArrest> arrest_at_alcohol(const Must& must, double alcohol_pct);

/// The must once its sugar has fallen to this (g/L).
OrRefusal<MustAtArrest> arrest_at_sugar(const Must& must, double sugar_g_l);

/// The must once a hydrometer shows this SG in it at this temperature (sg_shown in must.h). `other_extract_g_l` is what
/// it holds beside sugar (must_other_extract_g_l); Tabarie's relation ties the three (must.h, with its errors): 0.001
/// SG is about 0.13 %vol.
OrRefusal<MustAtArrest> arrest_at_density(const Must& must, double sg, double other_extract_g_l,
                                          double temperature_c = 20.0);

/// The wine from this much spirit (0..kMostLitres at 20 C) of this strength (0..100 %vol).
OrRefusal<Fortified> fortify_with_volume(const MustAtArrest& base, double spirit_pct, double spirit_l);

/// The wine of this strength (%vol, from that of the base up to, but not including, that of the spirit).
OrRefusal<Fortified> fortify_to_strength(const MustAtArrest& base, double spirit_pct, double wanted_pct);

/// The wine after the yeast has eaten this much more of its sugar (g/L of the wine) before it gave up. The volume
/// stays; what Fortified says of the additive rule stays that of the mixing.
OrRefusal<Fortified> run_on(const Fortified& mixed, double sugar_g_l, double sugar_g_l_per_pct = kSugarGPerLPerPctVol);

/// When to arrest so that the wine has both a wanted strength and a wanted sugar, and the wine that this makes.
struct ArrestPlan {
  MustAtArrest arrest;
  Fortified wine;
};

/// Solves for the arrest. Refused with the range of sugar in reach at that strength: from spirit on unfermented must
/// to spirit on must that has fermented all it can without passing the wanted strength.
OrRefusal<ArrestPlan> plan_arrest(const Must& must, double spirit_pct, double wanted_pct, double wanted_sugar_g_l);

/// A wine sweetened with sugar.
struct Sweetened {
  double sugar_kg = 0.0;
  double volume_l = 0.0;
  double alcohol_pct = 0.0;
};

/// Sugar to dissolve in wine (L, %vol, g/L) for a wanted sugar in g/L of the sweetened wine, which is larger than the
/// wine by the room the sugar takes: 0.62 L/kg (British Columbia Fruit, p. 28; 0.617 to 0.620 from sucrose densities at
/// 10 to 30 % mass; in water, for wine no figure was found). Sugar counts as weighed: sucrose that later splits weighs
/// 5 % more. Empty for values out of range, a wish below the wine's sugar, or one that sugar cannot reach.
std::optional<Sweetened> sweeten(double volume_l, double alcohol_pct, double sugar_g_l, double wanted_sugar_g_l,
                                 double sugar_room_l_per_kg = 0.62);

}  // namespace tierce
