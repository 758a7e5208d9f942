#!/bin/sh
# Prints the manual page: packaging/tierce.1.in with the commands and options of the program's own help.
# Usage: manual.sh PROGRAM VERSION DOCUMENTS
set -eu
program=$1 version=$2 documents=$3
here=$(dirname "$0")

# Help as Boost prints it becomes man macros: `  -o [ --output ] FILE   what it does`, continued on deeper lines.
macros='
function shown(text) { gsub(/\\/, "\\e", text); gsub(/-/, "\\-", text); if (text ~ /^[.\x27]/) text = "\\&" text; return text }
NR == 1 { print ".SS " shown($2); print ".B " shown($0); print ".PP"; next }
/^  -/ {
  rest = substr($0, 3)
  match(rest, /^(-[a-z] \[ )?--[a-z][a-z-]*( \])?/)
  name = substr(rest, 1, RLENGTH); rest = substr(rest, RLENGTH + 1)
  if (match(rest, /^ [^ ]+/)) { name = name substr(rest, 1, RLENGTH); rest = substr(rest, RLENGTH + 1) }
  sub(/ \[ /, ", ", name); sub(/ \]/, "", name); sub(/^ +/, "", rest)
  print ".TP"; print ".B " shown(name); if (rest != "") print shown(rest)
  next
}
/^ *$/ { apart = 1; next }
{ if (apart || /^ ? ?[^ ]/) print ".PP"; apart = 0; sub(/^ +/, ""); print shown($0) }'

commands=$("$program" --help | sed -n 's/^  \([a-z][a-z]*\)  .*/\1/p')
awk -v version="$version" -v documents="$documents" '
  { gsub(/@VERSION@/, version); gsub(/@DOCUMENTS@/, documents) }
  /^@COMMANDS@/ { exit } { print }' "$here/tierce.1.in"
for command in $commands; do "$program" "$command" --help | awk "$macros"; done
awk -v version="$version" -v documents="$documents" '
  { gsub(/@VERSION@/, version); gsub(/@DOCUMENTS@/, documents) }
  after { print } /^@COMMANDS@/ { after = 1 }' "$here/tierce.1.in"
