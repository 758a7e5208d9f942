// The sheet that is carried to the cellar: what to do in the order in which it is done, large figures for what is
// pumped and weighed, blanks for what is measured.
#include <algorithm>
#include <cmath>

#include "cli/io/display_width.h"
#include "cli/read/quantity_text.h"
#include "cli/report/page/sheet_page.h"
#include "cli/report/refresh/refresh.h"
#include "cli/report/refresh/refresh_entries.h"
#include "cli/report/refresh/refresh_words.h"
#include "cli/report/remarks.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"
#include "engine/wine/sulfur.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr std::size_t kCardsInARow = 3;
constexpr std::size_t kCardWidth = kSheetWidth / kCardsInARow;
constexpr double kWholeFrom = 100.0;       // figures from here on are shown whole
constexpr double kSmallVesselL = 50.0;     // below it tenths of a litre count
constexpr std::size_t kMostTogether = 20;  // vessels of several tiers in one list
constexpr std::size_t kManyTiers = 4;      // from here on only the wine that is drawn is sampled
constexpr double kSameFigure = 0.05;       // figures this near print the same
constexpr std::size_t kMostVessels = 30;   // one line each; beyond, vessels alike share a line
const std::string kBlank = "________";

/// Figures without a unit: whole from 100 on, else tenths.
std::string short_figure(double value) { return fixed_text(value, value >= kWholeFrom ? 0 : 1); }

class Sheet {
 public:
  Sheet(const Refresh& refresh, Units units) : refresh_(refresh), plan_(refresh.plan), units_(units) {}

  std::string text() {
    std::vector<Lines> blocks = {who(), gauges(), samples()};
    for (Lines& row : card_rows()) blocks.push_back(std::move(row));
    for (Lines& table : cases()) blocks.push_back(std::move(table));
    for (Lines& list : vessels()) blocks.push_back(std::move(list));
    blocks.push_back(check());
    blocks.push_back(cautions());
    blocks.push_back(notes());
    if (!refresh_.wines.empty()) blocks.push_back(order());
    std::erase_if(blocks, [](const Lines& block) { return block.empty(); });
    return paged(blocks, {kSheetWidth, kSheetLines, plan_.base.reserve, "REFRESH of " + plain(day_text(plan_.date))});
  }

 private:
  static std::string plain(const std::string& text) { return with_plain_spaces(text); }
  std::string unit() const { return units_ == Units::us ? "gal" : "L"; }
  double shown(double litres) const { return units_ == Units::us ? litres / kLitresPerGallon : litres; }
  std::string litres(double volume_l) const { return short_figure(shown(volume_l)) + " " + unit(); }
  const std::string& tier(int row) const { return plan_.base.name_of(row); }
  std::string heading(const std::string& what) { return std::to_string(++step_) + "  " + what; }

  Lines who() const {
    const std::string measured = units_ == Units::us ? "gallons at 68 °F" : "litres at 20 °C";
    return {"done on ____ - __ - __   by __________________   air tested ______   all " + measured,
            "planned: " + plain(refresh_.why_the_day) + "; book to " +
                (plan_.book_end.year > 0 ? plain(day_text(plan_.book_end)) : "nothing") +
                "; expected values are computed"};
  }

  /// A line of columns of these widths; the first stands on the left, cut where it is too long, the others on the
  /// right.
  static std::string columns(const std::vector<std::string>& cells, const std::vector<std::size_t>& widths) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i)
      line +=
          i == 0 ? on_the_left(cut_to_width(cells[i], widths[i] - 1), widths[i]) : on_the_right(cells[i], widths[i]);
    return line;
  }

  Lines gauges() {
    const std::vector<std::size_t> widths = {26, 13, 14, 13, 13, 10};
    const std::string at = units_ == Units::us ? "at °F" : "at °C";
    Lines lines = {columns({heading("GAUGE"), "expect", "recheck below", "or above", "read", at}, widths)};
    for (const TierDay& day : refresh_.tiers)
      lines.push_back(columns({"   " + tier(day.row), litres(day.expected_l), litres(day.low_l), litres(day.high_l),
                               kBlank + " " + unit(), "______"},
                              widths));
    for (const PullTo& tank : tanks_to_pull_to(refresh_))
      for (const std::string& line :
           wrapped_after("vessel by vessel, or " + tank.which + " pulled to tank " + tank.name +
                             ", which is empty and holds " + litres(tank.capacity_l),
                         "   "))
        lines.push_back(line);
    return lines;
  }

  Lines samples() {
    if (!plan_.before.holds_wine()) return {};
    const Stock& stock = plan_.before.stock();
    const std::vector<std::size_t> widths = {26, 13, 10, 8, 9, 11, 12};
    Lines lines = {columns({heading("SAMPLE"), "strength", "sugar", "pH", "volatile", "SO2 free", "SO2 total"}, widths),
                   columns({"", "%vol", "g/L", "", "g/L", "mg/L", "mg/L"}, widths)};
    for (int row = 0; row < plan_.base.tier_count(); ++row) {
      const auto& draws = draws_of_day(plan_);
      const bool drawn =
          std::any_of(draws.begin(), draws.end(), [&](const DrawRecord* draw) { return draw->row == row; });
      if (!(stock.volume[row] > 0.0) || (!drawn && refresh_.tiers.size() >= kManyTiers)) continue;
      const auto value = [&](double figure, Figure form) { return number_text(figure, form, Units::metric); };
      lines.push_back(columns(
          {"   " + tier(row) + ", expected", value(stock.alcohol_pct(row), Figure::alcohol_pct),
           value(stock.per_litre(row, kSugar), Figure::grams_per_litre), value(stock.ph(row), Figure::ph),
           value(stock.per_litre(row, kVolatileAcid), Figure::fine_grams_per_litre), free_text(sulfur_of(stock, row)),
           value(stock.per_litre(row, kSo2Total), Figure::milligrams_per_litre)},
          widths));
      lines.push_back(columns({"   read", "______", "______", "______", "______", "______", "______"}, widths));
    }
    return lines;
  }

  // What is pumped and weighed.

  Lines card(const std::string& what, double figure, const std::string& unit_text, const std::string& where) {
    Lines lines = {heading(what)};
    Lines large = large_figure(short_figure(figure));
    large.back() += " " + unit_text;
    for (const std::string& line : large) lines.push_back("   " + line);
    for (const std::string& line : wrapped(where, kCardWidth - 5)) lines.push_back("   " + line);
    lines.push_back("   done " + kBlank + " " + unit_text + "  ____");
    return lines;
  }

  void add_moves(std::vector<Lines>& cards) {
    const RefreshRecord* record = refresh_of_day(plan_);
    if (record == nullptr || moved_) return;
    moved_ = true;
    for (const Pour& pour : record->moves)
      cards.push_back(card("MOVE", shown(pour.litres), unit(), "from " + tier(pour.from) + " to " + tier(pour.to)));
  }

  void add_new_wine(std::vector<Lines>& cards) {
    if (added_) return;
    added_ = true;
    for (const WineOrder& wine : refresh_.wines)
      cards.push_back(card("ADD", shown(wine.goes_in_l), unit(), wine.lot + " to " + tier(0)));
  }

  std::vector<Lines> cards() {
    std::vector<Lines> cards;
    std::size_t draw = 0;
    for (const PlannedEntry& planned : plan_.entries) {
      if (!planned.of_the_day) continue;
      if (std::holds_alternative<Draw>(planned.entry.action)) {
        const DrawRecord& record = *draws_of_day(plan_)[draw++];
        const std::string name = record.name == iso_text(record.date) ? "" : " for " + record.name;
        cards.push_back(card("DRAW", shown(record.volume_l), unit(), "from " + tier(record.row) + name));
      } else if (const auto* refill = std::get_if<Refill>(&planned.entry.action)) {
        const bool oldest_first = refill->order == RefillOrder::oldest_first;
        if (!oldest_first) add_new_wine(cards);
        add_moves(cards);
        add_new_wine(cards);
      }
    }
    for (const DoseRecord* dose : doses_of_day(plan_)) {
      if (!(dose->dose_mg_l > 0.0)) continue;
      const double salt_g = salt_of(refresh_, so2_grams(dose->dose_mg_l, dose->litres));
      cards.push_back(card("MIX, THEN DOSE", salt_g, "g",
                           "metabisulfite at " + trimmed_text(100.0 * plan_.base.metabisulfite_yield, 1) + " % into " +
                               litres(dose->litres) + " of " + tier(dose->row)));
    }
    return cards;
  }

  std::vector<Lines> card_rows() {
    const auto all = cards();
    std::vector<Lines> rows;
    for (std::size_t i = 0; i < all.size(); i += kCardsInARow) {
      const std::size_t end = std::min(all.size(), i + kCardsInARow);
      rows.push_back(side_by_side(
          {all.begin() + static_cast<std::ptrdiff_t>(i), all.begin() + static_cast<std::ptrdiff_t>(end)}, kCardWidth));
    }
    if (rows.empty()) return rows;
    if (!draws_of_day(plan_).empty()) {
      std::string bottles = "   the draw fills ";
      for (std::size_t i = 0; i < refresh_.bottles.size(); ++i)
        bottles += (i > 0 ? "; or " : "") + bottles_text(refresh_.bottles[i], units_);
      for (const std::string& line : wrapped_after(bottles, "   ")) rows.back().push_back(line);
    }
    return rows;
  }

  static Lines wrapped_after(const std::string& text, const std::string& indent) {
    Lines lines = wrapped(plain(text), kSheetWidth - indent.size(), 0);
    for (std::string& line : lines) line = indent + line;
    return lines;
  }

  // If it reads something else.

  Lines case_lines(int row) {
    std::vector<const GaugeCase*> found;
    for (const GaugeCase& one : refresh_.cases)
      if (one.row == row) found.push_back(&one);
    std::vector<std::size_t> widths = {27};
    std::vector<std::string> reads = {heading("IF " + tier(row) + " READS, " + unit())};
    for (const GaugeCase* one : found) {
      widths.push_back(9);
      reads.push_back(short_figure(shown(one->found_l)));
    }
    Lines lines = {columns(reads, widths)};
    // In a chain of tiers what does not depend on this one is left out; a dose always stands there.
    const auto add = [&](const std::string& what, auto figure_of, bool always = false) {
      const auto differs = [&](const GaugeCase* one) {
        return one->then.fault || std::abs(figure_of(one->then) - figure_of(found.front()->then)) > kSameFigure;
      };
      if (!always && refresh_.tiers.size() > 1 && std::none_of(found.begin(), found.end(), differs)) return;
      std::vector<std::string> cells = {"   " + what};
      for (const GaugeCase* one : found)
        cells.push_back(one->then.fault ? std::string("stop") : short_figure(figure_of(one->then)));
      lines.push_back(columns(cells, widths));
    };
    if (!draws_of_day(plan_).empty()) add("draw, " + unit(), [&](const IfGauged& then) { return shown(then.drawn_l); });
    if (const RefreshRecord* record = refresh_of_day(plan_))
      for (const Pour& pour : record->moves)
        add("move to " + tier(pour.to) + ", " + unit(), [&](const IfGauged& then) {
          double moved_l = 0.0;
          for (const Pour& one : then.moves)
            if (one.to == pour.to) moved_l += one.litres;
          return shown(moved_l);
        });
    if (!refresh_.wines.empty())
      add("add new wine, " + unit(), [&](const IfGauged& then) { return shown(then.new_wine_l); });
    for (int to = 0; to < plan_.base.tier_count(); ++to)
      if (so2_into(doses_of(refresh_), to) > 0.0)
        add(
            "dose " + tier(to) + ", g",
            [&](const IfGauged& then) { return salt_of(refresh_, so2_into(then.doses, to)); }, true);
    return lines;
  }

  std::vector<Lines> cases() {
    std::vector<Lines> tables;
    int row = -1;
    for (const GaugeCase& one : refresh_.cases) {
      if (one.row == row) continue;
      row = one.row;
      tables.push_back(case_lines(row));
    }
    if (tables.size() > 1)
      tables.back().push_back("   the other tiers as expected; what is not named here stays as above");
    return tables;
  }

  // Barrel by barrel.

  static bool alike(const VesselDay& a, const VesselDay& b) {
    return a.capacity_l == b.capacity_l && std::abs(a.expected_l - b.expected_l) < kSameLevelL &&
           std::abs(a.after_l - b.after_l) < kSameLevelL && a.part_full == b.part_full && a.soakage_l == b.soakage_l;
  }

  /// The vessels in order; many that are alike share a line.
  static std::vector<VesselDay> listed_vessels(const TierVessels& tier) {
    if (tier.vessels.size() <= kMostVessels) return tier.vessels;
    std::vector<VesselDay> listed;
    std::size_t count = 0;
    for (const VesselDay& vessel : tier.vessels) {
      if (!listed.empty() && alike(listed.back(), vessel)) {
        const std::string first = listed.back().name.substr(0, listed.back().name.find(" to "));
        listed.back().name = first + " to " + vessel.name + ": each of " + std::to_string(++count);
        continue;
      }
      count = 1;
      listed.push_back(vessel);
    }
    return listed;
  }

  /// The vessels of some tiers, in the order in which they are filled.
  Lines vessel_lines(const std::string& what, const std::vector<TierVessels>& tiers) {
    bool doses = false;
    for (const TierVessels& of_tier : tiers) doses = doses || so2_into(doses_of(refresh_), of_tier.row) > 0.0;
    std::vector<std::size_t> widths = {27, 9, 10, 9, 9, 9};
    std::vector<std::string> head = {
        heading("FILL" + what + ", " + unit()), "holds", "take out", "put in", "THEN", "ullage"};
    if (doses) {
      widths.push_back(8);
      head.emplace_back("salt g");
    }
    Lines lines = {columns(head, widths) + "   done"};
    for (const TierVessels& of_tier : tiers)
      for (const VesselDay& vessel : listed_vessels(of_tier)) {
        const bool named = !what.empty() || vessel.name == tier(of_tier.row);
        lines.push_back(vessel_line(named ? vessel.name : tier(of_tier.row) + " " + vessel.name, vessel, widths));
      }
    lines.push_back("   in this order; the last one" + std::string(what.empty() ? " of a tier" : "") +
                    " takes what is left over: " + kBlank + " " + unit());
    return lines;
  }

  std::string vessel_line(const std::string& name, const VesselDay& vessel,
                          const std::vector<std::size_t>& widths) const {
    const auto level = [&](double litres_in) {
      return fixed_text(shown(litres_in), vessel.capacity_l < kSmallVesselL || units_ == Units::us ? 1 : 0);
    };
    std::vector<std::string> cells = {"   " + name,          level(vessel.expected_l),
                                      level(vessel.out_l),   level(vessel.in_l),
                                      level(vessel.after_l), level(vessel.capacity_l - vessel.after_l)};
    if (widths.size() > cells.size()) cells.push_back(fixed_text(salt_of(refresh_, vessel.so2_g), 1));
    std::string line = columns(cells, widths) + "   ____";
    if (vessel.after_l <= 0.0) line += " empty";
    else if (vessel.part_full) line += " last";
    return line + (vessel.soakage_l > 0.0 ? " new" : "");
  }

  std::vector<Lines> vessels() {
    std::vector<Lines> lists;
    std::size_t count = 0;
    for (const TierVessels& of_tier : refresh_.vessels) count += of_tier.vessels.size();
    const bool together = refresh_.vessels.size() > 1 && count <= kMostTogether;
    if (together) lists.push_back(vessel_lines("", refresh_.vessels));
    else
      for (const TierVessels& of_tier : refresh_.vessels)
        lists.push_back(vessel_lines(" " + tier(of_tier.row), {of_tier}));
    double drinks_l = 0.0;
    for (const auto& [vessel, soaks_l] : refresh_.options.soakage) drinks_l += soaks_l;
    if (drinks_l > 0.0 && !lists.empty())
      lists.back().push_back("   new wood: keep " + litres(drinks_l) + " back and top up in the weeks to come");
    return lists;
  }

  Lines check() {
    return {heading("CHECK, " + unit()),
            "   before _____ + new _____ = drawn _____ + after _____ + lees, samples _____   off _____",
            "   gauges, analyses, litres and grams to the book:  by ____________   on ____ - __ - __"};
  }

  Lines notes() {
    Lines lines = {heading("NOTES")};
    for (const std::string& remark : remarks_beside_figures(refresh_.after))
      for (const std::string& line : wrapped_after(remark, "   ")) lines.push_back(line);
    const std::string blank = "   " + std::string(kSheetWidth - 3, '_');
    lines.insert(lines.end(), {"", blank, "", blank});
    return lines;
  }

  Lines order() {
    Lines lines = {heading("ORDER")};
    const auto add = [&](const std::string& text) {
      for (const std::string& line : wrapped_after(text, "   ")) lines.push_back(line);
    };
    for (const WineOrder& wine : refresh_.wines)
      add(litres(wine.needed_l) + " of " + wine.lot +
          (wine.needed_l > wine.goes_in_l
               ? " (with " + litres(wine.needed_l - wine.goes_in_l) + " for lees, filter, wood)"
               : " (no losses counted)") +
          ", " + trimmed_text(wine.wine.alcohol_pct, 2) + " %vol" +
          (is_known(wine.wine.sugar_g_l) ? ", " + trimmed_text(wine.wine.sugar_g_l, 1) + " g/L" : ""));
    for (const MakingOrder& making : refresh_.makings) {
      if (is_known(making.fruit_kg))
        add("fruit " + fixed_text(making.fruit_kg, 0) + " kg = " + fixed_text(making.fruit_kg / kKgPerShortTon, 2) +
            " tons (US)");
      add("must " + litres(making.plan.must.volume_l) + "; spirit of " + trimmed_text(making.spirit.strength_pct, 2) +
          " %vol: " + litres(making.spirit.needed_l) + ", to buy " + litres(making.spirit.order_l()) + " = " +
          fixed_text(making.spirit.proof_gallons(), 1) + " proof gal (US); arrest at " +
          fixed_text(making.plan.arrest.alcohol_pct, 1) + " %vol");
    }
    lines.push_back("   called ____________________   agreed ____________________   to come on ____ - __ - __");
    return lines;
  }

  static Lines cautions() {
    Lines lines = {std::string(kSheetWidth, '-')};
    for (const std::string& caution : cellar_cautions())
      for (const std::string& line : wrapped(caution, kSheetWidth, 3)) lines.push_back(line);
    lines.push_back("Local codes and licensed practice decide, not this sheet.");
    lines.emplace_back(kSheetWidth, '-');
    return lines;
  }

  const Refresh& refresh_;
  const RefreshPlan& plan_;
  Units units_;
  int step_ = 0;
  bool moved_ = false, added_ = false;
};

}  // namespace

std::string refresh_sheet(const Refresh& refresh, Units units) { return Sheet(refresh, units).text(); }

}  // namespace tierce
