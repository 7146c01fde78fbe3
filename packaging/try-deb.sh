#!/bin/sh
# Installs a package in a clean Debian root, and runs the program there without the source tree. As root:
#   packaging/try-deb.sh target/debian/backrow_0.1.0-1_amd64.deb [mirror]
set -eu
package=$(realpath "$1")
mirror=${2:-}
root=$(mktemp -d)
trap 'umount "$root/proc" 2>/dev/null || true; rm -rf "$root"' EXIT
debootstrap --variant=minbase stable "$root" $mirror
mount -t proc proc "$root/proc" || true
cp "$package" "$root/backrow.deb"
chroot "$root" apt-get install -y --no-install-recommends /backrow.deb
chroot "$root" sh -c '
  set -eu
  export HOME="$(mktemp -d)" LANG=C.UTF-8
  cd "$HOME"
  backrow --version
  test -s /usr/share/man/man1/backrow.1.gz
  test -s /usr/share/applications/org.backrow.Backrow.desktop
  test -s /usr/share/bash-completion/completions/backrow
  printf "Name;Kind;Owner\nXylophone 1;xylophone;ours\n" > new.csv
  backrow copy-demo library
  backrow check library > found || test $? -eq 1
  backrow import library new.csv --save
  programme=$(ls library/weeks | head -1)
  echo "checked $(wc -l < found) lines, week $programme"
'
echo "The package works in a clean Debian."
