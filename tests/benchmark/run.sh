#!/usr/bin/env bash
# Measures how fast tierce is, and prints the tables of docs/performance.md. Takes about two minutes on a quiet machine.
set -euo pipefail
cd "$(dirname "$0")/../.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${test_packages[@]}" python3-numpy
build_preset release
lscpu | grep -E 'Model name|^CPU\(s\)' || true
say "reserve-years a second, one core"
build/release/tests/benchmark/tierce_benchmark --benchmark_filter=Reserve --benchmark_repetitions=5 \
  --benchmark_report_aggregates_only=true 2>/dev/null | grep -E 'median|Benchmark' || true
say "the same row work in numpy"
/usr/bin/python3 tests/benchmark/numpy_rows.py
say "whole runs of the program, as input grows"
/usr/bin/python3 tests/benchmark/scale.py build/release/tierce
