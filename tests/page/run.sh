#!/usr/bin/env bash
# The tests of the page: run.sh PROGRAM PROJECT. Skipped, with status 77, where tests/page/set_up.sh was not run.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
if [ ! -d node_modules ] || ! command -v chromium >/dev/null || ! command -v pdftotext >/dev/null; then
  echo "the page is not tested: run tests/page/set_up.sh first"
  exit 77
fi
export TIERCE_PROGRAM=$1 TIERCE_SOURCE_DIR=$2
exec node --test --test-reporter=spec page.test.mjs
