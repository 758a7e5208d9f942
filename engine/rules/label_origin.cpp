#include "engine/rules/label_origin.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace tierce {
namespace {

HasIt of_the_year(const WinePart& part, const Claim& claim) {
  if (part.vintage == 0 && part.spirit == nullptr) return {0.0, 1.0};
  return {part.vintage == claim.year ? 1.0 : 0.0, 0.0};
}

/// Of the named varieties or origins; what a lot does not state may be one of them.
HasIt of_the_named(const std::map<std::string, double>& stated, const Claim& claim) {
  HasIt has;
  double all = 0.0;
  for (const auto& [name, fraction] : stated) all += fraction;
  for (const auto& [name, share] : claim.of)
    if (const auto found = stated.find(name); found != stated.end()) has.yes += found->second;
  has.unknown = std::max(0.0, 1.0 - all);
  if (has.unknown < 1e-12) has.unknown = 0.0;
  return has;
}
HasIt of_the_varieties(const WinePart& part, const Claim& claim) {
  if (part.spirit != nullptr) return {};
  return part.lot == nullptr ? HasIt{0.0, 1.0} : of_the_named(part.lot->grapes, claim);
}
HasIt of_the_origins(const WinePart& part, const Claim& claim) {
  if (part.spirit != nullptr) return {};
  return part.lot == nullptr ? HasIt{0.0, 1.0} : of_the_named(part.lot->grown, claim);
}
HasIt of_old_harvests(const WinePart& part, const Claim& claim) {
  if (part.vintage == 0 && part.spirit == nullptr) return {0.0, 1.0};
  return {part.vintage > 0 && part.vintage < claim.before ? 1.0 : 0.0, 0.0};
}

}  // namespace

Readings exactly(double value) {
  if (!is_known(value)) return {LabelReading{}};
  return {{value, value, ""}};
}

Readings vintage_share(const LabelCase& of, SpiritIn spirit) {
  return share_pct(*of.facts, spirit, of_the_year, *of.claim);
}
Readings variety_share(const LabelCase& of, SpiritIn spirit) {
  return share_pct(*of.facts, spirit, of_the_varieties, *of.claim);
}
Readings origin_share(const LabelCase& of, SpiritIn spirit) {
  return share_pct(*of.facts, spirit, of_the_origins, *of.claim);
}
/// Without a stated year: the share of the oldest harvest.
Readings old_share(const LabelCase& of, SpiritIn spirit) {
  Claim claim = *of.claim;
  if (claim.before == 0)
    for (const WinePart& part : of.facts->parts)
      if (part.vintage > 0 && (claim.before == 0 || part.vintage < claim.before)) claim.before = part.vintage + 1;
  return share_pct(*of.facts, spirit, of_old_harvests, claim);
}

/// The largest difference between a stated share and the true one, over the named varieties or origins.
Readings share_difference(const LabelCase& of, SpiritIn spirit) {
  Readings worst;
  for (const auto& [name, stated] : of.claim->of) {
    if (!is_known(stated)) return {LabelReading{}};
    Claim one = *of.claim;
    one.of = {{name, stated}};
    const auto has = of.claim->say == Say::origin ? of_the_origins : of_the_varieties;
    const Readings shares = share_pct(*of.facts, spirit, has, one);
    worst.resize(shares.size());
    for (std::size_t i = 0; i < shares.size(); ++i) {
      const double low = std::abs(shares[i].low - stated), high = std::abs(shares[i].high - stated);
      const bool inside = shares[i].low <= stated && stated <= shares[i].high;
      const bool first = worst[i].unknown();
      const double least = inside ? 0.0 : std::min(low, high), most = std::max(low, high);
      worst[i] = {first ? least : std::max(worst[i].low, least), first ? most : std::max(worst[i].high, most),
                  shares[i].how};
    }
  }
  return worst.empty() ? Readings{LabelReading{}} : worst;
}
/// The share of that named variety or place of which there is least.
Readings least_named_share(const LabelCase& of, SpiritIn) {
  LabelReading least;
  for (const auto& [name, stated] : of.claim->of) {
    Claim one = *of.claim;
    one.of = {{name, stated}};
    const auto has = of.claim->say == Say::origin ? of_the_origins : of_the_varieties;
    const LabelReading share = share_pct(*of.facts, SpiritIn::left_out, has, one).front();
    least =
        least.unknown() ? share : LabelReading{std::min(least.low, share.low), std::min(least.high, share.high), ""};
  }
  return {least};
}
Readings named_count(const LabelCase& of, SpiritIn) { return exactly(static_cast<double>(of.claim->of.size())); }

Readings harvests(const LabelCase& of, SpiritIn) {
  std::set<int> years;
  bool unknown = false;
  for (const WinePart& part : of.facts->parts) {
    if (part.vintage > 0) years.insert(part.vintage);
    else if (part.spirit == nullptr) unknown = true;
  }
  const auto count = static_cast<double>(years.size());
  return {{count, unknown ? kUnbounded : count, ""}};
}

Readings first_year(const LabelCase& of, SpiritIn) {
  const LabelFacts& facts = *of.facts;
  if (facts.older_than_book) return {{-kUnbounded, static_cast<double>(facts.first_year), ""}};
  Readings readings = exactly(facts.first_year);
  readings[0].how = "the year in which the first wine went in";
  if (facts.first_vintage > 0 && facts.first_vintage != facts.first_year) {
    readings.push_back(exactly(facts.first_vintage)[0]);
    readings[1].how = "the harvest of that wine";
  }
  return readings;
}

std::vector<LabelReading> share_pct(const LabelFacts& facts, SpiritIn spirit,
                                    HasIt (*has)(const WinePart&, const Claim&), const Claim& claim) {
  double wine_l = 0.0, all_l = 0.0, yes_l = 0.0, unknown_l = 0.0;
  for (const WinePart& part : facts.parts) {
    const double without_l = part.litres * (1.0 - part.spirit_share);
    const HasIt parts = has(part, claim);
    wine_l += without_l;
    all_l += part.litres;
    yes_l += without_l * parts.yes;
    unknown_l += without_l * parts.unknown;
  }
  const auto of = [&](double whole_l, const char* how) {
    if (!(whole_l > 0.0)) return LabelReading{-kUnbounded, kUnbounded, how};
    const double low = 100.0 * yes_l / whole_l;
    return LabelReading{low, unknown_l > 0.0 ? 100.0 * (yes_l + unknown_l) / whole_l : low, how};
  };
  if (spirit == SpiritIn::left_out) return {of(wine_l, "")};
  if (spirit == SpiritIn::counted) return {of(all_l, "")};
  return {of(all_l, "with the spirit in the whole"), of(wine_l, "with the spirit left out")};
}

}  // namespace tierce
