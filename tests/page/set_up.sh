#!/usr/bin/env bash
# Installs what the tests of the page need: Debian's Chromium, Node.js, and two packages from npm.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
. ../../scenarios/set_up.sh
page_packages=(chromium poppler-utils fonts-dejavu-core)
command -v npm >/dev/null || page_packages+=(nodejs npm)  # a Node.js from elsewhere brings its own npm
install_missing "${page_packages[@]}"
npm ci --no-audit --no-fund --loglevel=error >&2
