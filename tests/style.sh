#!/usr/bin/env bash
# Format (.clang-format) and a short list of checks (.clang-tidy) over the sources.
# Usage: tests/style.sh [format | changed [COMMIT]] [FILE...]
# Without files all are looked at, in some minutes; `format` leaves clang-tidy out; `changed` gives it only the sources
# that differ from COMMIT (the last but one), and those that include a header which does. Sizes of files and functions,
# and which room uses which, are held by structure_test.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}" "${fuzz_packages[@]}" "${style_packages[@]}"
only_format=false
changed=""
if [ "${1:-}" = format ]; then only_format=true; shift; fi
if [ "${1:-}" = changed ]; then changed=${2:-HEAD~1}; set --; fi
files=("$@")
if [ "${#files[@]}" -eq 0 ]; then mapfile -t files < <(git ls-files '*.cpp' '*.h'); fi
say "format"
clang-format --dry-run -Werror "${files[@]}" || { say "clang-format -i mends this"; exit 1; }
if "$only_format"; then exit 0; fi

# The engine and the program; the tests check themselves.
mapfile -t files < <(printf '%s\n' "${files[@]}" | grep -E '^(engine|cli)/.*\.cpp$')
if [ -n "$changed" ]; then
  # A history without that commit, as in a shallow copy, tells nothing: then all are looked at.
  if git rev-parse --quiet --verify "$changed" >/dev/null; then
    mapfile -t differ < <(git diff --name-only "$changed" -- '*.cpp' '*.h')
    mapfile -t files < <(for file in "${differ[@]}"; do
      case $file in
        *.cpp) [ ! -e "$file" ] || printf '%s\n' "$file" ;;
        *.h) grep -rl --include='*.cpp' "#include \"$file\"" engine cli || true ;;
      esac
    done | grep -E '^(engine|cli)/' | sort -u)
  fi
  if [ "${#files[@]}" -eq 0 ]; then say "style: no source has changed"; exit 0; fi
fi
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
