# Completion for bash. Commands, options and their choices come from the program's own help, so that they are always
# those of the program installed.
_tierce() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} program=${COMP_WORDS[0]} help
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    mapfile -t COMPREPLY < <(compgen -W "$("$program" --help 2>/dev/null |
      sed -n 's/^  \([a-z][a-z]*\)  .*/\1/p') --help --version" -- "$word")
    return
  fi
  help=$("$program" "${COMP_WORDS[1]}" --help 2>/dev/null)
  if [[ $before == -* && $before != --help && $before != -h ]]; then
    # An option that takes a value: its choices, as in `--units metric|us`; else a file.
    local value
    value=$(printf '%s\n' "$help" | sed -nE "s/^  (-[a-z] \[ )?-?-?${before#"${before%%[!-]*}"}( \])? ([^ ]+)( .*)?$/\3/p;
      s/^  ${before} \[ --[a-z-]+ \] ([^ ]+)( .*)?$/\1/p" | head -n 1)
    if [[ $value == *"|"* ]]; then
      mapfile -t COMPREPLY < <(compgen -W "${value//|/ }" -- "$word")
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
  mapfile -t COMPREPLY < <(compgen -f -X '!*.yaml' -- "$word"; compgen -d -- "$word")
}
complete -o filenames -F _tierce tierce
