#!/usr/bin/env bash
# Installs what is missing, builds Release and runs every test. With --update it rewrites instead what the manual and
# the schemas quote of the program (reports, tables of keys, rules, fields), and shows the difference.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${test_packages[@]}"
[ "${1:-}" = --update ] || ./tests/page/set_up.sh
build_preset release
if [ "${1:-}" = --update ]; then
  tests=build/release/tests/tierce_tests
  python=/usr/bin/python3   # the one that finds the packages of Debian
  [ -x "$python" ] || python=python3
  "$python" tests/reference/validation.py build/release/tierce "$tests"
  TIERCE_UPDATE=1 "$tests" --gtest_brief=1 --gtest_filter='Manual.*:LabelManual.*:ScenarioSchema.*:OutputSchema.*'
  "$python" tests/project/json_schema_test.py --update build/release/tierce .   # from the schemas
  git --no-pager diff --stat -- README.md DEVELOPERS.md docs
  exit 0
fi
say "running the tests"
ctest --test-dir build/release --output-on-failure --progress -j "$(nproc)"
