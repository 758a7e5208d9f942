#!/usr/bin/env bash
# Feeds the readers and the engine with mutated files. Usage: tests/fuzz/run.sh [SECONDS [TARGET...]]
# SECONDS for each target (60), one after the other; ends with an error at the first crash, report of a sanitizer, broken
# law, or input of more than 2 s or 500 MB. Such an input stands in build/fuzz/found/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
. scenarios/set_up.sh
seconds=${1:-60}
shift || true
targets=("$@")
if [ "${#targets[@]}" -eq 0 ]; then targets=(scenario forecast quantity date); fi
install_missing "${program_packages[@]}" "${fuzz_packages[@]}"
build_preset fuzz
mkdir -p build/fuzz/found
python3 tests/fuzz/seeds.py build/fuzz/seeds
# With its sanitizers a run takes about six times as long, and three times the memory: 2 s become 12, 500 MB 1500.
# What the allocator holds back to catch late uses is kept small, since it counts as memory used.
export ASAN_OPTIONS=quarantine_size_mb=16:malloc_context_size=8 UBSAN_OPTIONS=print_stacktrace=1
for target in "${targets[@]}"; do
  mkdir -p "build/fuzz/grown/$target"
  options=(-max_total_time="$seconds" -timeout=12 -rss_limit_mb=1500 -max_len=16384 -print_final_stats=1 -verbosity=0
    -artifact_prefix="build/fuzz/found/$target-")
  case $target in
    scenario | forecast) options+=(-dict=build/fuzz/seeds/words.dict) ;;
    *) options+=(-max_len=200) ;;
  esac
  say "fuzzing $target for $seconds s"
  if ! "build/fuzz/tests/fuzz/fuzz_$target" "${options[@]}" "build/fuzz/grown/$target" "tests/fuzz/corpus/$target" \
    "build/fuzz/seeds/$target" >"build/fuzz/$target.log" 2>&1; then
    tail -n 60 "build/fuzz/$target.log" >&2
    say "the fuzzer of $target found something (see above)"
    exit 1
  fi
  awk '/number_of_executed_units|slowest_unit_time_sec|peak_rss_mb/ { print "  " $1, $2 }' "build/fuzz/$target.log"
done
