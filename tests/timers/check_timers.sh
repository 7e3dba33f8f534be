#!/bin/sh
# The timers and the crontab: units that systemd reads without a word, commands that the program knows, and what the
# clock does on the mornings when it is set on and back.
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
program=$PWD/$BUILD/dewpost

check() {
	if [ "$2" -eq 0 ]; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf '%s: not so\n' "$1"
		cat "$work/said"
	fi
}

# Commands with their options, from the units and the crontab.
: >"$work/commands"
sed -n 's|^ExecStart=/usr/bin/dewpost ||p' config/timers/*/*.service >>"$work/commands"
sed -n 's|^[0-9*/ ]* /usr/bin/dewpost ||p' config/timers/crontab >>"$work/commands"
[ "$(wc -l <"$work/commands")" -eq 9 ]
check "six services and three lines" $?
while read -r command; do
	# shellcheck disable=SC2086 # words are meant
	"$program" $command --garden "$work/none" --at 2026-05-19T05:17:00Z >"$work/said" 2>&1
	[ $? -eq 66 ]
	check "dewpost $command is understood" $?
done <"$work/commands"
# crontab(5): % is a line's end, and the last line has one.
! grep -v '^#' config/timers/crontab | grep -q % && [ -z "$(tail -c 1 config/timers/crontab)" ]
check "crontab" $?
for unit in config/timers/system/*; do
	[ -e "config/timers/user/$(basename "$unit")" ]
	check "$unit is there for a user too" $?
done
grep -v '^#' config/timers/crontab | while read -r line; do grep -qxF "$line" docs/man/dewpost.1 || echo "$line"; done >"$work/said"
[ ! -s "$work/said" ]
check "the manual has the crontab's lines" $?

if ! command -v systemd-analyze >/dev/null; then
	echo "systemd-analyze is not there: units are not read, and no calendar is asked"
	echo "$passed passed, $failed failed"
	[ $failed -eq 0 ]
	exit
fi

# Every unit, with the program where it is.
export XDG_RUNTIME_DIR="$work"
for place in system user; do
	mkdir "$work/$place"
	for unit in config/timers/"$place"/*; do
		sed "s|/usr/bin/dewpost|$program|" "$unit" >"$work/$place/$(basename "$unit")"
	done
	# It reads what these units hang on too, and the machine's own may be at odds with where this runs.
	(cd "$work/$place" && systemd-analyze verify --man=no "--$place" ./*.timer ./*.service) 2>&1 |
		grep '^[^ ]*dewpost-[a-z]*\.' >"$work/said"
	[ ! -s "$work/said" ]
	check "systemd-analyze verify --$place" $?
done

# runs TIMER ZONE DATE N: the next N runs from that midnight, by the zone's clock.
runs() {
	base=$(date -u -d "TZ=\"$2\" $3 00:00" '+%Y-%m-%d %H:%M:%S UTC')
	calendar=$(sed -n 's/^OnCalendar=//p' "config/timers/system/$1.timer")
	TZ=$2 systemd-analyze calendar --base-time="$base" --iterations="$4" "$calendar" |
		sed -n 's/^ *\(Next elapse\|Iter\. #[0-9]*\): ... \([0-9-]* [0-9:]*\) .*/\2/p'
}

# Three days around each change: the note once a day at 5:17, the evening at 15:27, the fetch eight times.
clock_changes() {
	while read -r zone first second third; do
		printf '%s 05:17:00\n' "$first" "$second" "$third" >"$work/want"
		runs dewpost-morning "$zone" "$first" 3 >"$work/said"
		cmp -s "$work/want" "$work/said"
		check "note, $zone, $second" $?
		printf '%s 15:27:00\n' "$first" "$second" "$third" >"$work/want"
		runs dewpost-evening "$zone" "$first" 3 >"$work/said"
		cmp -s "$work/want" "$work/said"
		check "evening, $zone, $second" $?
		for hour in 00 03 06 09 12 15 18 21; do echo "$second $hour:41:00"; done >"$work/want"
		runs dewpost-fetch "$zone" "$second" 8 >"$work/said"
		cmp -s "$work/want" "$work/said"
		check "fetch, $zone, $second" $?
	done
}

# IANA zone database: both changes of 2026 in two zones.
cat >"$work/changes" <<'END'
Europe/Berlin   2026-03-28 2026-03-29 2026-03-30
Europe/Berlin   2026-10-24 2026-10-25 2026-10-26
America/Chicago 2026-03-07 2026-03-08 2026-03-09
America/Chicago 2026-10-31 2026-11-01 2026-11-02
END
clock_changes <"$work/changes"

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
