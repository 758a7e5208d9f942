#include "cli/report/label/label_wording.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "cli/read/suggest.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr double kAllPct = 100.0 - 1e-7;  // %; shares are worked out to 1e-12

std::string years_text(double years) { return figure_text(years, Figure::age, Units::metric); }

std::string share_text(double share) { return figure_text(share, Figure::share, Units::metric); }

Claim claim_of(Say say, double at_least = kUnknown) {
  Claim claim;
  claim.say = say;
  claim.at_least = at_least;
  return claim;
}

template <class Name>
std::pair<Name, double> most_of(const std::map<Name, double>& litres) {
  return *std::max_element(litres.begin(), litres.end(),
                           [](const auto& a, const auto& b) { return a.second < b.second; });
}

/// What is said of one draw, sentence by sentence.
class Sentences {
 public:
  Sentences(const LabelView& view, const LabelledDraw& labelled)
      : view_(view), facts_(labelled.facts), date_(labelled.draw->date) {}

  std::vector<Wording> all() {
    started();
    harvests();
    old_share();
    youngest();
    mean();
    quotient();
    strength();
    vintage();
    variety();
    if (facts_.sulfites_dosed_mg_l > 0.0)
      refuse("back", "No added sulfites", "the book has doses of SO2 before this draw");
    return std::move(sentences_);
  }

 private:
  /// Judges the claim that a sentence makes; a rule that fails refuses it.
  void say(const std::string& place, const std::string& text, const Claim& claim) {
    Wording wording{.place = place, .text = text};
    auto rows = judge_claim(view_.book, view_.sets, claim, facts_);
    if (claim.say == Say::started)  // the sentence says which of the two years it means
      std::erase_if(
          rows, [](const Judgement& row) { return row.rule == nullptr && row.because == Because::readings_differ; });
    wording.verdict = worst(rows);
    std::vector<std::string> silent;
    for (const Judgement& row : rows) {
      if (row.because == Because::no_rule) silent.push_back(row.set);
      else if (row.verdict != Verdict::holds)
        wording.because.push_back(by_text(row) + ' ' + verdict_word(row.verdict) +
                                  (row.rule == nullptr ? "" : " (" + row.rule->source.where + ")"));
      if (row.verdict == Verdict::fails) wording.refused = true;
    }
    if (!silent.empty()) wording.because.push_back("nothing on it in " + listed(silent));
    sentences_.push_back(std::move(wording));
  }

  void refuse(const std::string& place, const std::string& text, const std::string& why) {
    sentences_.push_back({place, text, Verdict::open, {why}, true});
  }

  void started() {
    if (facts_.older_than_book)
      return refuse("front", "Started with the harvest of ...",
                    "the book opens with wine that was there before; its beginning is not known");
    if (facts_.first_vintage == 0) return;
    Claim claim = claim_of(Say::started);
    claim.year = facts_.first_vintage;
    say("front", "Started with the harvest of " + std::to_string(facts_.first_vintage) + ".", claim);
  }

  void harvests() {
    const Judgement count = judge({"harvests", Operator::at_least, 1.0}, {&facts_, nullptr, nullptr});
    const double known = count.readings.front().low;
    if (!(known >= 2.0)) return;
    const bool exact = count.readings.front().exact();
    say("back",
        std::string("Holds wine of ") + (exact ? "" : "at least ") + figure_text(known, Figure::whole, Units::metric) +
            " harvests.",
        claim_of(Say::harvests, known));
  }

  /// On which base a share of a harvest stands, where spirit makes a difference.
  std::string base_text(double with_spirit) const {
    const bool stated = std::any_of(facts_.parts.begin(), facts_.parts.end(),
                                    [](const WinePart& part) { return part.spirit_share > 0.0; });
    if (stated) return " (the spirit stated in it left out; " + share_text(with_spirit) + " with it)";
    return facts_.spirit_not_stated.empty() ? "" : " (spirit counted with it: none is stated)";
  }

  void old_share() {
    std::map<int, double> by_vintage;
    for (const WinePart& part : facts_.parts)
      if (part.vintage > 0) by_vintage[part.vintage] += part.litres / facts_.litres;
    if (by_vintage.size() < 2) return;
    const auto [year, with_spirit] = *by_vintage.begin();
    Claim claim = claim_of(Say::oldest_share, std::numeric_limits<double>::infinity());
    claim.before = year + 1;
    const LabelQuantity& share = *find_quantity("share of old harvests");  // the least of the ways to reckon it
    for (const LabelReading& reading : share.of({&facts_, &claim, nullptr}, SpiritIn::unsettled))
      claim.at_least = std::min(claim.at_least, reading.low);
    const std::string text = share_text(claim.at_least / 100.0);
    if (text == share_text(0.0)) return;  // nothing that could be printed
    say("back", text + " of it is from the harvest of " + std::to_string(year) + base_text(with_spirit) + ".", claim);
  }

  /// Years that the spirit in a lot has at least: it may have been made on the last day of its year. What brandy and
  /// other spirits are made of is the lot itself.
  double spirit_age_y(const WinePart& part) const { return years_between({part.lot->spirit->made, 12, 31}, date_); }

  bool is_spirits() const {
    const auto product = facts_.words.find("product");
    return product != facts_.words.end() && product->second == "spirits";
  }

  /// Why it is not known how old the spirit in the wine is; empty where it is.
  std::string why_spirit_age_unknown() const {
    if (is_spirits()) return "";
    if (!facts_.spirit_not_stated.empty())
      return "no spirit is stated for " + listed_briefly(facts_.spirit_not_stated) + ", and it may be younger";
    std::vector<std::string> without_year;
    for (const WinePart& part : facts_.parts) {
      const bool opening = part.lot == nullptr && part.spirit == nullptr;
      if (opening && !(facts_.wine.alcohol_pct < kLiqueurWineFromPct))
        return "the book does not tell what spirit is in " + part.name + ", and it may be younger";
      if (part.lot != nullptr && part.lot->spirit && part.lot->spirit->made == 0) without_year.push_back(part.name);
    }
    return without_year.empty()
               ? ""
               : "'made' of the spirit is not stated for " + listed_briefly(without_year) + ", and it may be younger";
  }

  /// The age of the youngest part, spirit in the lots too. Only an age from the harvest can pass that of the spirit:
  /// it was there when its lot came in.
  double youngest_y() const {
    double youngest_y = facts_.age.youngest_y;
    if (facts_.clock != Clock::harvest || is_spirits()) return youngest_y;
    for (const WinePart& part : facts_.parts)
      if (part.lot != nullptr && part.lot->spirit) youngest_y = std::min(youngest_y, spirit_age_y(part));
    return youngest_y;
  }

  void youngest() {
    const std::string no_part = "No part is younger than ...";
    if (!is_known(facts_.age.youngest_y)) return refuse("back", no_part, "part of the wine is of unknown age");
    const std::string why = facts_.clock == Clock::harvest ? why_spirit_age_unknown() : "";
    if (!why.empty()) return refuse("back", no_part, why);
    const double years = youngest_y();
    const bool nothing = !(years > 0.0) || years_text(years) == years_text(0.0);
    if (nothing) return refuse("back", no_part, "a part of it, or the spirit in it, may be of these weeks");
    const std::string in_wood = facts_.clock == Clock::wood ? " in wood" : "";
    say("back", "No part of it was younger than " + years_text(years) + in_wood + " at bottling.",
        claim_of(Say::youngest, years));
  }

  void mean() {
    const bool known = is_known(facts_.age.mean_y);
    const double years = known ? facts_.age.mean_y : facts_.age.mean_at_least_y;
    const std::string since = facts_.clock == Clock::harvest ? "since harvest"
                              : facts_.clock == Clock::entry ? "since it entered the reserve"
                                                             : "in wood";
    say("back",
        "Its mean age " + since + ", weighted by volume, was " + (known ? "" : "at least ") + years_text(years) +
            " at bottling.",
        claim_of(Say::mean_age, years));
  }

  void quotient() {
    if (!is_known(facts_.quotient_y)) return;
    say("sheet",
        "Stock before the draw over the draws of that year, in pure alcohol: " +
            number_text(facts_.quotient_y, Figure::age, Units::metric) + " (a quotient, not an age).",
        claim_of(Say::quotient, facts_.quotient_y));
  }

  /// The statement nearest to the strength that no rule set fails.
  void strength() {
    const double pct = facts_.wine.alcohol_pct;
    if (!is_known(pct)) return;
    const double nearest = std::round(pct * 2.0) / 2.0;
    for (const double away : {0.0, -0.5, 0.5, -1.0, 1.0}) {
      Claim claim = claim_of(Say::alcohol);
      claim.stated = claim.stated_to = nearest + away;
      if (worst(judge_claim(view_.book, view_.sets, claim, facts_)) == Verdict::fails) continue;
      return say("front",
                 decimal_text(claim.stated, 1, false) + " %vol (" +
                     (facts_.strength_measured ? "measured" : "computed") + ' ' + decimal_text(pct, 2, false) + ")",
                 claim);
    }
    refuse("front", "a strength in whole or half %vol",
           "none near " + decimal_text(pct, 2, false) + " %vol stands by all rule sets");
  }

  /// Said of the whole wine: all of it has to be so, or a rule of the sets chosen asks for less of it and holds.
  void say_of_all(const std::string& text, const Claim& claim, const std::string& quantity) {
    const LabelReading share = find_quantity(quantity)->of({&facts_, &claim, nullptr}, SpiritIn::left_out).front();
    const auto rows = judge_claim(view_.book, view_.sets, claim, facts_);
    const bool less_will_do = std::any_of(rows.begin(), rows.end(), [&](const Judgement& row) {
      return row.rule != nullptr && row.quantity == quantity && row.verdict == Verdict::holds;
    });
    if (worst(rows) == Verdict::fails || share.low >= kAllPct) return say("front", text, claim);
    const std::string part = share_text(std::max(0.0, share.low) / 100.0) + (share.exact() ? "" : " at least");
    if (less_will_do) return say("front", text + " (" + part + " of it)", claim);
    refuse("front", text,
           part + " of it, and no rule of " + listed(view_.sets) + " that asks for less than all holds" +
               (share.exact() ? "" : "; what the rest is made of is not stated"));
  }

  void vintage() {
    std::map<int, double> by_vintage;
    for (const WinePart& part : facts_.parts)
      if (part.vintage > 0) by_vintage[part.vintage] += part.litres;
    if (by_vintage.empty()) return;
    Claim claim = claim_of(Say::vintage);
    claim.year = most_of(by_vintage).first;
    say_of_all("Harvest of " + std::to_string(claim.year), claim, "vintage share");
  }

  void variety() {
    std::map<std::string, double> by_grape;
    for (const WinePart& part : facts_.parts)
      if (part.lot != nullptr)
        for (const auto& [grape, share] : part.lot->grapes) by_grape[grape] += part.litres * share;
    if (by_grape.empty()) return;
    Claim claim = claim_of(Say::variety);
    claim.of = {{most_of(by_grape).first, kUnknown}};
    say_of_all(claim.of.front().first, claim, "variety share");
  }

  const LabelView& view_;
  const LabelFacts& facts_;
  Date date_;
  std::vector<Wording> sentences_;
};

}  // namespace

std::vector<Wording> wording_for(const LabelView& view, const LabelledDraw& labelled) {
  return Sentences(view, labelled).all();
}

}  // namespace tierce
