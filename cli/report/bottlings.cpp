// What was bottled, and where draws stand in tanks.
#include "cli/read/quantity_text.h"
#include "cli/report/report.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"

namespace tierce {

std::string bottle_text(double bottle_l) {
  return bottle_l < 1.0 ? plain_number(1000.0 * bottle_l) + " mL" : plain_number(bottle_l) + " L";
}

std::string use_text(Use use) {
  switch (use) {
    case Use::bottling: return "bottling";
    case Use::bulk: return "bulk";
    case Use::distil: return "distil";
    case Use::vinegar: return "vinegar";
    case Use::own_use: return "own use";
    case Use::destroyed: return "destroyed";
  }
  return "";
}

Table bottling_table(const Outlook& outlook) {
  return table_of(bottling_rows(outlook), kBottling,
                  {"name",
                   "date",
                   "from",
                   "bottles",
                   "bottle",
                   {"volume_L", "volume"},
                   "loss_L",
                   "alcohol_pct",
                   {"age/mean_y", "mean age"},
                   "age/youngest_y"});
}

std::string standing_text(const Outlook& outlook, int row) {
  if (outlook.run.standing.empty()) return "";
  std::string text;
  for (const int draw : outlook.run.standing.back()[static_cast<std::size_t>(row)]) {
    const DrawRecord& drawn = outlook.run.draws[static_cast<std::size_t>(draw)];
    text += (text.empty() ? "" : ", and ") + drawn.name + ", drawn on " + day_text(drawn.date);
  }
  return text.empty() ? text : "In " + outlook.scenario.name_of(row) + " stands " + text + ".";
}

std::vector<const BottlingRecord*> bottlings_of(const Trajectory& run, const DrawRecord& draw) {
  std::vector<const BottlingRecord*> found;
  for (const BottlingRecord& bottling : run.bottlings)
    for (const int index : bottling.draws)
      if (&run.draws[static_cast<std::size_t>(index)] == &draw) found.push_back(&bottling);
  return found;
}

}  // namespace tierce
