#!/bin/sh
# Run check programs and add up: run.sh BUILD PROGRAM...
#
# A failing program's output is shown in full.  The last line is "N passed, N failed" over all
# checks; a program that dies, or says nothing countable, counts as one failed.
# From the environment: JOBS at a time, WRAP before each program (valgrind), SECONDS_MAX for each.
set -u

# One program, in a home of its own, away from the caller's zone, language and proxies.
run_one() {
	dir=$1/$(printf %s "$2" | tr / _)
	mkdir -p "$dir/home" "$dir/tmp"
	unset TZ LANGUAGE COLUMNS NO_COLOR GREP_OPTIONS
	unset http_proxy https_proxy all_proxy no_proxy HTTP_PROXY HTTPS_PROXY ALL_PROXY NO_PROXY
	export LC_ALL=C LANG=C HOME="$dir/home" TMPDIR="$dir/tmp" XDG_CONFIG_HOME="$dir/home/.config" \
		XDG_STATE_HOME="$dir/home/.local/state" XDG_DATA_HOME="$dir/home/.local/share" \
		XDG_CACHE_HOME="$dir/home/.cache" BUILD="$BUILD" CK_VERBOSITY="${CK_VERBOSITY:-normal}" CK_DEFAULT_TIMEOUT="${CK_DEFAULT_TIMEOUT:-60}" \
		ASAN_OPTIONS="${ASAN_OPTIONS:-detect_stack_use_after_return=1}" \
		UBSAN_OPTIONS="${UBSAN_OPTIONS:-print_stacktrace=1}"
	# shellcheck disable=SC2086 # WRAP is a list of words
	timeout -k 10 "${SECONDS_MAX:-900}" ${WRAP:-} "$2" >"$dir/output" 2>&1 </dev/null
	echo "status $?" >>"$dir/output"
}

if [ "$1" = --one ]; then
	run_one "$2" "$3"
	exit 0
fi

BUILD=$1
export BUILD
shift
work=$(mktemp -d "$PWD/$BUILD/check.XXXXXX") || exit 1
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM

[ $# -eq 0 ] || printf '%s\n' "$@" | xargs -P "${JOBS:-2}" -I {} "$0" --one "$work" {}

for program in "$@"; do
	echo "program $program"
	cat "$work/$(printf %s "$program" | tr / _)/output"
done | awk '
	function finish() {
		if (program == "")
			return
		if (!counted || (status != 0 && bad == 0)) {
			bad++
			text = text sprintf("%s: ended with status %d\n", program, status)
		}
		printf "%s %s: %d passed, %d failed\n", bad ? "FAIL" : "ok  ", program, good, bad
		if (bad)
			printf "%s", text
		passed += good
		failed += bad
	}
	/^program / {
		finish()
		program = $2
		text = ""
		status = good = bad = counted = 0
		next
	}
	/^status [0-9]+$/ { status = $2; next }
	/^[0-9]+%: Checks: [0-9]+, Failures: [0-9]+, Errors: [0-9]+$/ {
		counted = 1
		bad += $5 + $7
		good += $3 - $5 - $7
	}
	/^[0-9]+ passed, [0-9]+ failed$/ { counted = 1; good += $1; bad += $3; next }
	{ text = text $0 "\n" }
	END {
		finish()
		printf "%d passed, %d failed\n", passed, failed
		exit failed > 0
	}'
