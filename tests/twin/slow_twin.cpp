// What people do to the twin's wine: every verb of the book, parcel by parcel and vessel by vessel.
#include "tests/twin/slow_twin.h"

#include <algorithm>
#include <stdexcept>

namespace tierce::twin {
namespace {

// The verbs of the book.

using Answer = std::optional<Refusal>;

Answer act(Cellar& cellar, const Deed& deed, const Add& add) {
  if (add.amount.kind == Amount::Kind::share) throw std::logic_error("nobody adds a share of nothing");
  const double each_l = add.amount.kind == Amount::Kind::bottles ? add.amount.bottle_l : 1.0;
  if (auto refusal = take_of_lot(cellar, add.lot, add.amount.value * each_l, add.amount.at)) return refusal;
  bring(cellar, kBrought, add.lot, add.to, add.amount.value * each_l, deed.at);
  return std::nullopt;
}

Answer act(Cellar& cellar, const Deed& deed, const Draw& draw) { return twin::draw(cellar, deed, draw); }

Answer act(Cellar& cellar, const Deed& deed, const Bottle& bottle) { return twin::bottle(cellar, deed, bottle); }

Answer act(Cellar& cellar, const Deed&, const Lose& lose) {
  const Asked asked = ask(cellar, lose.from, lose.amount);
  if (asked.refusal) return asked.refusal;
  count_all(cellar, kSpilt, take(cellar, lose.from, asked).wine);
  return std::nullopt;
}

Answer act(Cellar& cellar, const Deed& deed, const Move& move) {
  const Asked asked = ask(cellar, move.from, move.amount);
  if (asked.refusal) return asked.refusal;
  const std::vector<int> standing = cellar.rows[at(move.from.row)].standing;
  Taken taken = take(cellar, move.from, asked);
  if (!is_tank(cellar, move.to.row))
    for (Parcel& parcel : taken.wine)
      if (parcel.entered_day == kNever) parcel.entered_day = cellar.day;
  Row& to = cellar.rows[at(move.to.row)];
  put(to, taken);
  raise_levels(cellar, move.to, asked.litres);
  to.filled_at = deed.at;
  begin_sulfur_step(to);
  for (const int draw : standing)
    if (is_tank(cellar, move.to.row) && std::count(to.standing.begin(), to.standing.end(), draw) == 0)
      to.standing.push_back(draw);
  return std::nullopt;
}

/// What each tier is short of its target: n_k of design decision 6.
std::vector<double> needs_l(const Cellar& cellar) {
  std::vector<double> needs;
  for (std::size_t k = 0; k < cellar.scenario->tiers.size(); ++k) {
    const double need_l = cellar.rows[k].worked.target_l - litres_in(cellar.rows[k]);
    needs.push_back(need_l > slack_l(cellar, static_cast<int>(k)) ? need_l : 0.0);
  }
  return needs;
}

/// Passes wine on to tier `to` from the one above it. Where the new wine is stated, as far as the wine goes.
Answer pass_down(Cellar& cellar, const Deed& deed, std::size_t to, double wanted_l, double& given_l) {
  const int from = static_cast<int>(to) - 1;
  const double held_l = litres_in(cellar.rows[at(from)]), slack = slack_l(cellar, from);
  if (std::get<Refill>(deed.action).volume_l) wanted_l = std::min(wanted_l, held_l);
  if (wanted_l > held_l + slack) return Refusal{.at = deed.at, .row = from, .short_l = wanted_l - held_l};
  given_l = 0.0;
  if (wanted_l <= 0.0) return std::nullopt;
  const double share = wanted_l >= held_l - slack ? 1.0 : wanted_l / held_l;
  given_l = share * held_l;
  put(cellar.rows[to], take(cellar, Place{{}, from, -1}, {given_l, share, {}}));
  raise_levels(cellar, Place{{}, static_cast<int>(to), -1}, given_l);
  cellar.rows[to].filled_at = deed.at;
  return std::nullopt;
}

/// Each tier asks for its own need and for what it has just given.
Answer oldest_first(Cellar& cellar, const Deed& deed, const std::vector<double>& needs) {
  double given_l = 0.0;
  for (std::size_t k = needs.size() - 1; k >= 1; --k)
    if (auto refusal = pass_down(cellar, deed, k, needs[k] + given_l, given_l)) return refusal;
  return std::nullopt;
}

/// Each tier passes down the needs of all below it.
Answer youngest_first(Cellar& cellar, const Deed& deed, const std::vector<double>& needs) {
  for (std::size_t k = 1; k < needs.size(); ++k) {
    double wanted_l = 0.0, given_l = 0.0;
    for (std::size_t below = k; below < needs.size(); ++below) wanted_l += needs[below];
    if (auto refusal = pass_down(cellar, deed, k, wanted_l, given_l)) return refusal;
  }
  return std::nullopt;
}

void note_refresh(Cellar& cellar, const Date& date, double new_wine_l) {
  if (cellar.refreshes.empty() || cellar.refreshes.back().date != date) cellar.refreshes.push_back({date, 0.0});
  cellar.refreshes.back().new_wine_l += new_wine_l;
}

Answer act(Cellar& cellar, const Deed& deed, const Refill& refill) {
  const std::vector<double> needs = needs_l(cellar);
  double new_wine_l = 0.0;
  for (const double need_l : needs) new_wine_l += need_l;
  if (refill.volume_l) new_wine_l = *refill.volume_l;
  const bool new_wine_last = refill.order == RefillOrder::oldest_first;
  const auto bring_new = [&]() -> Answer {
    if (new_wine_l > 0.0 && refill.from) return give_from_tank(cellar, deed, *refill.from, new_wine_l);
    if (new_wine_l > 0.0)
      if (auto refusal = take_of_lot(cellar, refill.lot, new_wine_l, refill.lot_at)) return refusal;
    if (new_wine_l > 0.0) bring(cellar, kBrought, refill.lot, Place{{}, 0, -1}, new_wine_l, deed.at);
    return std::nullopt;
  };
  if (!new_wine_last)
    if (auto refusal = bring_new()) return refusal;
  if (auto refusal = new_wine_last ? oldest_first(cellar, deed, needs) : youngest_first(cellar, deed, needs))
    return refusal;
  if (new_wine_last)
    if (auto refusal = bring_new()) return refusal;
  for (std::size_t k = 0; k < needs.size(); ++k) begin_sulfur_step(cellar.rows[k]);
  note_refresh(cellar, deed.date, new_wine_l);
  return std::nullopt;
}

Answer act(Cellar& cellar, const Deed&, const Dose& dose) {
  if (dose.kind != Dose::Kind::plain) throw std::logic_error("the twin doses plain milligrams per litre");
  bool any = false;
  for (int index = 0; index < static_cast<int>(cellar.rows.size()); ++index) {
    Row& row = cellar.rows[at(index)];
    const bool asked = dose.place ? dose.place->row == index : !is_tank(cellar, index);
    if (!asked || litres_in(row) <= 0.0) continue;
    any = true;
    const double added_mg = dose.value * litres_in(row);
    row.dissolved.so2_total_mg += added_mg;
    row.dissolved.so2_free_mg += added_mg * (1.0 - cellar.scenario->so2_binding_fraction);
    const bool dry = row.dissolved.sugar_g / litres_in(row) < 12.0;
    const bool stated = cellar.scenario->so2_binding_stated;
    const double most = stated ? cellar.scenario->so2_binding_fraction : dry ? 1.0 / 2.0 : 2.0 / 3.0;
    row.dissolved.so2_free_low_mg += added_mg * (1.0 - most);
    row.dissolved.so2_free_high_mg += added_mg * (stated ? 1.0 - most : 4.0 / 5.0);
    begin_sulfur_step(row);
  }
  if (any) return std::nullopt;
  return Refusal{.at = dose.at, .row = dose.place ? dose.place->row : 0};
}

/// What a gauge misses goes as evaporation does: every lot alike, alcohol at the strength of the vapour.
void miss(Cellar& cellar, Row& row, double litres, double alcohol_l) {
  const double held_l = litres_in(row), held_alcohol_l = alcohol_in(row);
  for (Parcel& parcel : row.wine) {
    Parcel missed{.source = parcel.source, .entered_day = parcel.entered_day};
    missed.litres = litres * parcel.litres / held_l;
    if (alcohol_l != 0.0) missed.alcohol_l = alcohol_l * parcel.alcohol_l / held_alcohol_l;
    parcel.litres -= missed.litres;
    parcel.alcohol_l -= missed.alcohol_l;
    count(cellar, kMissed, missed);
  }
}

/// A tier gauged as a whole sinks in proportion to level; wine found beyond the book counts as put in, by ullage.
void set_levels(Cellar& cellar, const Place& place, double held_l, double read_l) {
  std::vector<double>& levels_l = cellar.rows[at(place.row)].levels_l;
  if (place.vessel >= 0) levels_l[at(place.vessel)] = read_l;
  else if (read_l > held_l) raise_levels(cellar, place, read_l - held_l);
  else
    for (double& level_l : levels_l) level_l *= read_l / held_l;
}

/// A vessel, or all of a tier together, holds no more than its capacity, but for the 1 % by which a gauge may be off.
bool beyond_its_size(Cellar& cellar, const Place& place, double read_l) {
  Row& row = cellar.rows[at(place.row)];
  const double size_l =
      place.vessel < 0 ? capacity_of(cellar, place.row) : capacity_of(cellar, place.row, at(place.vessel));
  if (read_l - size_l > 0.01 * read_l + slack_l(cellar, place.row)) return true;
  const double over = read_l > size_l ? read_l / size_l - 1.0 : 0.0;
  row.found_over = place.vessel < 0 || over > row.found_over ? over : row.found_over;
  return false;
}

Answer gauge_one(Cellar& cellar, const Place& place, double read_l) {
  if (is_tank(cellar, place.row)) throw std::logic_error("the twin gauges tiers, whose vapour is known");
  Row& row = cellar.rows[at(place.row)];
  const double held_l = held_in(cellar, place), row_l = litres_in(row);
  const double missed_l = held_l - read_l;
  const double missed_alcohol_l = missed_l * cellar.rows[at(place.row)].worked.vapour_pct / 100.0;
  const Refusal refusal{.at = place.at, .row = place.row};
  if (beyond_its_size(cellar, place, read_l)) return refusal;
  if (row_l <= 0.0) return read_l > 0.0 ? Answer(refusal) : std::nullopt;
  if (row_l - missed_l <= slack_l(cellar, place.row)) return refusal;
  if (missed_alcohol_l > 0.0 && missed_alcohol_l >= alcohol_in(row)) return refusal;
  if (alcohol_in(row) - missed_alcohol_l > (row_l - missed_l) * (1.0 + 1e-9)) return refusal;
  miss(cellar, row, missed_l, missed_alcohol_l);
  set_levels(cellar, place, held_l, read_l);
  row.filled_at = place.at;
  return std::nullopt;
}

Answer act(Cellar& cellar, const Deed&, const Gauge& gauge) {
  for (const auto& [place, read_l] : gauge.read_l)
    if (auto refusal = gauge_one(cellar, place, read_l)) return refusal;
  return std::nullopt;
}

/// A measured strength scales the alcohol of all lots alike; every other value replaces what the tier holds.
Answer act(Cellar& cellar, const Deed& deed, const Analyse& analyse) {
  Row& row = cellar.rows[at(analyse.place.row)];
  const double litres = litres_in(row), alcohol_l = alcohol_in(row);
  if (litres <= 0.0) return Refusal{.at = deed.at, .row = analyse.place.row};
  if (analyse.keep_only) return std::nullopt;
  const Composition& found = analyse.found;
  if (is_known(found.alcohol_pct))
    for (Parcel& parcel : row.wine) {
      const double as_measured_l = parcel.litres * found.alcohol_pct / 100.0;  // all lots alike where it was not known
      parcel.alcohol_l =
          alcohol_l > 0.0 ? parcel.alcohol_l / alcohol_l * litres * found.alcohol_pct / 100.0 : as_measured_l;
    }
  if (is_known(found.sugar_g_l)) row.dissolved.sugar_g = litres * found.sugar_g_l;
  if (is_known(found.acidity_g_l)) row.dissolved.acid_g = litres * found.acidity_g_l;
  if (is_known(found.so2_total_mg_l)) row.dissolved.so2_total_mg = litres * found.so2_total_mg_l;
  if (is_known(found.so2_free_mg_l))
    for (double* free_mg :
         {&row.dissolved.so2_free_mg, &row.dissolved.so2_free_low_mg, &row.dissolved.so2_free_high_mg})
      *free_mg = litres * found.so2_free_mg_l;
  begin_sulfur_step(row);
  return std::nullopt;
}

Answer act(Cellar& cellar, const Deed&, const BringIn& in) { return bring_vessel_in(cellar, in); }

Answer act(Cellar& cellar, const Deed&, const TakeOut& out) { return take_vessel_out(cellar, out); }

Answer act(Cellar& cellar, const Deed&, const Set& set) { return set_tier(cellar, set); }

template <class Other>
Answer act(Cellar&, const Deed&, const Other&) {
  throw std::logic_error("a verb that the twin does not follow");
}

/// A part that names a lot is of that lot's harvest by the clock `harvest`; else a source of its own, with the age
/// stated.
void open_with(Cellar& cellar, const Opening& opening) {
  for (const Opening::Part& part : opening.parts) {
    const double litres = part.share * opening.volume_l;
    if (litres <= 0.0) continue;
    Source source{.name = part.name,
                  .opened_day = cellar.day,
                  .age_when_opened_y = part.age_years,
                  .wine = opening.wine,
                  .cost_per_l = opening.cost.per_litre};
    if (part.lot >= 0) source.vintage = cellar.sources[at(part.lot)].vintage;
    if (part.lot >= 0 && cellar.scenario->clock == Clock::harvest)
      source.harvested_day = cellar.sources[at(part.lot)].harvested_day;
    cellar.sources.push_back(source);
    cellar.ways.emplace_back();
    const int index = static_cast<int>(cellar.sources.size()) - 1;
    bring(cellar, kOpened, index, Place{{}, opening.row, -1}, litres, opening.at);
    Parcel& parcel = cellar.rows[at(opening.row)].wine.back();
    if (is_known(part.age_years) && cellar.scenario->clock == Clock::wood) parcel.wood_y = part.age_years;
  }
}

}  // namespace

std::optional<Refusal> perform(Cellar& cellar, const Deed& deed) {
  if (deed.opening) {
    open_with(cellar, *deed.opening);
    return std::nullopt;
  }
  const std::vector<Row> rows = cellar.rows;  // kept, because a refusal must change nothing
  const std::vector<Ways> ways = cellar.ways;
  const std::vector<Cellar::Soaking> soaking = cellar.soaking;
  const std::vector<double> used_l = cellar.used_l;
  const std::size_t draws = cellar.draws.size(), bottlings = cellar.bottlings.size();
  auto refusal = deed.past ? not_there(cellar, deed.action) : std::nullopt;
  if (!refusal) refusal = std::visit([&](const auto& action) { return act(cellar, deed, action); }, deed.action);
  if (!refusal) return std::nullopt;
  cellar.rows = rows;
  cellar.ways = ways;
  cellar.soaking = soaking;
  cellar.used_l = used_l;
  cellar.draws.resize(draws);
  cellar.bottlings.resize(bottlings);
  refusal->date = deed.date;
  return refusal;
}

}  // namespace tierce::twin
