// What is stated of a wine.
#pragma once

#include "engine/book/value.h"

namespace tierce {

/// What a laboratory reports of a wine. Each value may be unknown.
struct Composition {
  double alcohol_pct = kUnknown;  // %vol at 20 °C
  double sugar_g_l = kUnknown;    // glucose + fructose
  double acidity_g_l = kUnknown;  // total, as tartaric
  double va_g_l = kUnknown;       // volatile, as acetic
  double ph = kUnknown;
  double so2_free_mg_l = kUnknown;
  double so2_total_mg_l = kUnknown;
  double acetaldehyde_mg_l = kUnknown;  // bindable
  double sulfate_g_l = kUnknown;        // as potassium sulfate
  double pyruvic_mg_l = kUnknown;       // other binders of SO2 (binding.h)
  double oxoglutaric_mg_l = kUnknown;
  double galacturonic_mg_l = kUnknown;
  // Free SO2 at its ends, of wine that comes from another book; unknown = as free.
  double so2_free_low_mg_l = kUnknown;
  double so2_free_high_mg_l = kUnknown;
};

/// Each content that a file may state, by its key there ("so2 free": `free` within `so2`). Whoever goes through all of
/// them reads this list.
struct Content {
  const char* key;
  double Composition::*value;
};
constexpr Content kContents[] = {
    {"alcohol", &Composition::alcohol_pct},
    {"sugar", &Composition::sugar_g_l},
    {"acidity", &Composition::acidity_g_l},
    {"va", &Composition::va_g_l},
    {"pH", &Composition::ph},
    {"so2 free", &Composition::so2_free_mg_l},
    {"so2 total", &Composition::so2_total_mg_l},
    {"acetaldehyde", &Composition::acetaldehyde_mg_l},
    {"pyruvic", &Composition::pyruvic_mg_l},
    {"oxoglutaric", &Composition::oxoglutaric_mg_l},
    {"galacturonic", &Composition::galacturonic_mg_l},
    {"sulfate", &Composition::sulfate_g_l},
};

/// The wine with what is known of `changed` in place of its own.
Composition changed_by(Composition wine, const Composition& changed);
/// Unknown is the same as unknown.
bool same_wine(const Composition& a, const Composition& b);
bool says_nothing(const Composition& wine);

}  // namespace tierce
