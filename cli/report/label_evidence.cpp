#include "cli/report/label_evidence.h"

#include "cli/write/write.h"

namespace tierce {
namespace {

/// The lines of one entry: from its first to the last before the next entry or key.
std::string entry_text(const Source& source, int line) {
  if (line < 1 || static_cast<std::size_t>(line) > source.lines.size()) return "";
  std::string text = source.lines[static_cast<std::size_t>(line) - 1];
  const auto first = text.find_first_not_of(" \t");
  text = first == std::string::npos ? "" : text.substr(first);
  return text.starts_with("- ") ? text.substr(2) : text;
}

/// Each lot's share, its age, and what it adds to the mean.
Table chain_table(const LabelledDraw& labelled) {
  Table table{{{"lot"},
               {"harvested"},
               {"volume", Figure::small_litres},
               {"share", Figure::share},
               {"spirit in it", Figure::share},
               {"age", Figure::exact_age},
               {"adds to\nthe mean", Figure::exact_age}},
              {}};
  for (const WinePart& part : labelled.facts.parts) {
    const double share = part.litres / labelled.facts.litres;
    table.rows.push_back({part.name, part.lot != nullptr ? iso_text(part.lot->harvested) : std::string("-"),
                          part.litres, share, part.spirit_share, part.age_y, share * part.age_y});
  }
  return table;
}

}  // namespace

std::vector<std::pair<int, std::string>> log_lines_behind(const LabelView& view, const DrawRecord& draw,
                                                          const Source& source) {
  std::vector<std::pair<int, std::string>> lines;
  const Scenario& scenario = view.outlook->scenario;
  for (const Opening& opening : scenario.opening)
    if (opening.date <= draw.date) lines.emplace_back(opening.at.line, entry_text(source, opening.at.line));
  for (const Entry& entry : scenario.log) {
    const bool after = entry.date > draw.date || (draw.past && entry.date == draw.date && entry.at.line > draw.at.line);
    if (!after) lines.emplace_back(entry.at.line, entry_text(source, entry.at.line));
  }
  return lines;
}

void add_evidence(Report& report, const LabelView& view, const LabelledDraw& labelled, const Source& source,
                  Units units) {
  const DrawRecord& draw = *labelled.draw;
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(
      Paragraph{"Evidence for " + draw.name + ": what is in it, and the entries that brought it there"});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(chain_table(labelled));
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(
      Paragraph{"Drawn on " + day_text(draw.date) + ", " + figure_text(draw.volume_l, Figure::small_litres, units) +
                ". Age is the time from the harvest (or what the clock counts from) to that day, in years of 365 days. "
                "The mean is the sum of share x age. Each entry below moves litres of every lot in proportion; between "
                "two entries each tier loses the share that its evaporation states, of every lot alike."});
  report.parts.push_back(Paragraph{""});
  for (const auto& [line, text] : log_lines_behind(view, draw, source)) {
    const std::string number = "line " + std::to_string(line);
    report.parts.push_back(
        Paragraph{number + std::string(11 - std::min<std::size_t>(10, number.size()), ' ') + text, 11});
  }
  if (!draw.past)
    report.parts.push_back(Paragraph{"From " + day_text(view.outlook->line.log_end) +
                                     " on the habit is assumed, which nobody has done yet: no evidence for a label."});
}

}  // namespace tierce
