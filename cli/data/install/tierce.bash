# Completion for bash. Commands, verbs, options and their choices come from the program's own help, so that they are
# always those of the program installed. What is typed is only compared, never run and never put into a script.

# What the option $1 takes, from a line of the help such as `  -o [ --output ] FILE   write`; nothing where that is
# nothing.
_tierce_value() {
  local line rest
  while IFS= read -r line; do
    case $line in
      "  $1 "[!\ \[]*) rest=${line#"  $1 "} ;;
      "  $1 [ --"*" ] "[!\ ]* | "  -"?" [ $1 ] "[!\ ]*) rest=${line#*" ] "} ;;
      *) continue ;;
    esac
    printf '%s\n' "${rest%% *}"
    return
  done
}

_tierce() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} program=${COMP_WORDS[0]} help value
  local command=("${COMP_WORDS[1]}")
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    mapfile -t COMPREPLY < <(compgen -W "$("$program" --help 2>/dev/null |
      sed -n 's/^  \([a-z][a-z]*\)  .*/\1/p') --help --version" -- "$word")
    return
  fi
  # The keys of an entry are those of its verb: tierce record FILE VERB --KEY
  if [[ ${command[0]} == record && $COMP_CWORD -gt 3 && ${COMP_WORDS[3]} != -* ]]; then
    command+=("${COMP_WORDS[3]}")
  fi
  help=$("$program" "${command[@]}" --help 2>/dev/null </dev/null)
  if [[ $before == -* && $before != --help && $before != -h ]]; then
    value=$(_tierce_value "$before" <<<"$help")
    if [[ $value == *"|"* ]]; then
      mapfile -t COMPREPLY < <(compgen -W "${value//|/ }" -- "$word")
      return
    elif [[ $before == -o || $before == --output ]]; then  # a report never goes over a book
      mapfile -t COMPREPLY < <(compgen -f -X '*.y*ml' -- "$word")
      return
    elif [ -n "$value" ]; then
      mapfile -t COMPREPLY < <(compgen -f -- "$word")
      return
    fi
  fi
  if [[ $word == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$(printf '%s\n' "$help" |
      sed -nE 's/^  (-[a-z] \[ )?(--[a-z][a-z-]*).*/\2/p')" -- "$word")
    return
  fi
  if [[ ${command[0]} == record && $COMP_CWORD -eq 3 ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$(printf '%s\n' "$help" |
      sed -n '/^  VERB /{s/^.*: //;s/\([a-z]\) \([a-z]\)/\1-\2/g;s/,//g;p;}')" -- "$word")
    return
  fi
  mapfile -t COMPREPLY < <(compgen -f -X '!*.yaml' -- "$word"; compgen -d -- "$word")
}
complete -o filenames -F _tierce tierce
