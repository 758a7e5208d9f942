// Claims: what somebody wants to print, from the scenario or from the command line.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/read/problems.h"
#include "cli/read/source.h"
#include "cli/read/yaml_tree.h"
#include "engine/book/scenario.h"

namespace tierce {

std::optional<Claim> read_claim(const Node& node, Problems& problems);

/// A claim as an option gives it: the keys of a claim, with or without braces; a claim that begins with its subject
/// needs no 'say:', as in "vintage, year: 2021". Faults are those of the text, as in a file.
std::optional<Claim> claim_from_option(const std::string& text, Source& source, std::vector<Problem>& problems);

}  // namespace tierce
