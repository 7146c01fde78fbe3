#!/bin/sh
# A Debian package of what make.sh built; `cargo install cargo-deb` once.
set -eu
cd "$(dirname "$0")/.."
sh packaging/make.sh
cargo deb -p backrow --no-build
ls -l "${CARGO_TARGET_DIR:-target}"/debian/*.deb
