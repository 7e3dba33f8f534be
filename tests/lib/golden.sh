#!/bin/sh
# Golden files: golden.sh compares, golden.sh renew BUILD writes them anew.
#
# fixtures/golden/NAME/cmd is one shell line, run in a fresh folder with the built program first in
# PATH.  There $FIXTURES and $TABLES are short links to the tree's fixtures/ and config/, so that no
# path of this machine reaches the output.  Compared: out, err (none: empty), status (none: 0).  A
# file NAME/mask, a sed script, is applied to both sides where a model makes the digits.
set -u

renew=
[ "${1:-}" = renew ] && renew=1 && BUILD=$2
top=$PWD
work=$(mktemp -d "$top/$BUILD/golden.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
passed=0 failed=0

run_case() {
	mkdir -p "$work/run/home" "$work/got" "$work/want"
	ln -s "$top/fixtures" "$work/run/fixtures"
	ln -s "$top/config" "$work/run/tables"
	(cd "$work/run" && env -i PATH="$top/$BUILD:$PATH" HOME="$work/run/home" LC_ALL=C FIXTURES=fixtures \
		TABLES=tables ASAN_OPTIONS="${ASAN_OPTIONS:-}" UBSAN_OPTIONS="${UBSAN_OPTIONS:-}" \
		timeout 120 sh "$top/$1/cmd" >"$work/got/out" 2>"$work/got/err" </dev/null)
	echo $? >"$work/got/status"
	sed -i "s|$work/run/||g; s|$work/run|.|g; s|$top/||g" "$work/got/out" "$work/got/err"
	cat "$1/out" >"$work/want/out" 2>/dev/null
	cat "$1/err" >"$work/want/err" 2>/dev/null
	cat "$1/status" >"$work/want/status" 2>/dev/null || echo 0 >"$work/want/status"
}

# The files of a case as they are compared, in $work/NAME.masked.
masked() {
	rm -rf "$work/$1.masked"
	cp -R "$work/$1" "$work/$1.masked"
	[ ! -e "$2/mask" ] || sed -i -f "$2/mask" "$work/$1.masked/out" "$work/$1.masked/err"
}

# Files that would be empty, or say 0, are not kept.
keep() {
	cp "$work/got/out" "$1/out"
	rm -f "$1/err" "$1/status"
	[ ! -s "$work/got/err" ] || cp "$work/got/err" "$1/err"
	[ "$(cat "$work/got/status")" = 0 ] || cp "$work/got/status" "$1/status"
	echo "renewed $1"
}

for cmd in fixtures/golden/*/cmd; do
	[ -e "$cmd" ] || continue
	name=${cmd%/cmd}
	run_case "$name"
	masked got "$name"
	masked want "$name"
	if [ -e "$name/out" ] && diff -ru "$work/want.masked" "$work/got.masked" >"$work/diff"; then
		passed=$((passed + 1))
	elif [ $renew ]; then
		keep "$name"
	else
		failed=$((failed + 1))
		printf '%s: not as before (make golden renews it):\n' "$name"
		cat "$work/diff"
	fi
	rm -rf "$work/run" "$work/got" "$work/want"
done
[ $renew ] || echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
