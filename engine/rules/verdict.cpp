#include "engine/rules/verdict.h"

#include <algorithm>
#include <cmath>

#include "engine/rules/strength.h"

namespace tierce {
namespace {

double tie_of(double limit) { return kSameFigure * std::max(1.0, std::abs(limit)); }
bool same(double value, double limit) { return std::abs(value - limit) <= tie_of(limit); }

bool satisfies(Operator op, double value, double limit) {
  const double tie = tie_of(limit);
  switch (op) {
    case Operator::at_least: return value >= limit - tie;
    case Operator::above: return value > limit + tie;
    case Operator::at_most: return value <= limit + tie;
    case Operator::below: return value < limit - tie;
    case Operator::multiple_of: return same(value, std::round(value / limit) * limit);
    case Operator::exactly:
    case Operator::same_side: break;
  }
  return same(value, limit);
}

/// The figure does not keep the limit, but the texts leave it open as far as it goes.
bool in_open_zone(const LabelReading& reading, const Judgement& judgement, double open_to) {
  if (!is_known(open_to) || stands(reading, judgement.op, judgement.limit) != Verdict::fails) return false;
  return std::isinf(open_to) || stands(reading, judgement.op, open_to) != Verdict::fails;
}

double margin_of(Operator op, const LabelReading& reading, double limit, Verdict verdict) {
  const double worst_low = verdict == Verdict::fails ? reading.high : reading.low;
  const double worst_high = verdict == Verdict::fails ? reading.low : reading.high;
  double margin = kUnknown;
  switch (op) {
    case Operator::at_least:
    case Operator::above: margin = worst_low - limit; break;
    case Operator::at_most:
    case Operator::below: margin = limit - worst_high; break;
    case Operator::exactly: margin = reading.exact() ? -std::abs(reading.low - limit) : kUnknown; break;
    case Operator::multiple_of:
      margin = reading.exact() ? -std::abs(reading.low - std::round(reading.low / limit) * limit) : kUnknown;
      break;
    case Operator::same_side: break;
  }
  return std::isfinite(margin) ? margin : kUnknown;
}

/// Of several readings that agree, the margin of the worst; else that of the first.
double worst_margin(const Judgement& judgement) {
  double worst = kUnknown;
  for (const LabelReading& reading : judgement.readings) {
    const Verdict one = stands(reading, judgement.op, judgement.limit);
    const double margin = margin_of(judgement.op, reading, judgement.limit, one);
    if (!is_known(worst) || (is_known(margin) && margin < worst)) worst = margin;
    if (judgement.by_figure == Verdict::open) break;
  }
  return worst;
}

void judge_readings(Judgement& judgement, const Bound& bound) {
  std::vector<Verdict> verdicts;
  bool unknown = true, bounded = false, at_limit = false, in_zone = false;
  for (const LabelReading& reading : judgement.readings) {
    verdicts.push_back(stands(reading, judgement.op, judgement.limit));
    unknown = unknown && reading.unknown();
    bounded = bounded || verdicts.back() == Verdict::open;
    at_limit = at_limit || (bound.open_at_limit && reading.exact() && same(reading.low, judgement.limit));
    if (!in_open_zone(reading, judgement, bound.open_to)) continue;
    in_zone = true;
    verdicts.back() = Verdict::open;
  }
  const bool agree = std::all_of(verdicts.begin(), verdicts.end(), [&](Verdict v) { return v == verdicts.front(); });
  judgement.by_figure = agree && !at_limit ? verdicts.front() : Verdict::open;
  judgement.because = unknown                                ? Because::not_known
                      : at_limit                             ? Because::at_limit
                      : in_zone                              ? Because::open_point
                      : bounded                              ? Because::bounds
                      : judgement.by_figure == Verdict::open ? Because::readings_differ
                                                             : Because::figure;
}

double error_of(const LabelQuantity& quantity, const Claim* claim, double value) {
  if (claim != nullptr && is_known(claim->error)) return claim->error;
  if (quantity.error_share > 0.0) return is_known(value) ? quantity.error_share * std::abs(value) : 0.0;
  return quantity.error;
}

/// A figure of a laboratory, on the scale of the rule if it is a strength.
double measured_of(const Claim& claim, const Bound& bound, const std::string& unit) {
  const bool difference = bound.quantity.find("stated") != std::string::npos;
  return unit == "%vol" && !difference ? strength_on_scale(claim.measured, bound.strength_at_c) : claim.measured;
}

/// What is printed and what is in the bottle lie on one side of a limit, which itself belongs to the lower side.
void judge_same_side(Judgement& judgement, const LabelCase& of) {
  std::vector<double> figures = {judgement.readings.front().low};
  if (of.claim != nullptr)
    for (const double stated : {of.claim->stated, of.claim->stated_to})
      if (is_known(stated))
        figures.push_back(of.claim->stated_in_proof ? strength_on_scale(stated, of.strength_at_c) : stated);
  if (judgement.readings.front().unknown() || figures.size() < 2) {
    judgement.because = Because::not_known;
    return;
  }
  double above = 0.0, nearest = std::numeric_limits<double>::infinity();
  std::size_t count = 0;
  for (const double figure : figures) {
    nearest = std::min(nearest, std::abs(figure - judgement.limit));
    if (!satisfies(Operator::above, figure, judgement.limit)) continue;
    above = std::max(above, figure - judgement.limit);
    ++count;
  }
  const bool together = count == 0 || count == figures.size();
  judgement.by_figure = together ? Verdict::holds : Verdict::fails;
  judgement.margin = together ? nearest : -above;
}

}  // namespace

Verdict stands(const LabelReading& reading, Operator op, double limit) {
  if (reading.unknown() || !is_known(limit)) return Verdict::open;
  if (op == Operator::exactly || op == Operator::multiple_of) {
    if (reading.exact()) return satisfies(op, reading.low, limit) ? Verdict::holds : Verdict::fails;
    const bool may =
        op == Operator::multiple_of || (reading.low <= limit + tie_of(limit) && reading.high >= limit - tie_of(limit));
    return may ? Verdict::open : Verdict::fails;
  }
  const bool low = satisfies(op, reading.low, limit), high = satisfies(op, reading.high, limit);
  return low != high ? Verdict::open : low ? Verdict::holds : Verdict::fails;
}

Judgement judge(const Bound& bound, const LabelCase& asked) {
  LabelCase of = asked;
  of.strength_at_c = bound.strength_at_c;
  const LabelQuantity& quantity = *find_quantity(bound.quantity);
  Judgement judgement;
  judgement.quantity = bound.quantity;
  judgement.unit = quantity.unit;
  judgement.op = bound.op;
  judgement.limit = bound.limit;
  const bool measured = of.claim != nullptr && of.claim->say == Say::figure;
  if (measured) {
    const double figure = measured_of(*of.claim, bound, bound.unit.empty() ? quantity.unit : bound.unit);
    judgement.readings = {LabelReading{figure, figure, ""}};
  } else judgement.readings = quantity.of(of, bound.spirit);
  const LabelReading& first = judgement.readings.front();
  if (first.exact()) judgement.value = first.low;
  if (bound.op == Operator::same_side) judge_same_side(judgement, of);
  else {
    judge_readings(judgement, bound);
    judgement.margin = worst_margin(judgement);
  }
  judgement.verdict = judgement.by_figure;
  judgement.error = error_of(quantity, of.claim, judgement.value);
  judgement.within_error = judgement.error > 0.0 && is_known(judgement.margin) &&
                           std::abs(judgement.margin) <= judgement.error + tie_of(judgement.limit);
  return judgement;
}

const std::vector<std::string>& say_words() {
  static const std::vector<std::string> kWords = {
      "mean age",  "youngest",          "oldest",   "oldest share", "vintage",  "variety", "origin", "alcohol",
      "sweetness", "no added sulfites", "quotient", "started",      "harvests", "fill",    "figure", "wording"};
  return kWords;
}

const std::string& word_of(Say say) { return say_words()[static_cast<std::size_t>(say)]; }

Verdict worst(const std::vector<Judgement>& judgements) {
  Verdict verdict = Verdict::holds;
  for (const Judgement& one : judgements) {
    if (one.verdict == Verdict::fails) return Verdict::fails;
    if (one.verdict == Verdict::open) verdict = Verdict::open;
  }
  return judgements.empty() ? Verdict::open : verdict;
}

}  // namespace tierce
