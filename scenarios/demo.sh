#!/usr/bin/env bash
# The main job on the demo reserve: what is in it, how old the last bottling is, what the next twenty years bring;
# then all of it on one page.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/set_up.sh
install_missing "${program_packages[@]}"
build_preset program

tierce=build/program/tierce
show() {
  printf '\n$ tierce %s\n\n' "$*"
  "$tierce" "$@"
}
say "running the main job on scenarios/amber.yaml"
show stock scenarios/amber.yaml
show age scenarios/amber.yaml
show forecast scenarios/amber.yaml
page=build/program/amber.html
show report scenarios/amber.yaml -o "$page"
say "all of it on one page: open $PWD/$page in a browser"
