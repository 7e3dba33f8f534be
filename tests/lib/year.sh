#!/bin/sh
# Eight mornings of one invented season: the notes as they would be mailed.  See fixtures/year.
#
#   year.sh FIXTURES FOLDER [DATE...]     both from the root on
#
# Without network and with a fixed clock; the record is made anew in FOLDER.  Each morning knows its own forecast
# and that of the morning before.
set -eu

fixtures=$1 folder=$2
shift 2
[ $# -gt 0 ] || set -- 2026-03-30 2026-04-13 2026-05-11 2026-05-12 2026-05-22 2026-06-02 2026-06-12 2026-09-20
mkdir -p "$folder/state"
export XDG_CONFIG_HOME="$fixtures/year/config" XDG_STATE_HOME="$folder/state"

answer() {
	awk -v date="$1" -f "$fixtures/year/make.awk" >"$folder/answer.json"
	dewpost fetch --answer "$folder/answer.json" --at "$1T04:10:00-05:00"
}

awk -f "$fixtures/year/station.awk" >"$folder/station.csv"
dewpost import "$folder/station.csv" --columns 'date=Day, low=Low F, high=High F, rain=Rain in' --station INVENTED \
	--at 2026-03-01T12:00:00-05:00 >"$folder/said"
dewpost record diary "$fixtures/year/diary.csv" --at 2026-09-21T12:00:00-05:00 >>"$folder/said"
before=
for day; do
	# An answer reaches 80 days back.
	[ "$day" != 2026-09-20 ] || answer 2026-07-20
	yesterday=$(date -u -d "$day - 1 day" +%F)
	[ "$yesterday" = "$before" ] || answer "$yesterday"
	answer "$day"
	dewpost morning --offline --print --at "${day}T05:17:00-05:00"
	echo
	before=$day
done
