#!/usr/bin/env bash
# Every test of the program's own code with AddressSanitizer, LeakSanitizer and UndefinedBehaviorSanitizer, built by clang.
# The tests that start a browser, package or install the program are left to tests/run.sh.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${test_packages[@]}" "${fuzz_packages[@]}"
build_preset fuzz
say "running the tests with sanitizers"
export UBSAN_OPTIONS=print_stacktrace=1
# Leaks are looked for where the kernel lets a process look at its own threads.
ASAN_OPTIONS=detect_leaks=$(leaks=1; ASAN_OPTIONS=detect_leaks=1 build/fuzz/tierce --version >/dev/null 2>&1 || leaks=0; echo "$leaks")
export ASAN_OPTIONS
say "ASAN_OPTIONS=$ASAN_OPTIONS"
ctest --test-dir build/fuzz --output-on-failure --progress -j "$(nproc)" -E '^(Page|Packaging|Install)$'
