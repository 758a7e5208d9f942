// How much a barrel loses, and how strong that is, from the air of the cellar.
// Ethanol and water each leave in proportion to their pressure over the wine less that in the room; the wood lets
// ethanol through far more slowly, by one ratio, the selectivity. It is set so that a wine keeps its strength at a
// chosen neutral humidity: drier air raises the strength, damper air lowers it. Source: docs/model.md, "Vapour from the
// cellar".
#pragma once

#include <optional>
#include <vector>

namespace tierce {

/// Humidity at which the strength stays, where the file states none. Not settled: trade statements run from 65 to 80 %.
constexpr double kNeutralHumidity = 0.70;

struct CellarAir {
  double temperature_c = 15.0;
  double humidity = 0.70;  // relative, 0 to 1
  double neutral_humidity = kNeutralHumidity;
  friend bool operator==(const CellarAir&, const CellarAir&) = default;
};

/// Vapour pressures of the pure liquids, kPa, 0 to 60 °C. Antoine equations; ethanol 5.37229, 1670.409, -40.191 (bar,
/// K), water 8.07131, 1730.63, 233.426 (mmHg, °C): 0.4 % low at 20 °C.
double ethanol_vapour_pressure_kpa(double temperature_c);
double water_vapour_pressure_kpa(double temperature_c);

/// Activity coefficients in ethanol-water at a mole fraction of ethanol up to 0.17 (40 %vol): van Laar, A12 = 1.400,
/// A21 = 1.295, fitted by us to Pemberton and Mash 1978 at 30 °C (1.8 % at most); taken as the same at cellar
/// temperature.
double ethanol_activity(double mole_fraction);
double water_activity(double mole_fraction);

/// Ratio of the wood's transfer coefficients, ethanol over water, that keeps the strength of a wine of 20 %vol at 20 °C
/// at this humidity. Nearly the same from 13 to 22 %vol.
double wood_selectivity(double neutral_humidity);

/// Strength, %vol, of what a wine of this strength loses. Empty above 40 %vol, where the activities are not known to
/// us, at 0 %vol and below, and in air so damp that the wine would take water in.
std::optional<double> vapour_strength_pct(double alcohol_pct, const CellarAir& air);

/// The wine and the air in which a cellar loses what its reference loss says. Our choice: an average cellar.
constexpr double kReferenceWinePct = 18.0;
constexpr CellarAir kReferenceAir{15.0, 0.70, kNeutralHumidity};

/// Litres (by OIML R 22) that leave this wine in this air, over those that leave a wine of 18 %vol at 15 °C and 70 %
/// humidity: both from the same two flows of ethanol and water. Empty above 40 %vol and in air so damp that the wine
/// would take water in. At 0 %vol water leaves alone.
std::optional<double> loss_over_reference(double alcohol_pct, const CellarAir& air);

/// What is left of a wine after some years in this air.
struct Left {
  double volume_part = 1.0;
  double alcohol_pct = 0.0;
};

/// The two functions of the strength on which a loss in one air hangs, each as a Chebyshev sum over the strengths of
/// wine: a run asks for them at every step of every tier, and each by itself takes some 2 microseconds. Within 1e-12 of
/// the functions themselves, which are asked outside of those strengths, and in air in which a sum does not come so
/// near.
class VapourCurve {
 public:
  explicit VapourCurve(const CellarAir& air);
  const CellarAir& air() const { return air_; }
  /// Strength less that of the vapour, %vol: how much the strength rises for each unit that ln V falls.
  std::optional<double> drift_pct(double alcohol_pct) const;
  /// loss_over_reference().
  std::optional<double> loss(double alcohol_pct) const;

 private:
  bool holds(double alcohol_pct) const;
  CellarAir air_;
  std::vector<double> drift_, loss_;  // as polynomials; empty: no sum
};

/// Curves of the airs that a run meets; of few, one or two in a cellar.
class VapourCurves {
 public:
  const VapourCurve& in(const CellarAir& air);

 private:
  std::vector<VapourCurve> known_;
};

/// One law for loss and strength: d(ln V)/dt = ln(1 - reference_loss) x loss_over_reference, dc/d(ln V) = f(c) - c,
/// integrated together, so that splitting the years changes less than 1e-9. `reference_loss` is the part lost in a year
/// at the reference. Empty as above.
std::optional<Left> left_in_air(double alcohol_pct, double years, double reference_loss, const VapourCurve& curve);
std::optional<Left> left_in_air(double alcohol_pct, double years, double reference_loss, const CellarAir& air);

/// Strength, %vol, of a wine after the part `lost` (below 1; negative: came back) of its volume has evaporated, the
/// vapour following its strength all the way: dc/dln V = f(c) - c, integrated so that splitting the loss changes less
/// than 1e-9. Empty as above.
std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const VapourCurve& curve);
std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const CellarAir& air);

}  // namespace tierce
