#include "cli/record/record_sheet.h"

#include <unistd.h>

#include <algorithm>
#include <functional>
#include <istream>
#include <ostream>

#include "cli/io/exit_status.h"
#include "cli/io/messages.h"
#include "cli/read/load.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"
#include "cli/report/so2_text.h"
#include "cli/write/document.h"
#include "cli/write/write.h"
#include "engine/run/outlook.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

using Values = std::vector<std::pair<std::string, std::string>>;

/// Asks until an answer can be read. An empty answer skips the blank.
class Questions {
 public:
  Questions(std::istream& in, std::ostream& out) : in_(in), out_(out) {}

  bool ended() const { return ended_; }
  bool seen() const { return out_.good(); }
  void say(const std::string& text, std::size_t indent = 0) {
    Document line;
    if (indent > 0) line.term("", text, indent);
    else line.say(text);
    out_ << text_of(line, Units::metric);
  }

  /// `fault`: what is wrong with an answer; empty if nothing is. It may put the answer into better words.
  std::string ask(const std::string& question, const std::string& expected,
                  const std::function<std::string(std::string&)>& fault) {
    while (!ended_) {
      out_ << question << (expected.empty() ? "" : " (expected " + expected + ")") << ": " << std::flush;
      std::string answer;
      ended_ = !out_ || !std::getline(in_, answer);             // a question that nobody sees is not asked
      if (ended_ || ::isatty(STDIN_FILENO) == 0) out_ << '\n';  // on a terminal the answer itself ends the line
      answer = trimmed(answer);
      if (answer.empty()) return "";
      const std::string wrong = refused_character(answer) ? "this is no text that can be seen" : fault(answer);
      if (wrong.empty()) return answer;
      out_ << "  " << fit_to_show(wrong) << '\n';
    }
    return "";
  }

  /// A number; without a unit it is in the unit that the blank has.
  std::string amount(const std::string& question, const std::string& unit, const std::string& expected,
                     const Key& key) {
    return ask(question + ", " + unit, expected, [&](std::string& answer) -> std::string {
      if (std::holds_alternative<double>(read_number(answer))) answer += ' ' + unit;
      const auto read = read_quantity(answer, key.measure);
      if (const auto* misread = std::get_if<Misread>(&read)) return misread->what + "; " + misread->allowed;
      if (key.range.holds(std::get<Quantity>(read).value)) return "";
      return answer + " is out of range; " + allowed_text(key);
    });
  }

 private:
  std::istream& in_;
  std::ostream& out_;
  bool ended_ = false;
};

/// The first day of the habit behind the log, and what is expected then.
struct Expected {
  Date day{};
  Outlook before;  // up to that day, without what is done on it
  Outlook done;    // and with it
};

std::optional<Expected> next_refresh(const Scenario& scenario) {
  for (const Event& event : timeline(scenario, {}).events) {
    if (event.past || event.at.line == 0) continue;
    return Expected{event.date, run_scenario(scenario, {.until_year = 0, .habit = false, .end_on = event.date}),
                    run_scenario(scenario, {.until_year = 0, .habit = true, .end_on = event.date})};
  }
  return std::nullopt;
}

const Key& key_of(const std::string& verb, const std::string& key) { return *keys::entry(verb)->find(key); }

class Sheet {
 public:
  Sheet(Questions& questions, const Scenario& scenario, const Expected& expected, const Date& today)
      : ask_(questions), scenario_(scenario), expected_(expected), today_(today) {
    if (!expected.before.run.looks.empty()) stock_ = &expected.before.run.looks.back();
  }

  std::vector<WrittenEntry> fill() {
    ask_day();
    for (int row = 0; row < scenario_.tier_count(); ++row)
      if (stock_ != nullptr && stock_->volume[row] > 0.0) gauge_and_analyse(row);
    if (refills_first()) refill();
    draw();
    if (!refills_first()) refill();
    doses();
    return std::move(entries_);
  }

 private:
  void ask_day() {
    const std::string answer =
        ask_.ask("day of the work, as 2027-02-10, blank for today", "", [](std::string& text) -> std::string {
          const auto read = read_date(text);
          const auto* misread = std::get_if<Misread>(&read);
          return misread != nullptr ? misread->what + "; " + misread->allowed : "";
        });
    const Date& now = today_;
    day_ = answer.empty() ? now : std::get<Date>(read_date(answer));
    if (day_ < now) entered_ = now;
    if (day_ > now) ask_.say("That day lies ahead; a log holds what was done.", 2);
    ref_ = ask_.ask("number of the sheet", "", [](std::string&) { return std::string(); });
  }

  void add(const std::string& verb, Values values) {
    if (!ref_.empty()) values.emplace_back("ref", yaml_value(ref_));
    entries_.push_back(written_entry(verb, day_, entered_, values));
  }

  std::string shown(double value, Figure figure) const {
    return is_known(value) ? figure_text(value, figure, scenario_.units) : "";
  }
  std::string volume_unit() const { return scenario_.units == Units::us ? "gal" : "L"; }

  void gauge_and_analyse(int row) {
    const std::string& tier = scenario_.name_of(row);
    const std::string read = ask_.amount(tier + ", volume read", volume_unit(),
                                         shown(stock_->volume[row], Figure::litres), key_of("gauge", "volume"));
    if (!read.empty()) {
      Values values = {{"tier", yaml_value(tier)}, {"volume", read}};
      const bool us = scenario_.units == Units::us;
      const std::string at = ask_.amount(tier + ", temperature of the wine, blank for " + (us ? "68 °F" : "20 °C"),
                                         us ? "°F" : "°C", "", key_of("gauge", "at"));
      if (!at.empty()) values.emplace_back("at", at);
      add("gauge", values);
    }
    const auto level = [&](const std::string& what, const char* unit, double value, Figure figure, const Key& key) {
      return ask_.amount(tier + ", " + what, unit, shown(value, figure), key);
    };
    const std::string alcohol =
        level("strength", "%vol", stock_->alcohol_pct(row), Figure::alcohol_pct, key_of("analyse", "alcohol"));
    const std::string va = level("volatile acidity", "g/L", stock_->per_litre(row, kVolatileAcid),
                                 Figure::fine_grams_per_litre, key_of("analyse", "va"));
    const std::string free =
        ask_.amount(tier + ", free SO2", "mg/L", free_text(sulfur_of(*stock_, row)), *keys::so2().find("free"));
    const std::string total = level("total SO2", "mg/L", stock_->per_litre(row, kSo2Total),
                                    Figure::milligrams_per_litre, *keys::so2().find("total"));
    Values values = {{"tier", yaml_value(tier)}};
    if (!alcohol.empty()) values.emplace_back("alcohol", alcohol);
    if (!va.empty()) values.emplace_back("va", va);
    const std::string both = !free.empty() && !total.empty() ? ", " : "";
    if (!free.empty() || !total.empty())
      values.emplace_back(
          "so2", '{' + (free.empty() ? "" : "free: " + free) + both + (total.empty() ? "" : "total: " + total) + '}');
    if (values.size() > 1) add("analyse", values);
  }

  bool refills_first() const {
    for (const Event& event : expected_.done.line.events)
      if (!event.past && !std::holds_alternative<CloseYear>(event.act))
        return std::holds_alternative<Refill>(event.act);
    return false;
  }

  void draw() {
    for (const DrawRecord& draw : expected_.done.run.draws) {
      if (draw.past) continue;
      const std::string& from = scenario_.name_of(draw.row);
      const std::string litres = ask_.amount("drawn from " + from + " for " + draw.name, volume_unit(),
                                             shown(draw.volume_l, Figure::litres), key_of("draw", "volume"));
      if (!litres.empty())
        add("draw", {{"from", yaml_value(from)}, {"volume", litres}, {"for", yaml_value(draw.name)}});
    }
  }

  void refill() {
    std::vector<std::string> lots;
    for (const Lot& lot : scenario_.lots) lots.push_back(lot.name);
    for (const RefreshRecord& refresh : expected_.done.run.refreshes) {
      if (refresh.past) continue;
      const std::string litres = ask_.amount("new wine put in", volume_unit(),
                                             shown(refresh.new_wine_l, Figure::litres), key_of("refill", "volume"));
      if (litres.empty()) continue;
      const std::string likely = refresh.lots.empty() ? "" : refresh.lots.front().first;
      const bool stated = std::find(lots.begin(), lots.end(), likely) != lots.end();
      std::string lot;
      while (lot.empty() && !ask_.ended()) {
        lot = ask_.ask("lot of the new wine" + std::string(stated ? ", blank for " + likely : ""), "",
                       [&](std::string& text) -> std::string {
                         if (std::find(lots.begin(), lots.end(), text) != lots.end()) return "";
                         return "there is no lot '" + text + "' in the file; lots: " + listed_briefly(lots);
                       });
        if (lot.empty() && stated) lot = likely;
        else if (lot.empty()) ask_.say("The new wine must be stated under 'lots': " + listed_briefly(lots) + ".", 2);
      }
      add("refill", {{"lot", yaml_value(lot)}, {"volume", litres}});
    }
  }

  void doses() {
    bool cautioned = false;
    for (const DoseRecord& dose : expected_.done.run.doses) {
      if (dose.past) continue;
      if (!std::exchange(cautioned, true))
        ask_.say(
            "Metabisulfite and acid give off sulfur dioxide: mask, goggles, moving air; never near acid; never "
            "over the bung.");
      const std::string& tier = scenario_.name_of(dose.row);
      const double grams = metabisulfite_grams(so2_grams(dose.dose_mg_l, dose.litres), scenario_.metabisulfite_yield);
      const std::string given =
          ask_.amount("potassium metabisulfite into " + tier, "g",
                      is_known(grams) ? number_text(grams, Figure::whole, Units::metric) + " g" : "",
                      key_of("dose", "metabisulfite"));
      if (!given.empty()) add("dose", {{"tier", yaml_value(tier)}, {"metabisulfite", given}});
    }
  }

  Questions& ask_;
  const Scenario& scenario_;
  const Expected& expected_;
  const Date today_;
  const Stock* stock_ = nullptr;
  Date day_{};
  std::optional<Date> entered_;
  std::string ref_;
  std::vector<WrittenEntry> entries_;
};

SheetAnswers stop(const std::string& why) {
  say_error(why);
  return {{}, kBadInput};
}

std::string ended_text(const Questions& questions) {
  return std::string(questions.seen() ? "the answers end before the sheet does" : "the questions cannot be shown") +
         "; nothing was written";
}

}  // namespace

SheetAnswers ask_sheet(const RecordRequest& request, std::istream& in, std::ostream& out, std::ostream& err) {
  const LoadedScenario loaded = load_scenario(request.file);
  if (!loaded.problems.empty()) {
    print_problems(loaded.problems, loaded.source, err);
    return {{}, kBadInput};
  }
  const auto expected = next_refresh(loaded.scenario);
  if (!expected) return stop(loaded.source.path + ": no habit says what the next refresh is; record it entry by entry");
  Questions questions(in, out);
  questions.say(loaded.scenario.reserve + ": the sheet of the refresh planned for " + day_text(expected->day));
  questions.say("A blank answer skips the line: nothing is recorded for it. Expected values are those of the book.");
  out << '\n';
  SheetAnswers answers{Sheet(questions, loaded.scenario, *expected, request.today).fill(), kFine};
  if (questions.ended()) return stop(ended_text(questions));
  out << '\n';
  if (answers.entries.empty()) {
    questions.say("Every line was skipped; nothing was written.");
    return answers;
  }
  for (const WrittenEntry& entry : answers.entries) questions.say(in_braces(entry), 2);
  if (request.only_show) return answers;
  const std::string yes = questions.ask(
      "Write these lines into " + loaded.source.path + "? yes or no", "",
      [](std::string& text) -> std::string { return text == "yes" || text == "no" ? "" : "yes or no, in full"; });
  if (yes == "yes") return answers;
  if (questions.ended()) return stop(ended_text(questions));
  questions.say("Nothing was written.");
  return {{}, kFine};
}

}  // namespace tierce
