# Sourced by scenarios/demo.sh and tests/run.sh: installs what is missing, builds. Needs bash and Debian's apt.

say() { printf '%s\n' "tierce: $*" >&2; }

# install_missing PACKAGE...: asks for root only if something is missing.
install_missing() {
  local missing=() package
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q '^install ok installed$' || missing+=("$package")
  done
  if [ "${#missing[@]}" -eq 0 ]; then return 0; fi
  say "installing ${missing[*]}"
  local as_root=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { say "please run as root: apt-get install ${missing[*]}"; return 1; }
    as_root=(sudo)
  fi
  local log; log=$(mktemp)
  if ! { "${as_root[@]}" apt-get update -q && "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
    cat "$log" >&2
    say "apt could not install what is missing (see above)"
    return 1
  fi
  rm -f "$log"
}

program_packages=(g++ cmake ninja-build libeigen3-dev libyaml-cpp-dev libspdlog-dev libfmt-dev libboost-dev libboost-program-options-dev nlohmann-json3-dev coinor-libclp-dev pkg-config
  libkainjow-mustache-dev node-d3-array node-d3-axis node-d3-scale node-d3-selection node-d3-shape)
test_packages=(libgtest-dev librapidcheck-dev libbenchmark-dev python3 python3-jsonschema python3-yaml python3-scipy dpkg-dev file groff-base)
fuzz_packages=(clang libclang-rt-14-dev python3)
style_packages=(clang-format clang-tidy)

# build_preset PRESET: quiet unless it fails.
build_preset() {
  say "building (preset $1)"
  local log; log=$(mktemp)
  if ! { cmake --preset "$1" && cmake --build --preset "$1"; } >"$log" 2>&1; then
    cat "$log" >&2
    say "the build failed (see above)"
    return 1
  fi
  rm -f "$log"
}
