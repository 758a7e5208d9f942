#include "engine/run/bottling.h"

#include "engine/run/ageing.h"
#include "engine/run/fast/lots.h"
#include "engine/run/taking.h"

namespace tierce {
namespace {

std::vector<int>& standing_in(Run& run, int row) { return run.standing[static_cast<std::size_t>(row)]; }

DrawRecord record_of(const Run& run, const Event& event, const Place& from, const std::string& name, double litres,
                     double share_of_row) {
  DrawRecord record{.at = event.at,
                    .date = event.date,
                    .day = event.day,
                    .name = name.empty() ? iso_text(event.date) : name,
                    .row = from.row,
                    .past = event.past,
                    .event = static_cast<std::size_t>(&event - run.line.events.data())};
  record.volume_l = litres;
  record.wine = part_of(run.now, from.row, share_of_row);
  record.ph = run.now.ph(from.row);
  record.tiers_alcohol_before_l = alcohol_of_tiers_l(run);
  return record;
}

/// A draw that stands in a tank is still in the book: it moves, and is counted when it leaves the tank.
void stand(Run& run, const Place& from, const Place& to, const Asked& asked, const At& at) {
  pour(run.now, from.row, to.row, asked.share_of_row);
  turn_parts(run, to.row);
  lower(run, from, asked);
  raise(run, to, asked.litres, at);
  settle(run, to.row);
}

void take_out(Run& run, const Event& event, const Draw& draw, const Asked& asked) {
  if (draw.to) return stand(run, draw.from, *draw.to, asked, event.at);
  draw_lots(run, draw.from.row, asked.share_of_row);
  lower(run, draw.from, asked);
}

/// The name of a bottling that states none: that of the draws which stand in the tank.
std::string name_of_standing(const Run& run, int row) {
  std::string name;
  for (const int draw : run.standing[static_cast<std::size_t>(row)]) {
    const std::string& one = run.out.draws[static_cast<std::size_t>(draw)].name;
    if (name.find(one) == std::string::npos) name += (name.empty() ? "" : " + ") + one;
  }
  return name;
}

}  // namespace

std::optional<Fault> apply(Run& run, const Event& event, const Draw& draw) {
  const Asked asked = ask(run, draw.from, draw.amount, "the draw");
  if (asked.fault) return asked.fault;
  if (run.keep == Keep::flows) {
    take_out(run, event, draw, asked);
    return std::nullopt;
  }
  DrawRecord record = record_of(run, event, draw.from, draw.name, asked.litres, asked.share_of_row);
  record.use = draw.use;
  record.again = !standing_in(run, draw.from.row).empty();
  take_out(run, event, draw, asked);
  record.tiers_alcohol_after_l = alcohol_of_tiers_l(run);
  if (draw.to) {
    record.to = draw.to->row;
    standing_in(run, record.to).push_back(static_cast<int>(run.out.draws.size()));
  }
  if (!record.again) run.year().draws_alcohol_l += record.wine.alcohol.sum();
  run.out.draws.push_back(std::move(record));
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Bottle& bottle) {
  const double held_l = run.now.volume[bottle.from.row];
  const double filled_l = bottle.bottles.litres_of(held_l);
  Amount all = bottle.bottles;
  all.kind = Amount::Kind::litres;
  all.value = filled_l + bottle.loss_l;
  const Asked asked = ask(run, bottle.from, all, bottle.loss_l > 0.0 ? "the bottling with its loss" : "the bottling");
  if (asked.fault) return asked.fault;
  // The loss goes first, so that what is bottled takes the rest when the tank is emptied.
  const double loss_share = bottle.loss_l / held_l;
  std::vector<int> draws = standing_in(run, bottle.from.row);
  std::string name =
      bottle.name.empty() && run.keep != Keep::flows ? name_of_standing(run, bottle.from.row) : bottle.name;
  if (bottle.loss_l > 0.0) note_loss(run, bottle.from, "filling", bottle.loss_l, loss_share);
  if (bottle.loss_l > 0.0) leave(run, kLost, bottle.from, {bottle.loss_l, loss_share, {}});
  const double left_l = run.now.volume[bottle.from.row];
  const double share = asked.share_of_row == 1.0 ? 1.0 : filled_l / left_l;
  const double litres = asked.share_of_row == 1.0 ? left_l : filled_l;
  if (run.keep != Keep::flows)
    run.out.bottlings.push_back({record_of(run, event, bottle.from, name, litres, share), bottle.bottles.value,
                                 bottle.bottles.bottle_l, bottle.loss_l, std::move(draws)});
  leave(run, kBottled, bottle.from, {litres, share, {}});
  return std::nullopt;
}

}  // namespace tierce
