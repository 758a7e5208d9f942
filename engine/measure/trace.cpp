#include "engine/measure/trace.h"

#include <algorithm>
#include <set>
#include <variant>

#include "engine/run/simulate.h"

namespace tierce {
namespace {

/// Gives every act that brings wine in a column of its own for each part of it.
class Keeper {
 public:
  Keeper(const Timeline& line, Traced& traced) : known_(line.parcels), traced_(traced) {
    traced_.line = line;
    traced_.line.parcels.clear();
    traced_.line.wood = {};
  }

  void keep_apart() {
    for (std::size_t i = 0; i < traced_.line.events.size(); ++i) {
      Event& event = traced_.line.events[i];
      if (auto* open = std::get_if<Open>(&event.act))
        for (auto& [parcel, share] : open->shares) parcel = column_of(i, parcel);
      else if (event.parcel >= 0) event.parcel = column_of(i, event.parcel);
      for (int& parcel : event.brought) parcel = column_of(i, parcel);
      event.entering.clear();  // wine of a tank stays in the column of the act that brought it
    }
  }

 private:
  int column_of(std::size_t event, int parcel) {
    const Parcel& like = known_[static_cast<std::size_t>(parcel)];
    traced_.line.parcels.push_back(like);
    traced_.arrivals.push_back({event, like.lot, like.vintage});
    return static_cast<int>(traced_.arrivals.size()) - 1;
  }

  const std::vector<Parcel>& known_;
  Traced& traced_;
};

/// The rows whose wine goes on into a draw, looked at backwards in time.
class Upstream {
 public:
  Upstream(const Scenario& scenario, int row) : tiers_(scenario.tier_count()) { rows_.insert(row); }

  /// True if the act is behind the draw; then also what it took its wine from.
  bool takes(const Event::Act& act) {
    return std::visit([&](const auto& one) { return touches(one); }, act);
  }
  void forget_empty(const Eigen::VectorXd& volume) {
    std::erase_if(rows_, [&](int row) { return !(volume[row] > 0.0); });
  }

 private:
  bool has(int row) const { return rows_.contains(row); }

  bool touches(const Move& move) {
    if (!has(move.to.row)) return false;
    rows_.insert(move.from.row);
    return true;
  }
  bool touches(const Draw& draw) {
    if (!draw.to || !has(draw.to->row)) return false;
    rows_.insert(draw.from.row);
    return true;
  }
  bool touches(const Refill& refill) {
    int oldest = -1;
    for (const int row : rows_)
      if (row < tiers_) oldest = std::max(oldest, row);
    for (int row = 0; row <= oldest; ++row) rows_.insert(row);
    if (oldest >= 0 && refill.from) rows_.insert(refill.from->row);
    return oldest >= 0;
  }
  bool touches(const Add& add) { return has(add.to.row); }
  bool touches(const Dose& dose) {
    return dose.place ? has(dose.place->row)
                      : std::any_of(rows_.begin(), rows_.end(), [&](int row) { return row < tiers_; });
  }
  bool touches(const Gauge& gauge) {
    return std::any_of(gauge.read_l.begin(), gauge.read_l.end(),
                       [&](const auto& reading) { return has(reading.first.row); });
  }
  bool touches(const Analyse& analyse) { return has(analyse.place.row) && !analyse.keep_only; }
  bool touches(const Fortify& fortify) { return has(fortify.place.row); }
  bool touches(const Reduce& reduce) { return has(reduce.place.row); }
  template <class Other>
  bool touches(const Other&) {
    return false;  // an opening counts by its litres; what leaves changes no wine
  }

  int tiers_;
  std::set<int> rows_;
};

void add_vessels(const Scenario& scenario, const Traced& traced, const std::string& lot, int row,
                 std::vector<Holding>& list) {
  const Stock& stock = traced.run.looks.back();
  const double share = litres_of_lot(traced, lot, stock.litres.row(row)) / stock.volume[row];
  const auto levels = stock.levels.of(row);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    if (!(levels[i] > 0.0) || !(share > 0.0)) continue;
    const bool tank = scenario.is_tank(row);
    list.push_back({tank ? scenario.name_of(row) : scenario.tiers[static_cast<std::size_t>(row)].vessels[i].name,
                    tank ? Holding::Kind::tank : Holding::Kind::vessel, stock.date, share * levels[i], levels[i]});
  }
}

}  // namespace

Traced trace(const Scenario& scenario, const Timeline& line) {
  Traced traced;
  Keeper(line, traced).keep_apart();
  traced.run = simulate(scenario, traced.line, Keep::path);
  return traced;
}

double litres_of_lot(const Traced& traced, const std::string& lot, const Amounts& litres) {
  double sum = 0.0;
  for (Eigen::Index i = 0; i < litres.size(); ++i)
    if (traced.arrivals[static_cast<std::size_t>(i)].lot == lot) sum += litres[i];
  return sum;
}

double flow_of_lot(const Traced& traced, const std::string& lot, Flow flow) {
  return litres_of_lot(traced, lot, traced.run.flows.litres.row(flow));
}

std::vector<std::string> lot_names(const Traced& traced) {
  std::vector<std::string> names;
  for (const Arrival& arrival : traced.arrivals)
    if (std::find(names.begin(), names.end(), arrival.lot) == names.end()) names.push_back(arrival.lot);
  return names;
}

std::vector<Holding> places_of_lot(const Scenario& scenario, const Traced& traced, const std::string& lot) {
  std::vector<Holding> list;
  const auto add = [&](const DrawRecord& wine, Holding::Kind kind) {
    if (const double litres = litres_of_lot(traced, lot, wine.wine.litres); litres > 0.0)
      list.push_back({wine.name, kind, wine.date, litres, wine.volume_l});
  };
  for (const DrawRecord& draw : traced.run.draws)
    if (draw.to < 0) add(draw, Holding::Kind::draw);
  for (const BottlingRecord& bottling : traced.run.bottlings) add(bottling.wine, Holding::Kind::bottling);
  if (!traced.run.looks.empty())
    for (int row = 0; row < scenario.rows(); ++row) add_vessels(scenario, traced, lot, row, list);
  return list;
}

LotBalance balance_of_lot(const Traced& traced, const std::string& lot) {
  const auto flow = [&](Flow way) { return flow_of_lot(traced, lot, way); };
  const auto& looks = traced.run.looks;
  return {.in_l = flow(kOpening) + flow(kIn) + flow(kWater),
          .held_l = looks.empty() ? 0.0 : litres_of_lot(traced, lot, looks.back().litres.colwise().sum()),
          .drawn_l = flow(kDrawn),
          .bottled_l = flow(kBottled),
          .evaporated_l = flow(kEvaporated),
          .gauge_l = flow(kGauged),
          .lost_l = flow(kLost),
          .contracted_l = flow(kContracted)};
}

std::vector<LotShare> lots_in(const Traced& traced, const DrawRecord& draw) {
  std::vector<LotShare> lots;
  for (const Arrival& arrival : traced.arrivals) {
    if (std::any_of(lots.begin(), lots.end(), [&](const LotShare& one) { return one.lot == arrival.lot; })) continue;
    const double litres = litres_of_lot(traced, arrival.lot, draw.wine.litres);
    lots.push_back({arrival.lot, arrival.vintage, litres, litres / draw.volume_l});
  }
  std::erase_if(lots, [](const LotShare& one) { return !(one.litres > 0.0); });
  return lots;
}

std::vector<Behind> behind(const Scenario& scenario, const Traced& traced, const DrawRecord& draw) {
  const std::size_t own = draw.event;
  std::vector<double> brought(own + 1, 0.0);  // by event, litres of the draw
  for (Eigen::Index column = 0; column < draw.wine.litres.size(); ++column)
    if (const auto event = traced.arrivals[static_cast<std::size_t>(column)].event; event < own)
      brought[event] += draw.wine.litres[column];
  std::vector<Behind> acts = {{own, 0.0}};
  Upstream upstream(scenario, draw.row);
  const auto& volumes = traced.run.volumes;
  for (std::size_t i = own; i-- > 0;) {
    const bool touched = upstream.takes(traced.line.events[i].act);
    if (touched || brought[i] > 0.0) acts.push_back({i, brought[i]});
    if (i > 0 && i - 1 < volumes.size()) upstream.forget_empty(volumes[i - 1]);
  }
  std::reverse(acts.begin(), acts.end());
  return acts;
}

}  // namespace tierce
