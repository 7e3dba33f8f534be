#!/bin/sh
# The evening of the demo's garden through the whole program: how many letters, and when none.
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
PATH="$PWD/$BUILD:$PATH"
demo=$PWD/fixtures/demo
passed=0 failed=0
export XDG_CONFIG_HOME="$work/config" XDG_STATE_HOME="$work/state"

check() {
	if [ "$2" -eq 0 ]; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf '%s: not so\n' "$1"
		cat "$work/note" "$work/said"
	fi
}

letters() {
	[ "$(find "$work/mail/new" -type f 2>/dev/null | wc -l)" -eq "$2" ]
	check "$1: $2 letters" $?
}

# fresh MAIL: a configuration and a record of their own, letters to a Maildir or, without MAIL, printed.
fresh() {
	rm -rf "$work/config" "$work/state" "$work/mail"
	cp -R "$demo/config" "$work/config"
	mkdir -p "$work/mail/new" "$work/mail/cur" "$work/mail/tmp"
	[ -z "$1" ] || printf '\n[mail]\nway = maildir\nfolder = %s\nto = grower@example.org\nfrom = garden@example.org\n' \
		"$work/mail" >>"$work/config/dewpost/garden.ini"
	dewpost fetch --answer "$demo/answer-2026-05-19.json" --at 2026-05-19T04:10:00-05:00 >"$work/said" 2>&1
}

# run COMMAND INSTANT [OPTION...]
run() {
	command=$1 at=$2
	shift 2
	dewpost "$command" --offline --at "$at" "$@" >"$work/note" 2>"$work/said"
	check "$command of $at" $?
}

silent() {
	[ ! -s "$work/note" ] && [ ! -s "$work/said" ]
	check "$1: silent" $?
}

awk -f "$demo/colder.awk" "$demo/answer-2026-05-19.json" >"$work/colder.json"
colder() { dewpost fetch --answer "$work/colder.json" --at 2026-05-19T15:10:00-05:00 >"$work/said" 2>&1; }

fresh mail
run morning 2026-05-19T05:17:00-05:00
letters "morning" 1
run evening 2026-05-19T15:27:00-05:00
silent "nothing new"
letters "nothing new" 1
colder
run evening 2026-05-19T09:00:00-05:00
silent "before noon"
run evening 2026-05-19T21:40:00-05:00
silent "after dark"
letters "after dark" 1
run evening 2026-05-19T15:57:00-05:00
letters "colder" 2
grep -q '^Subject: COVER tom-1 today by 7 pm (Quarry Lane, Tue 19 May)' "$work"/mail/new/* "$work/note"
check "its subject" $?
run evening 2026-05-19T16:57:00-05:00
letters "once an evening" 2
silent "once an evening"
run evening 2026-05-19T16:57:00-05:00 --print
grep -q '^1 COVER tom-1 today by 7 pm: 32 F forecast for tonight' "$work/note"
check "--print shows it" $?
# The next morning has its own note, held against the morning before.
run morning 2026-05-20T05:17:00-05:00
letters "next morning" 3
run morning 2026-05-20T05:17:00-05:00 --print
cp "$work/note" "$work/with"
fresh mail
run morning 2026-05-19T05:17:00-05:00
colder
run morning 2026-05-20T05:17:00-05:00 --print
cmp -s "$work/note" "$work/with"
check "the next morning's note does not know of the evening" $?

# Printed, by whoever mails what is printed: once, too.
fresh ''
run morning 2026-05-19T05:17:00-05:00
colder
run evening 2026-05-19T15:27:00-05:00
[ -s "$work/note" ]
check "printed" $?
cp "$work/note" "$work/with"
run evening 2026-05-19T16:27:00-05:00
silent "printed once"
run evening 2026-05-20T12:00:00-05:00 --date 2026-05-19
cmp -s "$work/note" "$work/with"
check "--date gives it again, byte for byte" $?

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
