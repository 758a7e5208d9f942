// Numbers as text, rounded: the digits alone. What a figure is, and its unit, stands in write.h.
#pragma once

#include <string>

namespace tierce {

/// A number with so many decimals; "-" for what is not known. Down is towards the smaller: for a figure that supports a
/// claim. Up is for what is said to be "up to" or "at most" so much.
enum class Rounding { nearest, down, up };
std::string decimal_text(double value, int decimals, Rounding rounding, bool commas = true);
std::string decimal_text(double value, int decimals, bool down, bool commas = true);
/// "1,234.5"
std::string with_commas(std::string digits);

/// "1.0450", "11.2": rounded, no separators. What is copied into a file, or read off a scale.
std::string fixed_text(double value, int decimals);
/// The same, rounded so that a limit printed is itself allowed.
std::string at_least_text(double value, int decimals);
std::string at_most_text(double value, int decimals);
/// The same as fixed_text, without zeros at the end: "24", "23.9".
std::string trimmed_text(double value, int decimals);

}  // namespace tierce
