#!/bin/sh
# The files that a desktop reads agree with each other and with the program, and are what their standards ask (desktop-file-utils
# and appstream, where they are installed).
set -eu
cd "$(dirname "$0")"
id=org.backrow.Backrow
for file in "$id.desktop" "$id.metainfo.xml" "$id.mime.xml" "$id.svg"; do
    test -s "$file" || { echo "packaging/$file is missing"; exit 1; }
    grep -q "packaging/$file" ../crates/backrow/Cargo.toml || { echo "the Debian package lacks $file"; exit 1; }
done
grep -q "with_app_id(\"$id\")" ../crates/backrow/src/app/window.rs || { echo "the window has another id than $id"; exit 1; }
grep -q "^StartupWMClass=$id$" "$id.desktop" && grep -q "^Icon=$id$" "$id.desktop" || { echo "$id.desktop names others"; exit 1; }
grep -q "<id>$id</id>" "$id.metainfo.xml" && grep -q ">$id.desktop</launchable>" "$id.metainfo.xml" || { echo "$id.metainfo.xml names others"; exit 1; }
version=$(sed -n '/^\[workspace.package\]/,/^$/s/^version = "\(.*\)"/\1/p' ../Cargo.toml)
grep -q "release version=\"$version\"" "$id.metainfo.xml" || { echo "$id.metainfo.xml does not name the release $version"; exit 1; }
if command -v desktop-file-validate >/dev/null; then desktop-file-validate "$id.desktop"; else echo "NOT CHECKED: no desktop-file-validate"; fi
if command -v appstreamcli >/dev/null; then appstreamcli validate --no-net "$id.metainfo.xml" >/dev/null || { appstreamcli validate --no-net "$id.metainfo.xml"; exit 1; }; else echo "NOT CHECKED: no appstreamcli"; fi
echo "packaging agrees: $id $version"
