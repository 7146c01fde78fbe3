#!/bin/sh
# Takes the guide's pictures from the demo library, under a display of its own:
#   docs/guide/pictures.sh target/debug/backrow
# Needs Xvfb and ImageMagick.
set -eu
program=$(realpath "$1")
to=$(realpath "$(dirname "$0")")/pictures
home=$(mktemp -d)
display=:${BACKROW_DISPLAY:-97}
Xvfb "$display" -screen 0 1280x800x24 >/dev/null 2>&1 &
xvfb=$!
trap 'kill $xvfb 2>/dev/null || true; rm -rf "$home"' EXIT
sleep 1
"$program" copy-demo "$home/library"
for pair in Section:section Compass:compass Floor:floor BarView:bar-view Week:week Season:season Works:works Collection:collection; do
    place=${pair%%:*}
    mkdir -p "$home/.config/backrow"
    cat > "$home/.config/backrow/settings.ron" <<SETTINGS
(library: Some("$home/library"), theme: Paper, place: $place, programme: Some("tidelands"), window: Some((1280.0, 800.0)))
SETTINGS
    HOME=$home XDG_CONFIG_HOME=$home/.config DISPLAY=$display LIBGL_ALWAYS_SOFTWARE=1 "$program" "$home/library" >/dev/null 2>&1 &
    window=$!
    sleep "${BACKROW_WAIT:-8}"
    # Without the line at the foot, which names the folder that this was taken in.
    DISPLAY=$display import -window root -crop 1280x776+0+0 +repage -resize 960x -dither None -colors 64 "PNG8:$to/${pair##*:}.png"
    kill $window
    wait $window 2>/dev/null || true
done
ls -l "$to"
