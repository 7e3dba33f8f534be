#!/bin/sh
# The demo: three mornings of an invented spring, taken in as saved answers, and the third one's note.
#
# Without network and with a fixed clock.  The record is made anew in build/demo.
set -eu

top=$PWD
rm -rf "$top/build/demo"
export XDG_CONFIG_HOME="$top/fixtures/demo/config" XDG_STATE_HOME="$top/build/demo"

for day in 17 18 19; do
	dewpost fetch --answer "fixtures/demo/answer-2026-05-$day.json" --at "2026-05-${day}T04:10:00-05:00"
done
echo "An invented garden on an invented morning: what dewpost would mail."
echo
dewpost morning --offline --print --at 2026-05-19T05:17:00-05:00
echo
echo "Ask it why:  \$ dewpost why 3"
echo
dewpost why 3 --at 2026-05-19T05:17:00-05:00
