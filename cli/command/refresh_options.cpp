#include "cli/command/refresh_options.h"

#include <algorithm>
#include <cctype>

#include "cli/command/commands.h"
#include "cli/command/fortify_options.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr double kMostError = 0.25;  // of a gauge; beyond it nothing was measured
constexpr double kMostLoss = 0.9;

class Reader {
 public:
  explicit Reader(const std::map<std::string, std::string>& given) : given_(given) {}

  std::vector<Problem> faults;

  bool has(const char* name) const { return given_.contains(name); }
  std::string text(const char* name) const { return has(name) ? given_.at(name) : ""; }

  void report(const std::string& what, const std::string& allowed, const std::string& hint = "") {
    faults.push_back({{}, what, allowed, hint});
  }
  void report(const char* name, const Misread& misread) {
    report("--" + std::string(name) + ": " + misread.what, misread.allowed, misread.hint);
  }

  template <class T>
  std::optional<T> take(const char* name, const Read<T>& read) {
    if (const auto* misread = std::get_if<Misread>(&read)) {
      report(name, *misread);
      return std::nullopt;
    }
    return std::get<T>(read);
  }

  /// A quantity from `low` (itself not allowed) to `high`.
  double above(const char* name, Measure measure, double low, double high, double standard) {
    if (!has(name)) return standard;
    const auto quantity = take(name, read_quantity(text(name), measure));
    if (!quantity) return standard;
    if (quantity->value > low && quantity->value <= high) return quantity->value;
    const Unit& base = units_of(measure).front();
    report("--" + std::string(name) + ": '" + text(name) + "' is out of range",
           "above " + plain_number(low / base.factor) + ' ' + base.name + ", up to " +
               plain_number(high / base.factor) + ' ' + base.name);
    return standard;
  }

  Loss loss(const char* name) {
    Loss result;
    if (!has(name)) return result;
    const bool part = text(name).find('%') != std::string::npos;
    const auto quantity = take(name, read_quantity(text(name), part ? Measure::share : Measure::volume));
    if (!quantity) return result;
    const double most = part ? kMostLoss : kLargestAmount;
    if (quantity->value < 0.0 || quantity->value > most)
      report("--" + std::string(name) + ": '" + text(name) + "' is out of range", "0 % to 90 %, or 0 L or more");
    else (part ? result.part : result.litres) = quantity->value;
    return result;
  }

  /// "B6: 5 L, B7: 5 L"
  std::vector<std::pair<std::string, double>> named_litres(const char* name) {
    std::vector<std::pair<std::string, double>> all;
    std::string rest = text(name);
    while (!rest.empty()) {
      const auto comma = rest.find(", ");
      const std::string part = trimmed(rest.substr(0, comma));
      rest = comma == std::string::npos ? "" : rest.substr(comma + 2);
      const auto colon = part.rfind(':');
      const std::string who = colon == std::string::npos ? "" : trimmed(part.substr(0, colon));
      if (who.empty()) {
        report("--" + std::string(name) + ": '" + part + "' has no name and litres",
               "as in \"GG25: 300 L, GG24: 80 L\"");
        continue;
      }
      const auto litres = take(name, read_quantity(trimmed(part.substr(colon + 1)), Measure::volume));
      if (!litres) continue;
      const bool twice = std::any_of(all.begin(), all.end(), [&](const auto& one) { return one.first == who; });
      if (twice) report("--" + std::string(name) + ": '" + who + "' is given twice", "once");
      else if (!(litres->value > 0.0))
        report("--" + std::string(name) + ": '" + part + "' is out of range", "above 0 L");
      else all.emplace_back(who, litres->value);
    }
    return all;
  }

 private:
  const std::map<std::string, std::string>& given_;
};

void read_fruit_cost(Reader& reader, RefreshOptions& options) {
  if (!reader.has("fruit-cost")) return;
  const std::string allowed = "a number, a currency and a weight: 1.20 EUR/kg, 1200 EUR/t, 1100 USD/ton (of 2000 lb)";
  const auto [number, unit] = split_number(reader.text("fruit-cost"));
  const auto slash = unit.find('/');
  const auto value = read_number(number);
  const std::string weight = slash == std::string::npos ? "" : trimmed(unit.substr(slash + 1));
  const double kg = weight == "kg" ? 1.0 : weight == "t" ? 1000.0 : weight == "ton" ? kKgPerShortTon : 0.0;
  if (kg == 0.0 || slash == 0 || std::holds_alternative<Misread>(value) || std::get<double>(value) < 0.0)
    return reader.report("--fruit-cost: '" + reader.text("fruit-cost") + "' is no cost", allowed);
  options.making.fruit_cost_per_kg = std::get<double>(value) / kg;
  options.making.fruit_currency = trimmed(unit.substr(0, slash));
}

void read_from(Reader& reader, RefreshOptions& options) {
  const std::string from = reader.text("from");
  if (!from.empty() && from != "fruit" && from != "must")
    reader.report("--from cannot be '" + from + "'", "fruit, must", did_you_mean(nearest(from, {"fruit", "must"})));
  const bool makes = !from.empty() || reader.has("sugar") || reader.has("yield");
  if (!makes) {
    for (const char* needs : {"drum", "fruit-cost"})
      if (reader.has(needs))
        reader.report("--" + std::string(needs) + " is of no use without --sugar",
                      "--sugar, of the must before it ferments");
    return;
  }
  options.from = from == "must" ? MadeFrom::must : MadeFrom::fruit;
  if (!reader.has("sugar"))
    reader.report("--sugar is missing: how sweet the must will be", "as in --sugar \"240 g/L\" or --sugar \"13.5 Be\"");
  if (options.from == MadeFrom::fruit && !reader.has("yield"))
    reader.report("--yield is missing: how much must the fruit gives",
                  "as in --yield \"650 L/t\", \"0.65 L/kg\" or \"150 gal/ton\"; or --from must, if the must is bought");
  if (options.from == MadeFrom::must)
    for (const char* idle : {"yield", "fruit-cost"})
      if (reader.has(idle)) reader.report("--" + std::string(idle) + " is of no use with --from must", "--from fruit");
}

/// Must, fruit and drums, read as `tierce fortify` reads them.
void read_making(Reader& reader, RefreshOptions& options) {
  if (options.from == MadeFrom::wine || !reader.has("sugar")) return;
  std::vector<std::string> arguments = {
      "--sugar", reader.text("sugar"), "--spirit", "96 %vol", "--to", "16 %vol", "--sweet", "100 g/L"};
  const bool fruit = options.from == MadeFrom::fruit && reader.has("yield");
  if (fruit) arguments.insert(arguments.end(), {"--fruit", "1000 kg", "--yield", reader.text("yield")});
  else arguments.insert(arguments.end(), {"--volume", "1000 L"});
  if (reader.has("drum")) arguments.insert(arguments.end(), {"--drum", reader.text("drum")});
  const ParsedFortify parsed = parse_fortify(arguments);
  reader.faults.insert(reader.faults.end(), parsed.faults.begin(), parsed.faults.end());
  options.making.sugar = parsed.options.sugar;
  options.making.drum_l = parsed.options.drum_l;
  if (fruit) options.making.must_l_per_kg = parsed.options.must_l_per_kg;
}

void read_level(Reader& reader, RefreshOptions& options) {
  const std::string level = reader.text("level");
  if (level == "full first") options.level = Level::full_first;
  else if (level == "even") options.level = Level::even;
  else if (!level.empty())
    reader.report("--level cannot be '" + level + "'", "even, full first",
                  did_you_mean(nearest(level, {"even", "full first"})));
  if (reader.has("ullage")) options.ullage_part = reader.above("ullage", Measure::share, -1e-12, 0.9, 0.0);
}

void read_lots_at_hand(Reader& reader, RefreshOptions& options) {
  options.lots = reader.named_litres("lots");
  options.strength_pct = reader.above("strength", Measure::strength, 0.0, 100.0, kUnknown);
  options.sweet_g_l = reader.above("sweet", Measure::grams_per_litre, -1e-12, 800.0, kUnknown);
  options.youngest_y = reader.above("youngest", Measure::years, 0.0, 1000.0, kUnknown);
  if (!reader.has("lots"))
    for (const char* idle : {"strength", "sweet", "youngest"})
      if (reader.has(idle))
        reader.report("--" + std::string(idle) + " is of no use without --lots",
                      "--lots, the lots to choose from, as in --lots \"GG24: 300 L, GG25: 500 L\"");
  if (reader.has("lots") && options.from != MadeFrom::wine)
    reader.report("--lots and --sugar cannot both be given",
                  "--lots for wine at hand, --sugar for wine still to be made");
  if (reader.has("lots") && reader.has("refill"))
    reader.report("--lots and --refill cannot both be given", "one of them");
}

}  // namespace

const std::vector<OptionRow>& refresh_option_rows() {
  static const std::vector<OptionRow> kRows = {
      {"on", "DATE", "the refresh falls on this day, as 2027-02-10, or today (default: the habit's next day)"},
      {"draw", "AMOUNT", "draw this in place of what the habit draws: 20 %, 250 L or 600 x 375 mL"},
      {"refill", "LOT", "refill with this lot of the file in place of the habit's"},
      {"error", "SHARE", "how far a gauge may be off (default: 1 %)"},
      {"lees", "LOSS", "new wine left behind with its lees, as 3 % or 5 L (default: none)"},
      {"filter", "LOSS", "new wine lost in the filter after that (default: none)"},
      {"bottling-loss", "LOSS", "of the draw, lost on the way into bottles (default: none)"},
      {"bottle", "VOLUME", "the reserve's own bottle, as 250 mL (default: that of the habit or the log)"},
      {"level", "even|full first",
       "fill all vessels to the same part, or as many full as can be (default: as the tier states)"},
      {"ullage", "SHARE", "of each vessel, to be left free (default: as the tier states, else what the target leaves)"},
      {"soakage", "VESSELS", "what vessels of new wood will drink, as \"B6: 5 L, B7: 5 L\" (default: nothing)"},
      {"from", "fruit|must", "what the new wine is made from (default: fruit, once --sugar is given)"},
      {"sugar", "SUGAR", "of the must before it ferments, as in tierce fortify: with it the order is worked out"},
      {"spirit", "SPIRIT", "a spirit of the file, or its strength, as 96 %vol (default: the file's, if it has one)"},
      {"yield", "VOLUME/WEIGHT", "must from the fruit, as 650 L/t, 0.65 L/kg, 150 gal/ton"},
      {"drum", "VOLUME", "size of the drums that the spirit comes in"},
      {"fruit-cost", "COST", "of the fruit, as 1.20 EUR/kg, /t or /ton"},
      {"lots", "LOTS", "choose the new wine from lots at hand, as \"GG24: 300 L, GG25: 500 L\""},
      {"strength", "STRENGTH", "that it must have"},
      {"sweet", "SUGAR", "sugar that it must have"},
      {"youngest", "AGE", "that no part of it may be below, as 1 year"},
  };
  return kRows;
}

ParsedRefresh parse_refresh(const std::map<std::string, std::string>& given, const Date& today) {
  Reader reader(given);
  RefreshOptions options;
  for (const auto& [name, value] : given)
    if (trimmed(value).empty()) reader.report("--" + name + ": a value is missing", "'tierce refresh --help' shows it");
  if (!reader.faults.empty()) return {options, reader.faults};
  if (reader.text("on") == "today") options.on = today;
  else if (reader.has("on")) options.on = reader.take("on", read_date(reader.text("on")));
  if (reader.has("draw")) options.draw = reader.take("draw", read_amount(reader.text("draw")));
  options.refill = reader.text("refill");
  options.error_part = reader.above("error", Measure::share, -1e-12, kMostError, options.error_part);
  options.lees = reader.loss("lees");
  options.filter = reader.loss("filter");
  options.bottling = reader.loss("bottling-loss");
  options.bottle_l = reader.above("bottle", Measure::volume, 0.0, 1000.0, kUnknown);
  read_level(reader, options);
  options.soakage = reader.named_litres("soakage");
  options.sugar = reader.text("sugar");
  options.spirit = reader.text("spirit");
  options.drum = reader.text("drum");
  read_from(reader, options);
  read_making(reader, options);
  read_fruit_cost(reader, options);
  read_lots_at_hand(reader, options);
  return {options, reader.faults};
}

}  // namespace tierce
