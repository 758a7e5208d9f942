#!/usr/bin/env bash
# Feeds the readers and the engine with mutated files. Usage: tests/fuzz/run.sh [SECONDS [TARGET...]]
# SECONDS for each target (60), as many at once as there are processors; ends with an error at a crash, a report of a
# sanitizer, a broken law, or an input of more than 2 s or 500 MB. Such an input stands in build/fuzz/found/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
. scenarios/set_up.sh
seconds=${1:-60}
shift || true
targets=("$@")
if [ "${#targets[@]}" -eq 0 ]; then targets=(scenario forecast quantity date); fi
install_missing "${program_packages[@]}" "${test_packages[@]}" "${fuzz_packages[@]}"
build_preset fuzz
mkdir -p build/fuzz/found
/usr/bin/python3 tests/fuzz/seeds.py build/fuzz/seeds
# With its sanitizers a run takes about six times as long, and three times the memory: 2 s become 12, 500 MB 1500.
# What the allocator holds back to catch late uses is kept small, since it counts as memory used.
export ASAN_OPTIONS=quarantine_size_mb=16:malloc_context_size=8 UBSAN_OPTIONS=print_stacktrace=1

fuzz() {
  local target=$1
  mkdir -p "build/fuzz/grown/$target"
  local options=(-max_total_time="$seconds" -timeout=12 -rss_limit_mb=1500 -max_len=16384 -print_final_stats=1
    -verbosity=0 -artifact_prefix="build/fuzz/found/$target-")
  case $target in
    scenario | forecast) options+=(-dict=build/fuzz/seeds/words.dict) ;;
    *) options+=(-max_len=200) ;;
  esac
  if ! "build/fuzz/tests/fuzz/fuzz_$target" "${options[@]}" "build/fuzz/grown/$target" "tests/fuzz/corpus/$target" \
    "build/fuzz/seeds/$target" >"build/fuzz/$target.log" 2>&1; then
    tail -n 60 "build/fuzz/$target.log" >&2
    say "the fuzzer of $target found something (see above)"
    return 1
  fi
  awk -v target="$target" '/number_of_executed_units/ { inputs = $2 } /slowest_unit_time_sec/ { slowest = $2 }
    /peak_rss_mb/ { printf "  %-9s %8d inputs, the slowest %d s, %d MB at most\n", target, inputs, slowest, $2 }' \
    "build/fuzz/$target.log"
}

say "fuzzing ${targets[*]}, $seconds s each"
rm -f build/fuzz/*.passed
for target in "${targets[@]}"; do
  while [ "$(jobs -rp | wc -l)" -ge "$(nproc)" ]; do sleep 0.2; done
  { fuzz "$target" && touch "build/fuzz/$target.passed"; } &
done
wait
for target in "${targets[@]}"; do [ -e "build/fuzz/$target.passed" ]; done
