#!/usr/bin/env bash
# Installs what is missing, builds Release and runs every test.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${test_packages[@]}"
./tests/page/set_up.sh
build_preset release
say "running the tests"
ctest --test-dir build/release --output-on-failure --progress -j "$(nproc)"
