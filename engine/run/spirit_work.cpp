#include "engine/run/spirit_work.h"

#include <algorithm>

#include "engine/run/ageing.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

/// What goes in and what comes of it, before anything is changed.
struct Mixing {
  double added_l = 0.0;
  EthanolWaterMix mix{};
};

std::optional<Mixing> plan(const Run& run, int row, double added_pct, const std::optional<double>& volume_l,
                           double to_pct) {
  const EthanolWater base{run.now.volume[row], run.now.alcohol_pct(row)};
  const auto added_l = volume_l ? volume_l : volume_to_reach_l(base, added_pct, to_pct);
  if (!added_l) return std::nullopt;
  const auto mix = mix_by_mass(base, {*added_l, added_pct});
  if (!mix) return std::nullopt;
  return Mixing{*added_l, *mix};
}

Fault cannot_mix(const Run& run, const Place& place, At at, double added_pct, double to_pct, const std::string& with) {
  const double now_pct = run.now.alcohol_pct(place.row);
  if (!(run.now.volume[place.row] > 0.0))
    return {{at, named(run, place) + " is empty on " + iso_text(run.now.date), "a tier or tank with wine in it"},
            place.row,
            0.0};
  if (!is_known(now_pct))
    return {{at, "the strength of the wine in " + named(run, place) + " is not known",
             "an analysis that states its alcohol before this entry"},
            place.row,
            0.0};
  const bool up = added_pct > now_pct;
  return {{at,
           "no amount of " + with + " brings " + named(run, place) + " to the strength asked for on " +
               iso_text(run.now.date),
           std::string("a strength ") + (up ? "above" : "below") + " the wine's own and " + (up ? "below" : "above") +
               " that of what is added",
           is_known(to_pct) ? "" : "state a volume instead"},
          place.row,
          0.0};
}

/// Every parcel of the row takes `factor` of its room; the difference is booked under `flow`.
void scale_volume(Run& run, int row, double factor, Flow flow, double sign) {
  Flows& flows = run.out.flows;
  flows.litres.row(flow) += sign * (factor - 1.0) * run.now.litres.row(row);
  run.year().litres[flow] += sign * (factor - 1.0) * run.now.volume[row];
  run.now.litres.row(row) *= factor;
  if (!run.now.pools.empty()) scale(run.now.pools[static_cast<std::size_t>(row)], factor);
  run.now.solutes(row, kPhByLitres) *= factor;
  run.now.levels.scale(row, factor);
  run.now.volume[row] *= factor;
}

void settle_and_record(Run& run, const Event& event, int row, const std::string& name, const Mixing& mixing,
                       double before_pct) {
  settle(run, row);
  look_at_levels(run, row, event.at);
  run.out.fortifications.push_back(
      {event.date, row, name, mixing.added_l, mixing.mix.contraction_l, before_pct, run.now.alcohol_pct(row)});
}

void pour_spirit(Run& run, const Event& event, int row, double litres, const Spirit& spirit) {
  Stock& now = run.now;
  now.used = std::max<Eigen::Index>(now.used, event.parcel + 1);
  now.litres(row, event.parcel) += litres;
  now.entered(row, event.parcel) += litres;
  now.alcohol(row, event.parcel) += litres * spirit.strength_pct / 100.0;
  now.solutes(row, kMoney) += litres * spirit.cost.per_litre;
  now.solutes(row, kPhByLitres) *= 1.0 + litres / now.volume[row];
  now.levels.fill(row, litres);
  now.volume[row] += litres;
  Flows& flows = run.out.flows;
  flows.litres(kIn, event.parcel) += litres;
  flows.alcohol(kIn, event.parcel) += litres * spirit.strength_pct / 100.0;
  flows.solutes(kIn, kMoney) += litres * spirit.cost.per_litre;
  run.year().litres[kIn] += litres;
  run.year().alcohol[kIn] += litres * spirit.strength_pct / 100.0;
}

}  // namespace

std::optional<Fault> apply(Run& run, const Event& event, const Fortify& fortify) {
  const int row = fortify.place.row;
  const Spirit& spirit = run.scenario.spirits[static_cast<std::size_t>(fortify.spirit)];
  const auto mixing =
      run.now.volume[row] > 0.0 ? plan(run, row, spirit.strength_pct, fortify.volume_l, fortify.to_pct) : std::nullopt;
  if (!mixing)
    return cannot_mix(run, fortify.place, fortify.at, spirit.strength_pct, fortify.to_pct,
                      "spirit '" + spirit.name + "'");
  double& used_l = run.spirit_used_l[static_cast<std::size_t>(fortify.spirit)];
  if (used_l + mixing->added_l > spirit.stock_l * (1.0 + kVolumeTolerance))
    return Fault{{fortify.at,
                  "this takes " + litres_text(mixing->added_l) + " of spirit '" + spirit.name + "', of which " +
                      litres_text(spirit.stock_l - used_l) + " is left",
                  "at most what is left of its stock"},
                 row,
                 used_l + mixing->added_l - spirit.stock_l};
  used_l += mixing->added_l;
  const double before_pct = run.now.alcohol_pct(row);
  pour_spirit(run, event, row, mixing->added_l, spirit);
  scale_volume(run, row, mixing->mix.volume_l / run.now.volume[row], kContracted, -1.0);
  settle_and_record(run, event, row, spirit.name, *mixing, before_pct);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Reduce& reduce) {
  const int row = reduce.place.row;
  const auto mixing = run.now.volume[row] > 0.0 ? plan(run, row, 0.0, reduce.volume_l, reduce.to_pct) : std::nullopt;
  if (!mixing) return cannot_mix(run, reduce.place, reduce.at, 0.0, reduce.to_pct, "water");
  const double before_pct = run.now.alcohol_pct(row);
  // Water is no lot: it stretches all lots alike, as evaporation shrinks them alike.
  scale_volume(run, row, 1.0 + mixing->added_l / run.now.volume[row], kWater, 1.0);
  scale_volume(run, row, mixing->mix.volume_l / run.now.volume[row], kContracted, -1.0);
  settle_and_record(run, event, row, "water", *mixing, before_pct);
  return std::nullopt;
}

}  // namespace tierce
