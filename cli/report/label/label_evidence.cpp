// The chain behind a claim: lots, dates, volumes, acts, down to the lines of the log.
#include "cli/report/label/label_rows.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

/// A lot in a draw of so many litres.
struct PartRow {
  const WinePart& part;
  double of_l;
};

constexpr Field<PartRow> kEvidencePartFields[] = {
    {"lot", "lot", Figure::text, "name of the lot", [](auto& p) -> Value { return p.part.name; }},
    {"harvested", "harvested", Figure::text, "day of its harvest",
     [](auto& p) -> Value { return p.part.lot != nullptr ? Value(p.part.lot->harvested) : Value(); }, kOrNull},
    {"litres", "volume", Figure::small_litres, "litres in the draw", [](auto& p) -> Value { return p.part.litres; },
     kAlways},
    {"fraction", "share", Figure::share, "share of the draw", [](auto& p) -> Value { return p.part.litres / p.of_l; },
     kAlways},
    {"spirit_fraction", "spirit in it", Figure::share, "share of spirit in the lot",
     [](auto& p) -> Value { return p.part.spirit_share; }, kAlways},
    {"age_y", "age", Figure::exact_age, "age on the day of the draw", [](auto& p) -> Value { return p.part.age_y; }},
};
constexpr Shape<PartRow> kEvidencePart{"evidence_part", "One lot in the draw.", kEvidencePartFields};

constexpr Field<PartRow> kEvidenceOfMeanFields[] = {
    {"", "", Figure::object, "", [](auto& p) -> Value { return object_of(p, kEvidencePart); }, kAlways, nullptr,
     &kEvidencePart},
    {"adds_y", "adds to\nthe mean", Figure::exact_age, "",
     [](auto& p) -> Value { return p.part.litres / p.of_l * p.part.age_y; }},
};
constexpr Shape<PartRow> kEvidenceOfMean{"", "", kEvidenceOfMeanFields};

std::vector<PartRow> parts_of(const LabelFacts& facts) {
  std::vector<PartRow> rows;
  for (const WinePart& part : facts.parts) rows.push_back({part, facts.litres});
  return rows;
}

using LogLine = std::pair<int, std::string>;
constexpr Field<LogLine> kEvidenceLineFields[] = {
    {"line", "", Figure::whole, "line of the file", of<&LogLine::first>},
    {"entry", "", Figure::text, "what stands there", of<&LogLine::second>},
};
constexpr Shape<LogLine> kEvidenceLine{"evidence_line", "One line of the log.", kEvidenceLineFields};

/// The lines of one entry: from its first to the last before the next entry or key.
std::string entry_text(const Source& source, int line) {
  if (line < 1 || static_cast<std::size_t>(line) > source.lines.size()) return "";
  std::string text = source.lines[static_cast<std::size_t>(line) - 1];
  const auto first = text.find_first_not_of(" \t");
  text = first == std::string::npos ? "" : text.substr(first);
  return text.starts_with("- ") ? text.substr(2) : text;
}

/// The lines of the log up to the draw that moved, added or measured wine: line number, as it stands there.
std::vector<LogLine> log_lines_behind(const LabelView& view, const DrawRecord& draw, const Source& source) {
  std::vector<LogLine> lines;
  for (const Opening& opening : view.outlook->scenario.opening)
    if (opening.date <= draw.date) lines.emplace_back(opening.at.line, entry_text(source, opening.at.line));
  for (const Entry& entry : view.outlook->scenario.log) {
    const bool after = entry.date > draw.date || (draw.past && entry.date == draw.date && entry.at.line > draw.at.line);
    if (!after) lines.emplace_back(entry.at.line, entry_text(source, entry.at.line));
  }
  return lines;
}

constexpr Field<EvidenceRow> kEvidenceFields[] = {
    {"subject", "", Figure::text, "name of the draw", [](auto& e) -> Value { return e.labelled.draw->name; }},
    {"date", "", Figure::date, "day of the draw", [](auto& e) -> Value { return e.labelled.draw->date; }},
    {"volume_L", "", Figure::small_litres, "litres drawn", [](auto& e) -> Value { return e.labelled.draw->volume_l; },
     kAlways},
    {"parts", "", Figure::list, "what it is made of",
     [](auto& e) -> Value { return list_of(parts_of(e.labelled.facts), kEvidencePart); }, kAlways, nullptr,
     &kEvidencePart},
    {"log", "", Figure::list, "the entries up to it",
     [](auto& e) -> Value { return list_of(log_lines_behind(e.view, *e.labelled.draw, e.source), kEvidenceLine); },
     kAlways, nullptr, &kEvidenceLine},
};

}  // namespace

const Shape<EvidenceRow> kLabelEvidence{"label_evidence", "The chain behind the figures of a draw.", kEvidenceFields};

void say_evidence(Document& document, const LabelView& view, const LabelledDraw& labelled, const Source& source,
                  Units units) {
  const DrawRecord& draw = *labelled.draw;
  document.head("Evidence for " + draw.name + ": what is in it, and the entries that brought it there");
  document.add(with_dashes(table_of(parts_of(labelled.facts), kEvidenceOfMean,
                                    {"lot", "harvested", "litres", "fraction", "spirit_fraction", "age_y", "adds_y"})));
  document.say("Drawn on " + day_text(draw.date) + ", " + figure_text(draw.volume_l, Figure::small_litres, units) +
               ". Age is the time from the harvest (or what the clock counts from) to that day, in years of 365 days. "
               "The mean is the sum of share x age. Each entry below moves litres of every lot in proportion; between "
               "two entries each tier loses the share that its evaporation states, of every lot alike.");
  document.gap();
  for (const auto& [line, text] : log_lines_behind(view, draw, source))
    document.term("line " + std::to_string(line), text, 11);
  if (!draw.past)
    document.say("From " + day_text(view.outlook->line.log_end) +
                 " on the habit is assumed, which nobody has done yet: no evidence for a label.");
}

}  // namespace tierce
