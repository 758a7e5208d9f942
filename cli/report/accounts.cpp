#include "cli/report/accounts.h"

namespace tierce {
namespace {

Value tank_of(const LotRow& row) {
  const auto& in = row.lot->made->in;
  return in ? Value(row.scenario.name_of(in->row)) : Value();
}

Value file_of(const LotRow& row) {
  const auto& origin = row.lot->origin;
  return origin ? Value(origin->file) : Value();
}

/// The tank it stands in, or the file it is from.
Value where_of(const LotRow& row) {
  const auto& origin = row.lot->origin;
  if (row.lot->made->in) return tank_of(row);
  return origin ? Value("from " + origin->file) : Value("");
}

constexpr Field<LotRow> kLotFields[] = {
    {"lot", "lot", Figure::text, "its name", [](auto& of) -> Value { return of.lot->name; }},
    {"made", "made", Figure::date, "day on which it was made or drawn",
     [](auto& of) -> Value { return of.lot->made->date; }, kOrNull},
    {"volume_L", "volume", Figure::litres, "made, lees and all",
     [](auto& of) -> Value { return of.lot->made->volume_l; }},
    {"lees_L", "lees", Figure::small_litres, "of that, no wine", of<&LotAccount::lees_l>},
    {"used_L", "used", Figure::litres, "taken of it so far", of<&LotAccount::used_l>},
    {"left_L", "left", Figure::litres, "left; of a lot in a tank, what the tanks hold of it", of<&LotAccount::left_l>},
    {"in", "in", Figure::text, "tank that received it", tank_of, kOrNull},
    {"where", "in", Figure::text, "tank, or file of another reserve", where_of, kOnlyInTables},
    {"analysed", "analysed", Figure::date, "day of its analysis", [](auto& of) -> Value { return of.lot->analysed; },
     kOrNull},
    {"from", "from", Figure::text, "file of the reserve that it is a draw of", file_of, kOrNull},
    {"cost_per_L", "cost", Figure::money_by_volume, "what a litre cost",
     [](auto& of) -> Value { return of.lot->cost.per_litre; }},
};

constexpr Field<SpiritAccount> kSpiritFields[] = {
    {"name", "spirit", Figure::text, "its name", of<&SpiritAccount::name>},
    {"strength_pct", "strength", Figure::alcohol_pct, "its strength, %vol", of<&SpiritAccount::strength_pct>},
    {"bought_L", "bought", Figure::small_litres, "its `stock`; null where no account is kept",
     of<&SpiritAccount::bought_l>},
    {"used_L", "used", Figure::small_litres, "put into wine so far", of<&SpiritAccount::used_l>},
    {"left_L", "left", Figure::small_litres, "left", of<&SpiritAccount::left_l>},
};

}  // namespace

const Shape<LotRow> kLotAccount{"lot_account", "A lot whose volume is stated, and what is left of it.", kLotFields};
const Shape<SpiritAccount> kSpiritAccount{"spirit_account", "A spirit of the list: what was bought, used, left.",
                                          kSpiritFields};

std::vector<LotRow> lot_rows(const Outlook& outlook) {
  std::vector<LotRow> rows;
  for (const LotAccount& account : lot_accounts(outlook.scenario, outlook.line, outlook.run))
    rows.push_back({account, outlook.scenario});
  return rows;
}

}  // namespace tierce
