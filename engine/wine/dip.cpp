#include "engine/wine/dip.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tierce {
namespace {

/// Area of the part of a circle that lies below a chord `depth` above its lowest point.
double segment_area(double radius, double depth) {
  const double h = std::clamp(depth, 0.0, 2.0 * radius);
  return radius * radius * std::acos((radius - h) / radius) - (radius - h) * std::sqrt(h * (2.0 * radius - h));
}

/// Simpson's rule over 0..1.
template <class Function>
double integral(Function of) {
  constexpr int kHalves = 512;  // panels of two; the integrands below are smooth, which leaves less than 1e-11
  constexpr double kStep = 0.5 / kHalves;
  double sum = of(0.0) + of(1.0);
  for (int i = 1; i < 2 * kHalves; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * of(i * kStep);
  return sum * kStep / 3.0;
}

/// Volume below the surface of a cask that is at most half full, over the length of the cask.
double lower_part(const CaskShape& cask, double wet) {
  const double middle = 0.5 * cask.bung, bend = 0.5 * (cask.bung - cask.head);
  // Towards the heads the staves rise; from `reach` on (as a part of the half length) they are dry.
  const double reach = bend > wet ? std::sqrt(wet / bend) : 1.0;
  // z = reach (1 - u^2) takes the corner out of the area where the wine ends.
  const auto slice = [&](double u) {
    const double z = reach * (1.0 - u * u);
    const double radius = middle - bend * z * z;
    return 2.0 * u * reach * segment_area(radius, wet - bend * z * z);
  };
  return integral(slice);
}

}  // namespace

double cask_volume(const CaskShape& cask, double length) {
  return std::numbers::pi * length / 60.0 *
         (8.0 * cask.bung * cask.bung + 4.0 * cask.bung * cask.head + 3.0 * cask.head * cask.head);
}

std::optional<double> wet_share(const CaskShape& cask, double wet) {
  if (!(cask.bung > 0.0) || !(cask.head > 0.0) || cask.head > cask.bung || !(wet >= 0.0) || wet > cask.bung)
    return std::nullopt;
  const double whole = cask_volume(cask, 1.0);
  // What is dry above is what would be wet below, upside down.
  if (wet > 0.5 * cask.bung) return 1.0 - lower_part(cask, cask.bung - wet) / whole;
  return wet > 0.0 ? lower_part(cask, wet) / whole : 0.0;
}

std::optional<double> litres_at(const DipTable& table, double wet) {
  if (table.empty() || !(wet >= 0.0) || wet > table.back().first) return std::nullopt;
  double depth = 0.0, litres = 0.0;
  for (const auto& [next_depth, next_litres] : table) {
    if (wet <= next_depth)
      return next_depth > depth ? litres + (wet - depth) / (next_depth - depth) * (next_litres - litres) : next_litres;
    depth = next_depth;
    litres = next_litres;
  }
  return std::nullopt;
}

}  // namespace tierce
