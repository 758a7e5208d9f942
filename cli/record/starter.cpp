#include "cli/record/starter.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/record/new_questions.h"

namespace tierce {
namespace {

constexpr std::size_t kRemarkColumn = 36;  // bytes before a remark, if the line is no longer

/// Text as YAML: plain where nothing in it can be misread, else in double quotes.
std::string yaml_text(const std::string& text) {
  const auto harmless = [](unsigned char c) { return std::isalpha(c) != 0 || c == ' ' || c >= 0x80; };
  const bool plain = !text.empty() && std::all_of(text.begin(), text.end(), harmless) && text.front() != ' ' &&
                     text.back() != ' ' && text != "null" && text != "Null" && text != "NULL";
  if (plain) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
  return quoted + '"';
}

class Writer {
 public:
  Writer(const std::map<std::string, std::string>& answers, const Date& today) : answers_(answers), filled_(today) {
    count_tiers();
    days();
  }

  Starter write() {
    head();
    tiers();
    lot();
    book();
    habit();
    line("");
    line("until: " + std::to_string(filled_.year + kYearsOfAStarter), "the last year of the forecast");
    return std::move(starter_);
  }

 private:
  std::string value(const std::string& name) const {
    const auto found = answers_.find(name);
    if (found != answers_.end()) return with_plain_spaces(trimmed(found->second));
    for (const NewQuestion& question : new_questions())
      if (question.name == name) return question.standard;
    return "";
  }
  bool invented(const std::string& name) const { return !answers_.contains(name); }

  void line(const std::string& text, const std::string& remark = "") {
    starter_.text += text;
    if (!remark.empty())
      starter_.text += std::string(text.size() < kRemarkColumn ? kRemarkColumn - text.size() : 2, ' ') + "# " + remark;
    starter_.text += '\n';
  }

  /// A line whose value answers these questions; it says so if one was not answered.
  void answer(const std::string& text, const std::vector<std::string>& names, const std::string& remark) {
    const bool any = std::any_of(names.begin(), names.end(), [&](const auto& name) { return invented(name); });
    line(text, (any ? "PLACEHOLDER: " : "") + remark);
    for (const std::string& name : names)
      if (invented(name)) starter_.placeholders.push_back(name);
  }

  void count_tiers() {
    tier_count_ = std::get<int>(read_whole(value("tiers"), 1, 1'000'000));
    vessel_count_ = std::get<int>(read_whole(value("vessels"), 1, 1'000'000));
    capacity_l_ = std::get<Quantity>(read_quantity(value("capacity"), Measure::volume)).value;
  }

  /// New wine is of the last harvest before the day; for older wine the lot is that of the coming refill.
  void days() {
    if (!invented("filled")) filled_ = std::get<Date>(read_date(value("filled")));
    const Date harvest{filled_.year, 10, 1};  // the default of 'harvested'
    vintage_ = filled_ < harvest ? filled_.year - 1 : filled_.year;
    lot_ = "Wine " + std::to_string(vintage_);
  }

  std::string tier_name(int tier) const { return tier_count_ == 1 ? "barrels" : "tier " + std::to_string(tier + 1); }
  std::string mark(int tier) const { return std::string(1, static_cast<char>(tier_count_ == 1 ? 'B' : 'A' + tier)); }

  /// Litres in one tier: an equal part of what there is, in whole millilitres and never more than there is.
  double tier_volume_l() const {
    const double all = value("volume") == "full"
                           ? capacity_l_ * vessel_count_ * tier_count_
                           : std::get<Quantity>(read_quantity(value("volume"), Measure::volume)).value;
    return std::floor(1000.0 * all / tier_count_) / 1000.0;
  }

  void head() {
    line("# The book of a reserve, begun with 'tierce new'. Figures marked PLACEHOLDER are invented: put in your own.");
    line("# 'tierce check' finds slips in this file, 'tierce forecast' shows the years to come. Text behind a '#' is");
    line("# not read. A key is a word before a colon; all of them are explained in docs/scenario.md.");
    line("");
    line("reserve: " + yaml_text(value("reserve")));
    line("units: " + value("units"), "what reports print: metric or us");
    line("# cellar: {temperature: 14 °C, humidity: 75 %}  # measure yours, and take the first '#' away");
    line("");
  }

  void tiers() {
    answer("tiers:", {"tiers"}, "youngest first; what is drawn leaves the last");
    for (int tier = 0; tier < tier_count_; ++tier) {
      line("  - name: " + tier_name(tier));
      line("    vessels:", "a line for each kind; count: [7, 9] gives marks of your own");
      answer("      - {name: " + mark(tier) + ", count: " + value("vessels") + ", capacity: " + value("capacity") + "}",
             {"vessels", "capacity"}, vessel_remark(tier));
      if (value("volume") != "full")
        line("    target: " + plain_number(tier_volume_l()) + " L", "what it is refilled to; without it, full");
      answer("    evaporation: " + value("evaporation"), {"evaporation"}, "gauges in the log will show yours");
    }
    line("");
  }

  std::string vessel_remark(int tier) const {
    if (vessel_count_ == 1) return "one vessel, " + mark(tier);
    return "vessels " + mark(tier) + "1 to " + mark(tier) + std::to_string(vessel_count_);
  }

  void lot() {
    line("lots:", "parcels of new wine, one for each harvest");
    line("  - name: " + lot_);
    answer("    vintage: " + std::to_string(vintage_), {"filled"}, "the year of its harvest");
    answer("    alcohol: " + value("alcohol"), {"alcohol"}, "strength at 20 °C");
    line("    # harvested: " + std::to_string(vintage_) + "-09-18", "where its age begins; without it, 1 Oct");
    line("    # grapes: {Verdelho: 100 %}", "what you do not know you leave out");
    line("    # sugar: 95 g/L");
    line("    # pH: 3.55");
    line("    # so2: {free: 15 mg/L, total: 60 mg/L}");
    line("");
  }

  void opening() {
    const std::string age = value("age");
    line("opening:", "what was there when this book began");
    for (int tier = 0; tier < tier_count_; ++tier) {
      answer("  - date: " + iso_text(filled_), {"filled"}, "the day it was measured");
      line("    tier: " + tier_name(tier));
      answer("    volume: " + plain_number(tier_volume_l()) + " L", {"volume"}, "gauged, at 20 °C");
      line("    lots: {unknown: 100 %}", "a name of your own, or lots from above");
      if (age != "unknown") line("    ages: {unknown: " + age + "}", "on that day");
      answer("    alcohol: " + value("alcohol"), {"alcohol"}, "strength at 20 °C");
    }
    line("");
  }

  void book() {
    const bool new_wine = value("age") == "new";
    if (!new_wine) opening();
    line("log:" + std::string(new_wine ? "" : " []"), "what was done, as measured, in order of date; only add to it");
    if (new_wine)
      for (int tier = 0; tier < tier_count_; ++tier)
        answer("  - {date: " + iso_text(filled_) + ", do: add, lot: " + lot_ + ", to: " + tier_name(tier) +
                   ", volume: " + plain_number(tier_volume_l()) + " L" + "}",
               {"filled", "volume", "age"}, "day and litres as pumped");
    samples();
  }

  /// Lines to begin with: each could stand in the log as it is, without its '#'.
  void samples() {
    const std::string day = std::to_string(filled_.year + 1) + "-02-10", last = tier_name(tier_count_ - 1);
    line(value("age") == "new"
             ? "  # What you do next looks like this:"
             : "  # What you do next looks like this; the first line takes the place of the '[]' above:");
    line("  # - {date: " + day + ", do: gauge, tier: " + last + ", volume: " + plain_number(gauged_l()) + " L}");
    line("  # - {date: " + day + ", do: draw, from: " + last + ", share: 10 %, for: First bottling}");
    line("  # - {date: " + day + ", do: refill, lot: " + lot_ + "}");
    line("");
  }

  double gauged_l() const {
    constexpr double kSomeEvaporated = 0.98;
    return std::floor(kSomeEvaporated * tier_volume_l());
  }

  void habit() {
    line("habit:", "what you mean to do in the years to come");
    answer("  day: " + value("day"), {"day"}, "of every year");
    line("  order: draw first", "or: refill first");
    answer("  draw: " + value("draw"), {"draw"}, "from the last tier: a share, litres, or bottles as 500 x 375 mL");
    if (value("draw") != "none") line("  for: Bottling {year}");
    line("  refill: {like: " + lot_ + "}", "new wine like that one, as much as the vessels take");
  }

  const std::map<std::string, std::string>& answers_;
  Starter starter_;
  int tier_count_ = 1, vessel_count_ = 1, vintage_ = 0;
  double capacity_l_ = 0.0;
  Date filled_;  // today, unless it is answered
  std::string lot_;
};

}  // namespace

Starter starter_from(const std::map<std::string, std::string>& answers, const Date& today) {
  Starter starter = Writer(answers, today).write();
  std::sort(starter.placeholders.begin(), starter.placeholders.end());
  starter.placeholders.erase(std::unique(starter.placeholders.begin(), starter.placeholders.end()),
                             starter.placeholders.end());
  return starter;
}

}  // namespace tierce
