#!/usr/bin/env bash
# Lays out beginnings for the targets in fuzz/corpus, from the demo library and the print templates.
set -eu
cd "$(dirname "$0")"
root=..
seeds() { mkdir -p "corpus/$1"; cat > "corpus/$1/seed-$2"; }
number=0
# The first byte says which file of the library it is (fuzz_targets/record.rs).
for file in orchestra players beaters places kinds venues/* instruments/marimba-1 instruments/timpani* works/* weeks/* care/* sounds/*/*; do
    for one in $root/demo-library/${file%.ron}.ron; do
        [ -f "$one" ] || continue
        case ${one#"$root"/demo-library/} in
        orchestra*) at=0 ;; players*) at=1 ;; beaters*) at=2 ;; places*) at=3 ;; kinds*) at=4 ;; venues*) at=5 ;;
        instruments*) at=6 ;; works*) at=7 ;; weeks*) at=8 ;; care*) at=9 ;; *) at=10 ;;
        esac
        number=$((number + 1))
        { printf "\\x$(printf %02x $at)"; head -c 20000 "$one"; } | seeds record $number
    done
done
for one in $root/demo-library/tables/*.csv $root/demo-library/scores/*.csv; do
    [ -f "$one" ] && seeds table "$(basename "$one")" < "$one"
done
for one in $root/demo-library/calendars/*.ics; do [ -f "$one" ] && seeds calendar "$(basename "$one")" < "$one"; done
for one in $root/demo-library/scores/*.musicxml $root/tests/scores/*.musicxml; do
    [ -f "$one" ] && head -c 60000 "$one" | sed -n '/<part id/,$p' | seeds musicxml "$(basename "$one")"
done
for one in $root/demo-library/scores/*.mid; do [ -f "$one" ] && tail -c +23 "$one" | seeds midi "$(basename "$one")"; done
for one in $root/demo-library/scores/*.mxl; do [ -f "$one" ] && tail -c +5 "$one" | seeds mxl "$(basename "$one")"; done
printf '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>name</t></is></c><c r="B1"><v>1.5</v></c></row></sheetData>' | seeds workbook sheet
printf '<sst uniqueCount="1"><si><t>name</t></si></sst>' | seeds workbook strings
# The first byte of a sound says which ending it has: its place in ENDINGS of backrow-files/src/sound/decode.rs.
at=0
for ending in wav wave aif aiff aifc flac ogg oga mp3 m4a mp4 caf aac; do
    one=$root/tests/audio/strike.$ending
    [ -f "$one" ] && { printf "\\x$(printf %02x $at)"; cat "$one"; } | seeds sound "$ending"
    at=$((at + 1))
done
number=0
for one in $(ls $root/demo-library/sounds/*/*.flac | head -6); do
    number=$((number + 1))
    { printf '\x05'; head -c 30000 "$one"; } | seeds sound "flac-$number"
done
printf '(format:1,steps:[(file:"weeks/a.ron",before:Some((11,1)),after:Some("(format: 2)")),(file:"players.ron",before:None,after:None)])' | seeds journal two
# A drum struck, released, and the end of the track.
printf '\x00\x99\x26\x40\x60\x89\x26\x00\x00\xff\x2f\x00' | seeds midi strike
for one in $root/assets/print/*.typ; do seeds template "$(basename "$one")" < "$one"; done
