// How many columns text takes on a screen or on paper of one width: a wide letter two, one that joins the letter before
// it none.
#pragma once

#include <cstddef>
#include <string>

namespace tierce {

/// Of UTF-8 text. Wide and joining letters by blocks of Unicode: docs/sources.md [display-width].
std::size_t display_width(const std::string& text);

/// Text cut in its middle to so many columns, where names as a rule differ at their ends: "Skerry V...Cask 14".
std::string cut_to_width(const std::string& text, std::size_t columns);

}  // namespace tierce
