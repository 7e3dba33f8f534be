#!/bin/sh
# The demo's spring through the whole program: what goes in decides what comes out.
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
PATH="$PWD/$BUILD:$PATH"
demo=$PWD/fixtures/demo
passed=0 failed=0

check() {
	if [ "$2" -eq 0 ]; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf '%s: not so\n' "$1"
		cat "$work/note"
	fi
}

holds() { grep -q -- "$2" "$work/note"; check "$1: has \"$2\"" $?; }
lacks() { ! grep -q -- "$2" "$work/note"; check "$1: lacks \"$2\"" $?; }

# A configuration and a record of their own.
fresh() {
	rm -rf "$work/config" "$work/state"
	cp -R "$demo/config" "$work/config"
	export XDG_CONFIG_HOME="$work/config" XDG_STATE_HOME="$work/state"
}

fetch() {
	dewpost fetch --answer "$2" --at "2026-05-$1T04:10:00-05:00" >"$work/said" 2>&1
	check "fetch of the $1th" $?
	[ ! -s "$work/said" ]
	check "a fetch that went well is quiet" $?
}

note() {
	dewpost morning --offline --print --at "2026-05-$1T05:17:00-05:00" >"$work/note" 2>"$work/said"
	check "note of the $1th" $?
	[ ! -s "$work/said" ]
	check "a note that went well is quiet" $?
}

three() { for day in 17 18 19; do fetch $day "$demo/answer-2026-05-$day.json"; done; }

# The answers are what the script makes of the spring.
for day in 17 18 19; do
	awk -v day=$day -f "$demo/make.awk" | cmp -s - "$demo/answer-2026-05-$day.json"
	check "make.awk gives the answer of the $day" $?
done

# Three mornings, each note as it was after the later answers came in.
fresh
for day in 17 18 19; do
	fetch $day "$demo/answer-2026-05-$day.json"
	note $day
	cp "$work/note" "$work/note.$day"
done
holds "the 19th" '^CHANGED since yesterday: tomorrow night fell 5 F (was 38, now 33)'
holds "the 19th" '^3 COVER tom-1 tomorrow by'
holds "the 19th" '33 F forecast for tomorrow night'
# That there is no day to plant on in sight was said before.
lacks "the 19th" 'WAIT with green-1'
for day in 17 18 19; do
	note $day
	cmp -s "$work/note" "$work/note.$day"
	check "the note of the $day again, byte for byte" $?
	dewpost morning --date 2026-05-$day --at 2026-05-20T12:00:00-05:00 >"$work/note"
	cmp -s "$work/note" "$work/note.$day"
	check "--date gives the note of the $day, byte for byte" $?
done
! cmp -s "$work/note.18" "$work/note.19"
check "two mornings have two notes" $?

# One night's low lifted in the answers: the COVER line goes.  From midnight of 20 May to noon of 22 May: two nights.
for day in 17 18 19; do
	awk -v from=1779253200 -v to=1779469200 '
		/"stamp"/ { n = split($0, at, /[][,]/) ; first = at[2] + 0 }
		/"air_F"/ {
			m = split($0, f, /[][,]/)
			printf "  \"air_F\": ["
			for (i = 2; i < m - (f[m] == "" ? 1 : 0); i++) {
				t = first + (i - 2) * 3600
				low = t >= from && t < to && f[i] + 0 < 48
				printf("%s%s", i > 2 ? ", " : "", low ? "48.0" : f[i] + 0)
			}
			print "],"
			next
		}
		{ print }' "$demo/answer-2026-05-$day.json" >"$work/lifted-$day.json"
done
fresh
for day in 17 18 19; do fetch $day "$work/lifted-$day.json"; done
note 19
lacks "lifted" 'COVER'
holds "lifted" 'Wed 48'

# A line of the crop moved by 5 F in the grower's own table: the day moves.
fresh
printf '[crop zucchini]\nnight_line = 65 F\n' >"$work/config/dewpost/crops.ini"
three
note 19
lacks "65 F" 'green-1 till'
printf '[crop zucchini]\nnight_line = 55 F\n' >"$work/config/dewpost/crops.ini"
note 19
holds "55 F" 'WAIT with green-1 till Sat 23: frost by Thu 28 is'
holds "55 F" 'nights keep 55 F'
printf '[crop tomato]\nstall = 35 F\ncover = 34 F\ncover_at = 90 %%\n' >"$work/config/dewpost/crops.ini"
note 19
lacks "35 and 34 F" 'Again'

# One step back, and the numbers behind a line.
fresh
three
note 19
dewpost why 3 >"$work/note"
check "why" $?
holds "why" '^  33 F '
holds "why" '^  29 F    the leaf'
holds "why" '^  32 F '
holds "why" '^  -3 F '
dewpost why 6 >"$work/note" 2>&1
[ $? -eq 64 ]
check "there is no line 6" $?
dewpost degrees tom-1 --at 2026-05-19T05:17:00-05:00 >"$work/note"
check "degrees" $?
holds "degrees" '4 days: 4 with all hours'

# Hours taken out of the answer: said, and no number of less.  Tonight from 22:00 to 04:00.
awk '
	/"air_F"/ {
		m = split($0, f, /[][,]/)
		printf "  \"air_F\": ["
		for (i = 2; i < m - (f[m] == "" ? 1 : 0); i++) {
			t = 1776142800 + (i - 2) * 3600
			printf("%s%s", i > 2 ? ", " : "", t >= 1779246000 && t < 1779267600 ? "null" : f[i])
		}
		print "],"
		next
	}
	{ print }' "$demo/answer-2026-05-19.json" >"$work/holes.json"
fresh
fetch 19 "$work/holes.json"
note 19
holds "holes" 'LOOK at the sky'
holds "holes" 'cannot judge tonight'
holds "holes" 'Tue not known'
lacks "holes" 'PLANT OUT'

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
