#!/usr/bin/env bash
# Is the program built as CMakeLists.txt asks? Usage: hardened_test.sh PROGRAM
set -euo pipefail
has() { grep -q -- "$1" <<<"$2" || { echo "$3"; exit 1; }; }
has 'DYN (Position-Independent Executable' "$(readelf -hW "$1")" "it lies at a fixed address"
has 'GNU_RELRO' "$(readelf -lW "$1")" "its tables stay writable (-z relro)"
has 'NOW' "$(readelf -dW "$1")" "its functions are looked up late (-z now)"
has '__stack_chk_fail' "$(readelf -sW --dyn-syms "$1")" "no function watches its stack (-fstack-protector-strong)"
has '__glibcxx_assert_fail' "$(readelf -sW --dyn-syms "$1")" "no container is checked (_GLIBCXX_ASSERTIONS)"
