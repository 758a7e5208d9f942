// Constants of units that several files need, each once.
#pragma once

namespace tierce {

constexpr double kLitresPerGallon = 3.785411784;         // US, 231 cubic inches, exact; NIST Handbook 44, appendix C
constexpr double kKgPerPound = 0.45359237;               // avoirdupois, exact; the same
constexpr double kKgPerShortTon = 2000.0 * kKgPerPound;  // US; the same
constexpr double kZeroC = 273.15;                        // in kelvin, exact

}  // namespace tierce
