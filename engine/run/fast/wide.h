// Four numbers in one instruction, where the processor can: for the inner loops alone (rows.cpp, pours.cpp).
#pragma once

#include <cstddef>

// GCC's own way to compile a function for several processors; left out where a sanitizer watches, which it disturbs.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define TIERCE_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define TIERCE_WIDE
#endif

namespace tierce {

/// Four neighbours of a row; the compiler makes of each operation one or two instructions, as the processor allows.
using Four [[gnu::vector_size(32), gnu::aligned(8), gnu::may_alias]] = double;

[[gnu::always_inline]] inline Four& four(double* amounts, std::ptrdiff_t i) {
  return *reinterpret_cast<Four*>(amounts + i);
}
[[gnu::always_inline]] inline const Four& four(const double* amounts, std::ptrdiff_t i) {
  return *reinterpret_cast<const Four*>(amounts + i);
}
[[gnu::always_inline]] inline double sum(const Four& amounts) {
  return (amounts[0] + amounts[1]) + (amounts[2] + amounts[3]);
}

}  // namespace tierce
