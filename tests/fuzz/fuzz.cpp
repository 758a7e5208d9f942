// One of the four fuzzers; TIERCE_FUZZ_TARGET names it. libFuzzer gives bytes and watches time, memory and sanitizers.
#include <cstddef>
#include <cstdint>
#include <string>

#include "tests/fuzz/eat.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string bytes(data, data + size);
  for (const tierce::fuzz::Target& target : tierce::fuzz::targets())
    if (std::string(target.name) == TIERCE_FUZZ_TARGET) target.eat(bytes);
  return 0;
}
