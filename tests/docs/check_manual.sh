#!/bin/sh
# The manual pages against the program: what it takes, asks of its environment and returns stands there, and nothing else.
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
PATH="$PWD/$BUILD:$PATH"
page=$BUILD/man/dewpost.1

# Two lists are the same; what is in one alone is said.
same() {
	sort -u "$work/want" >"$work/want.sorted"
	sort -u "$work/got" >"$work/got.sorted"
	if [ -s "$work/want.sorted" ] && cmp -s "$work/want.sorted" "$work/got.sorted"; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf '%s:\n' "$1"
		comm -23 "$work/want.sorted" "$work/got.sorted" | sed 's/^/  not in the page: /'
		comm -13 "$work/want.sorted" "$work/got.sorted" | sed 's/^/  not of the program: /'
	fi
}

# The lines between .Ss or .Sh of that name and the next.
part() {
	awk -v head="$1" '/^\.S[sh] / { inside = substr($0, 5) == head; next } inside' "$page"
}

# Commands, and the options of all of them, as --help has them.
dewpost --help | sed -n '/^Commands/,/^$/s/^  \([a-z][a-z-]*\).*/\1/p' >"$work/want"
cp "$work/want" "$work/commands"
part Commands | sed -n 's/^\.It Cm \([a-z-]*\).*/\1/p' >"$work/got"
same "commands"
while read -r command; do
	dewpost "$command" --help
done <"$work/commands" >"$work/help"
sed -n 's/^  \(-[a-zA-Z], \)\{0,1\}--\([a-z][a-z-]*\).*/\2/p' "$work/help" >"$work/want"
part Options | sed -n 's/^\.It.* Fl -\([a-z][a-z-]*\).*/\1/p' >"$work/got"
same "options"

# Options that text and examples of any page speak of.
cp "$work/want" "$work/options"
sed 's/\\-/-/g; s/Fl -/--/g; /systemctl\|loginctl/d' "$BUILD"/man/*.[15] | grep -oE -e '(^|[^a-z-])--[a-z][a-z-]+' |
	sed 's/.*--//' >"$work/got"
same "options in the text"

# Environment: what is asked for by name, and the proxies.
grep -ohE '(getenv|absolute)\("[A-Z_]+"\)|"(https|all|HTTPS|ALL)_(proxy|PROXY)"' src/*/*.c |
	sed 's/.*"\([A-Za-z_]*\)".*/\1/' | grep -vx TZ >"$work/want"
grep -ohE 'path_in\("[A-Z_]+"' src/cli/*.c | sed 's/.*"\([A-Z_]*\)"/\1/' >>"$work/want"
part ENVIRONMENT | sed -n 's/^\.It Ev //p' | tr -d ' ' | tr , '\n' >"$work/got"
same "environment"

# Exit codes.
sed -n 's/^\tFAULT_[A-Z_]* = \([0-9]*\),.*/\1/p' include/base/fault.h >"$work/want"
part "EXIT STATUS" | sed -n 's/^\.It \([0-9]*\)$/\1/p' >"$work/got"
same "exit codes"

# Keys of the garden file: those that the demo of every key, and the fixture, have are in the page.
sed -n 's/^\([a-z_]*\) = .*/\1/p' fixtures/garden/good.ini >"$work/want"
sed -n 's/^\.It Cm \([a-z_]*\) No.*/\1/p' "$BUILD/man/garden.ini.5" | sort -u >"$work/keys"
sort -u "$work/want" | comm -12 - "$work/keys" >"$work/got"
same "keys of a garden file"

# And of the descriptions that came with the program.
sed -n 's/^\([a-z_0-9]*\)\(\.[a-z0-9_-]*\)\{0,1\} = .*/\1/p' config/sources/*.ini >"$work/want"
sed -n 's/^\.It Cm \([a-z_0-9]*\)\(\.NAME\)\{0,1\} No.*/\1/p' "$BUILD/man/dewpost-source.5" | sort -u >"$work/keys"
sort -u "$work/want" | comm -12 - "$work/keys" >"$work/got"
same "keys of a description"

# A part that is not there is refused.
printf '.\\" TABLE: nonsense\n' >"$work/page.1"
"$BUILD/manual" page "$work/page.1" >"$work/out" 2>"$work/said"
status=$?
if [ $status -eq 65 ] && grep -q 'no part "nonsense"' "$work/said"; then
	passed=$((passed + 1))
else
	failed=$((failed + 1))
	echo "an unknown part is not refused: status $status"
fi

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
