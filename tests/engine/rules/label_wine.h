// A wine for tests of labels: lots that go into one vessel and are drawn on one day.
#pragma once

#include <memory>
#include <string>

#include "engine/rules/label_view.h"

namespace tierce::test {

struct LabelWine {
  std::string lots;  // "950 L vintage: 2020 + 50 L vintage: 2019; spirit 14 into 80"
  std::string draw = "100 %";
  std::string label{};  // keys of `label:`
};

/// The scenario as text; the wine goes in and out on 1 Jan 2021.
std::string scenario_of(const LabelWine& wine);

struct LabelTrial {
  std::unique_ptr<Outlook> outlook;
  LabelView view;
};
/// Held against the built-in rules of one set; `claim` as --claim has it, or empty.
LabelTrial tried(const LabelWine& wine, const std::string& set, const std::string& claim);

}  // namespace tierce::test
