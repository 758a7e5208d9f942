#include "cli/report/label/label_answer.h"

#include <algorithm>
#include <cctype>

#include "cli/read/suggest.h"
#include "cli/report/label/label_rows.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr Verdict kWorstFirst[] = {Verdict::fails, Verdict::open, Verdict::holds};

/// "1 of 7 claims fails, 2 are open, 4 hold"
std::string count_text(const std::vector<const ClaimOnDraw*>& claims) {
  if (claims.empty()) return "no claim is made of it";
  std::string text;
  for (const Verdict verdict : kWorstFirst) {
    const auto count = std::count_if(claims.begin(), claims.end(),
                                     [&](const ClaimOnDraw* one) { return worst(one->rows) == verdict; });
    if (count == 0) continue;
    const bool one = count == 1;
    text += (text.empty() ? "" : ", ") + std::to_string(count) +
            (text.empty() ? " of " + std::to_string(claims.size()) + (claims.size() == 1 ? " claim" : " claims") : "") +
            (verdict == Verdict::fails   ? (one ? " fails" : " fail")
             : verdict == Verdict::holds ? (one ? " holds" : " hold")
                                         : (one ? " is open" : " are open"));
  }
  return text;
}

}  // namespace

bool open_by_name(const Judgement& row) {
  return row.verdict == Verdict::open && row.because == Because::condition_unknown && row.of == "designation";
}

std::vector<const Judgement*> gathered(const std::vector<Judgement>& rows) {
  std::vector<const Judgement*> kept;
  for (const Judgement& row : rows) {
    if (open_by_name(row)) continue;
    const bool plain = row.rule != nullptr && row.verdict == Verdict::holds && !row.rule->family.empty();
    const auto kin = std::find_if(kept.begin(), kept.end(), [&](const Judgement* other) {
      return plain && other->rule != nullptr && other->verdict == Verdict::holds &&
             other->rule->family == row.rule->family;
    });
    if (kin == kept.end()) kept.push_back(&row);
    else if (row.margin < (*kin)->margin) *kin = &row;
  }
  return kept;
}

std::vector<const ClaimOnDraw*> claims_beside(const LabelView& view, std::size_t shown) {
  std::vector<const ClaimOnDraw*> result;
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const ClaimOnDraw* best = nullptr;
    for (const ClaimOnDraw& one : view.judged) {
      if (one.claim != c) continue;
      if (one.draw == shown) best = &one;
      else if (best == nullptr && one.draw > shown) best = &one;
    }
    if (best != nullptr) result.push_back(best);
  }
  return result;
}

std::string why_in_full(const Judgement& row, const LabelFacts& facts) {
  std::string text = row.verdict == Verdict::open ? "is open" : verdict_word(row.verdict);
  text += (row.rule != nullptr ? " under " : " by ") + by_text(row);
  if (row.rule != nullptr) text += " (" + row.rule->about + ")";
  if (std::string why = why_text(row, facts); !why.empty()) {
    why.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(why.front())));
    text += ". " + why;
  }
  return text + (row.rule != nullptr ? ". " + source_text(*row.rule) : "") + ".";
}

std::string answer_text(const LabelView& view, std::size_t shown, Units units) {
  const DrawRecord& draw = *view.draws[shown].draw;
  const auto rows = judge_draw(view.book, view.sets, view.draws[shown].facts);
  const auto passed = std::count_if(rows.begin(), rows.end(), [](const Judgement& row) {
    return row.rule->effect != Effect::statement && row.verdict == Verdict::fails;
  });
  return draw.name + " (" + figure_text(draw.volume_l, Figure::litres, units) + " of " + day_text(draw.date) +
         (draw.past ? "" : ", forecast, not done") + "): " + count_text(claims_beside(view, shown)) +
         (passed == 0   ? ""
          : passed == 1 ? "; 1 limit is PASSED"
                        : "; " + std::to_string(passed) + " limits are PASSED");
}

void answer_part(Document& document, const LabelView& view, std::size_t shown) {
  const auto claims = claims_beside(view, shown);
  Table table;
  std::vector<std::string> why;
  for (const Verdict verdict : kWorstFirst)
    for (const ClaimOnDraw* one : claims) {
      if (worst(one->rows) != verdict) continue;
      const auto& [draw, facts] = view.draws[one->draw];
      const std::string& claim = view.claims[one->claim].written;
      std::vector<VerdictRow> rows;
      for (const Verdict next : kWorstFirst)
        for (const Judgement* row : gathered(one->rows))
          if (row->verdict == next) rows.push_back({*row, facts, draw->name, draw->date});
      for (const VerdictRow& row : rows)
        if (row.row.verdict == Verdict::fails) why.push_back('"' + claim + "\" " + why_in_full(row.row, facts));
      Table verdicts =
          table_of(rows, kShownVerdict,
                   {{"law", "claim\nby"}, {"by", "claim\nby"}, "verdict", "found", {"asks", "asked"}, "margin_shown"});
      verdicts.columns.front().when = Column::When::at_first;
      verdicts.columns[1].when = verdicts.columns.back().when = Column::When::with_all;
      table.columns = verdicts.columns;
      table.rows.push_back({(verdict == Verdict::fails  ? "FAILS: "
                             : verdict == Verdict::open ? "open: "
                                                        : "holds: ") +
                            claim + (one->draw != shown ? " (" + draw->name + ")" : "")});
      std::move(verdicts.rows.begin(), verdicts.rows.end(), std::back_inserter(table.rows));
    }
  document.add(table);
  for (const std::string& text : why) document.say(text);
}

void limit_part(Document& document, const LabelView& view, std::size_t shown) {
  const LabelFacts& facts = view.draws[shown].facts;
  std::size_t held = 0, open = 0;
  std::vector<std::string> needed;
  for (const Judgement& row : judge_draw(view.book, view.sets, facts)) {
    if (row.rule->effect == Effect::statement) {
      const bool new_one = std::find(needed.begin(), needed.end(), row.rule->statement) == needed.end();
      if (row.verdict == Verdict::holds && new_one) needed.push_back(row.rule->statement);
    } else if (row.verdict == Verdict::fails) {
      document.warn("PASSED: " + row.quantity + ' ' + why_in_full(row, facts));
    } else {
      ++(row.verdict == Verdict::holds ? held : open);
    }
  }
  document.say("Of the limits that every draw is held against " + std::to_string(held) + " hold, " +
               std::to_string(open) + (open == 1 ? " is open." : " are open.") +
               (needed.empty() ? "" : " The label needs: " + listed(needed) + "."));
}

void change_part(Document& document, const LabelView& view, Units units) {
  const auto changes = label_changes(view);
  if (!changes.empty()) document.head("What would have to change");
  for (const LabelChange& change : changes)
    document.say(view.claims[change.claim].written + ": " + change_text(view, change, units) + ".");
}

}  // namespace tierce
