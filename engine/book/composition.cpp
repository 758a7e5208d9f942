#include "engine/book/composition.h"

#include <algorithm>

namespace tierce {

Composition changed_by(Composition wine, const Composition& changed) {
  for (const Content& content : kContents)
    if (is_known(changed.*content.value)) wine.*content.value = changed.*content.value;
  return wine;
}

bool same_wine(const Composition& a, const Composition& b) {
  return std::all_of(std::begin(kContents), std::end(kContents),
                     [&](const Content& content) { return same_value(a.*content.value, b.*content.value); });
}

bool says_nothing(const Composition& wine) { return same_wine(wine, {}); }

}  // namespace tierce
