#!/usr/bin/env bash
# Format (.clang-format) and a short list of checks (.clang-tidy) over the sources. Usage: tests/style.sh [format] [FILE...]
# Without files all are looked at; `format` leaves clang-tidy out, which takes minutes. Sizes of files and functions, and what engine/ includes, are held by structure_test.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${fuzz_packages[@]}" "${style_packages[@]}"
only_format=false
if [ "${1:-}" = format ]; then only_format=true; shift; fi
files=("$@")
if [ "${#files[@]}" -eq 0 ]; then mapfile -t files < <(git ls-files '*.cpp' '*.h'); fi
say "format"
clang-format --dry-run -Werror "${files[@]}" || { say "clang-format -i mends this"; exit 1; }
if "$only_format"; then exit 0; fi

# The engine and the program; the tests check themselves.
mapfile -t files < <(printf '%s\n' "${files[@]}" | grep -E '^(engine|cli)/.*\.cpp$')
cmake -S . -B build/style -G Ninja -DBUILD_TESTING=OFF -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON \
  -DCMAKE_CXX_COMPILER=clang++ >/dev/null
say "clang-tidy over ${#files[@]} sources"
found=$(mktemp)
trap 'rm -f "$found"' EXIT
if ! printf '%s\0' "${files[@]}" | xargs -0 -P "$(nproc)" -n 4 \
  clang-tidy -quiet -p build/style >"$found" 2>&1; then
  grep -vE '^[0-9]+ warnings? |^Suppressed|^Use -header' "$found" >&2
  say "clang-tidy found something (see above)"
  exit 1
fi
say "style: nothing found"
