#include "cli/report/label_classes.h"

#include <algorithm>

#include "cli/report/label_words.h"
#include "cli/write/write.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

constexpr std::size_t kIds = 17;  // characters for the ids of classes

std::string money_of(double amount, const TaxClass& of) { return decimal_text(amount, 2, false) + ' ' + of.currency; }

std::string tax_text(const LabelView& view, const LabelledDraw& labelled, const TaxClass& of) {
  const double volume_l = labelled.draw->volume_l;
  const double credit = credit_on(view.book, of, drawn_before_l(view, labelled), volume_l, labelled.draw->date);
  std::string text = ", " + decimal_text(of.rate, 3, false) + ' ' + of.currency + '/' + of.unit + ": " +
                     decimal_text(in_unit_of(of, taxed_l(of, volume_l)), 1, false) + ' ' + of.unit + " come to " +
                     money_of(tax_on(of, volume_l), of);
  if (!is_known(credit)) text += "; what credit there was that year was not read";
  if (credit > 0.0)
    text += ", less a credit of up to " + decimal_text(credit, 2, false) +
            " if this reserve's bottlings are all that the producer takes out that year";
  return text;
}

/// Bottlings of one class that follow one another.
struct ClassSpan {
  const TaxClass* of = nullptr;
  std::size_t first = 0, last = 0;
  double bottlings = 0.0, litres = 0.0;
  double tax = 0.0;  // each bottling is rounded by itself, as each is a removal
};

std::vector<ClassSpan> class_spans(const LabelView& view) {
  std::vector<ClassSpan> spans;
  for (std::size_t d = 0; d < view.draws.size(); ++d) {
    const LabelledDraw& labelled = view.draws[d];
    for (const TaxClass* one : classes_of(view.book, view.sets, labelled.facts, labelled.draw->date)) {
      const auto goes_on = std::find_if(spans.begin(), spans.end(),
                                        [&](const ClassSpan& span) { return span.of == one && span.last + 1 == d; });
      ClassSpan& span = goes_on == spans.end() ? spans.emplace_back(ClassSpan{.of = one, .first = d}) : *goes_on;
      span.last = d;
      ++span.bottlings;
      span.litres += labelled.draw->volume_l;
      span.tax += tax_on(*one, labelled.draw->volume_l);
    }
  }
  return spans;
}

}  // namespace

void add_classes(Report& report, const LabelView& view, const LabelledDraw& labelled) {
  const auto classes = classes_of(view.book, view.sets, labelled.facts, labelled.draw->date);
  if (classes.empty()) return;
  const double pct = labelled.facts.wine.alcohol_pct;
  std::string scales;
  for (const TaxClass* one : classes)
    if (one->strength_at_c != kStrengthC && scales.empty())
      scales = ", which is " + decimal_text(strength_on_scale(pct, one->strength_at_c), 2, false) + " at 60 °F";
  add_heading(report, "Class and tax, at " + decimal_text(pct, 2, false) + " %vol" + scales + " (" +
                          (labelled.facts.strength_measured ? "measured" : "computed") + ")");
  for (const TaxClass* one : classes)
    add_hanging(report, one->id,
                one->name + (is_known(one->rate) ? tax_text(view, labelled, *one) : "") + ". " +
                    citation_text(one->source, one->in_force) +
                    (one->source.note.empty() ? "" : "; " + one->source.note) + ".",
                kIds);
}

void add_classes_of_all(Report& report, const LabelView& view) {
  if (view.draws.size() < 2) return;
  const auto spans = class_spans(view);
  if (spans.empty()) return;
  add_heading(report, "Class and tax of every bottling, before any credit");
  Table table{{{"class"}, {"from"}, {"to"}, {"bottlings", Figure::whole}, {"volume", Figure::litres}, {"tax"}}, {}};
  for (const ClassSpan& span : spans)
    table.rows.push_back({span.of->id, view.draws[span.first].draw->name, view.draws[span.last].draw->name,
                          span.bottlings, span.litres,
                          is_known(span.of->rate) ? money_of(span.tax, *span.of) : std::string()});
  report.parts.push_back(table);
}

double in_unit_of(const TaxClass& of, double volume_l) { return volume_l / of.unit_l; }

double drawn_before_l(const LabelView& view, const LabelledDraw& labelled) {
  double before_l = 0.0;
  for (const LabelledDraw& other : view.draws) {
    if (other.draw == labelled.draw) break;
    if (other.draw->date.year == labelled.draw->date.year) before_l += other.draw->volume_l;
  }
  return before_l;
}

}  // namespace tierce
