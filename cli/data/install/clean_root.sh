#!/usr/bin/env bash
# Installs a package of tierce in a Debian that holds nothing but the base, and runs it there:
# clean_root.sh PACKAGE.deb FOLDER. As root; needs debootstrap, a network and 400 MB. FOLDER is made, and kept.
set -euo pipefail
package=$(realpath "$1")
folder=$2
[ -d "$folder/etc" ] || debootstrap --variant=minbase bookworm "$folder"
cp "$package" "$folder/root/tierce.deb"
cp /etc/resolv.conf "$folder/etc/resolv.conf"
chroot "$folder" bash -euo pipefail -c '
  apt-get update -qq
  apt-get install -y -qq --no-install-recommends /root/tierce.deb
  scenario=/usr/share/doc/tierce/scenarios/amber.yaml
  tierce --version
  for command in check stock age forecast losses dose refresh; do tierce "$command" "$scenario" >/dev/null; done
  tierce label "$scenario" >/dev/null || [ $? -eq 1 ]  # 1: a claim fails, as the report says
  tierce report "$scenario" -o /tmp/amber.html
  test -s /tmp/amber.html
  test -e /usr/share/man/man1/tierce.1
  test -e /usr/share/bash-completion/completions/tierce
  dpkg --verify tierce
  apt-get purge -y -qq tierce
  test ! -e /usr/bin/tierce
'
echo "the package installs, runs and goes away again"
