#!/bin/sh
# Builds the program and what is made by it: the manual page, and completions for shells.
set -eu
cd "$(dirname "$0")/.."
cargo build --release -p backrow
program=${CARGO_TARGET_DIR:-target}/release/backrow
out=target/packaging
mkdir -p "$out"
"$program" manual > "$out/backrow.1"
"$program" completions bash > "$out/backrow.bash"
"$program" completions fish > "$out/backrow.fish"
"$program" completions zsh > "$out/_backrow"
gzip -9nf "$out/backrow.1"
ls -l "$out"
