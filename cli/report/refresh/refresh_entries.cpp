#include "cli/report/refresh/refresh_entries.h"

#include <cctype>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr int kShareDecimals = 9;  // 20 % may be held as 20.000000000000004 %

std::string percent(double part) { return trimmed_text(100.0 * part, kShareDecimals) + " %"; }

/// "key: value unit" after a comma; nothing for what is not known.
std::string stated(const char* key, double value, const char* unit) {
  if (!is_known(value)) return "";
  return std::string(", ") + key + ": " + plain_number(value) + unit;
}

std::string shares(const char* key, const std::map<std::string, double>& parts) {
  std::string text;
  for (const auto& [name, part] : parts) text += (text.empty() ? "" : ", ") + yaml_name(name) + ": " + percent(part);
  return text.empty() ? "" : std::string(", ") + key + ": {" + text + "}";
}

/// {free: 10 mg/L, total: 60 mg/L}
std::string pair_of(const char* key, const std::string& first_then_second) {
  return first_then_second.empty() ? "" : std::string(", ") + key + ": {" + first_then_second.substr(2) + "}";
}

std::string wine_text(const Composition& wine) {
  return stated("alcohol", wine.alcohol_pct, " %vol") + stated("sugar", wine.sugar_g_l, " g/L") +
         stated("acidity", wine.acidity_g_l, " g/L") + stated("va", wine.va_g_l, " g/L") + stated("pH", wine.ph, "") +
         pair_of("so2", stated("free", wine.so2_free_mg_l, " mg/L") + stated("total", wine.so2_total_mg_l, " mg/L")) +
         stated("acetaldehyde", wine.acetaldehyde_mg_l, " mg/L") + stated("pyruvic", wine.pyruvic_mg_l, " mg/L") +
         stated("oxoglutaric", wine.oxoglutaric_mg_l, " mg/L") +
         stated("galacturonic", wine.galacturonic_mg_l, " mg/L") + stated("sulfate", wine.sulfate_g_l, " g/L");
}

std::string lot_text(const Lot& lot) {
  std::string text = "  - {name: " + yaml_name(lot.name) + ", vintage: " + std::to_string(lot.vintage) +
                     ", harvested: " + iso_text(lot.harvested) + shares("grapes", lot.grapes) +
                     shares("grown", lot.grown) + wine_text(lot.wine);
  if (is_known(lot.cost.per_litre))
    text += ", cost: " + plain_number(lot.cost.per_litre) + " " + lot.cost.currency + "/L";
  return text + "}";
}

std::string place_text(const Scenario& scenario, const Place& place) {
  if (place.vessel < 0 || scenario.is_tank(place.row)) return yaml_name(scenario.name_of(place.row));
  const Tier& tier = scenario.tiers[static_cast<std::size_t>(place.row)];
  return yaml_name(tier.vessels[static_cast<std::size_t>(place.vessel)].name);
}

std::string keyed(const Amount& amount) {
  const char* const keys[] = {"volume", "share", "bottles"};
  return std::string(", ") + keys[static_cast<std::size_t>(amount.kind)] + ": " + amount_text(amount);
}

std::string act_text(const RefreshPlan& plan, const Draw& draw) {
  return "draw, from: " + place_text(plan.booked, draw.from) + keyed(draw.amount) +
         (draw.name.empty() ? "" : ", for: " + yaml_name(draw.name));
}
std::string act_text(const RefreshPlan& plan, const Refill& refill) {
  std::string text = "refill, lot: " + yaml_name(plan.booked.lots[static_cast<std::size_t>(refill.lot)].name);
  if (refill.order == RefillOrder::youngest_first) text += ", order: youngest first";
  if (refill.volume_l) text += ", volume: " + plain_number(*refill.volume_l) + " L";
  return text;
}
std::string act_text(const RefreshPlan& plan, const Add& add) {
  return "add, lot: " + yaml_name(plan.booked.lots[static_cast<std::size_t>(add.lot)].name) +
         ", to: " + place_text(plan.booked, add.to) + keyed(add.amount);
}
std::string act_text(const RefreshPlan& plan, const Move& move) {
  return "move, from: " + place_text(plan.booked, move.from) + ", to: " + place_text(plan.booked, move.to) +
         keyed(move.amount);
}
std::string act_text(const RefreshPlan& plan, const Dose& dose) {
  std::string text = "dose, tier: " + (dose.place ? place_text(plan.booked, *dose.place) : std::string("all"));
  const std::string value = plain_number(dose.value);
  switch (dose.kind) {
    case Dose::Kind::plain: text += ", so2: " + value + " mg/L"; break;
    case Dose::Kind::metabisulfite: text += ", metabisulfite: " + value + " g"; break;
    case Dose::Kind::to_free: text += ", to: {free: " + value + " mg/L}"; break;
    case Dose::Kind::to_molecular: text += ", to: {molecular: " + value + " mg/L}"; break;
  }
  if (std::isfinite(dose.at_most_total_mg_l))
    text += ", at most: {total: " + plain_number(dose.at_most_total_mg_l) + " mg/L}";
  return text;
}
template <class Other>
std::string act_text(const RefreshPlan&, const Other&) {
  return "";  // no plan holds other acts
}

}  // namespace

std::string amount_text(const Amount& amount) {
  if (amount.kind == Amount::Kind::share) return percent(amount.value);
  if (amount.kind == Amount::Kind::litres) return plain_number(amount.value) + " L";
  return plain_number(amount.value) + " x " + trimmed_text(amount.bottle_l * 1000.0, 6) + " mL";
}

std::string yaml_name(const std::string& name) {
  // Plain text that begins with a letter and holds nothing with a meaning; words such as yes and null have one.
  bool plain = !name.empty() && std::isalpha(static_cast<unsigned char>(name.front())) != 0 && name.back() != ' ';
  for (const char c : name)
    plain = plain && (std::isalnum(static_cast<unsigned char>(c)) != 0 || c == ' ' || c == '/' || c == '-' ||
                      c == '_' || static_cast<unsigned char>(c) >= 0x80u);
  for (const char* word : {"null", "yes", "no", "true", "false", "on", "off", "y", "n"}) {
    std::string small = name;
    for (char& c : small) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    plain = plain && small != word;
  }
  if (plain) return name;
  std::string quoted = "\"";
  for (const char c : name) quoted += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
  return quoted + '"';
}

std::vector<std::string> entry_on_lines(const std::string& entry, std::size_t width) {
  const std::string indent(5, ' ');
  std::vector<std::string> lines(1);
  bool quoted = false;
  std::string part;
  const auto put = [&] {
    if (!lines.back().empty() && lines.back().size() + part.size() > width) {
      lines.back().pop_back();  // the space after the comma
      lines.push_back(indent);
    }
    lines.back() += part;
    part.clear();
  };
  for (std::size_t i = 0; i < entry.size(); ++i) {
    part += entry[i];
    if (entry[i] == '"' && (i == 0 || entry[i - 1] != '\\')) quoted = !quoted;
    if (!quoted && entry[i] == ' ' && i > 0 && entry[i - 1] == ',') put();
  }
  put();
  return lines;
}

std::vector<std::string> lot_lines(const RefreshPlan& plan) {
  std::vector<std::string> lines;
  for (std::size_t i = plan.first_lot; i < plan.booked.lots.size(); ++i) lines.push_back(lot_text(plan.booked.lots[i]));
  return lines;
}

std::vector<std::string> log_lines(const RefreshPlan& plan) {
  std::vector<std::string> lines;
  for (std::size_t i = plan.first_entry; i < plan.booked.log.size(); ++i) {
    const Entry& entry = plan.booked.log[i];
    lines.push_back("  - {date: " + iso_text(entry.date) +
                    ", do: " + std::visit([&](const auto& act) { return act_text(plan, act); }, entry.action) + "}");
  }
  return lines;
}

}  // namespace tierce
