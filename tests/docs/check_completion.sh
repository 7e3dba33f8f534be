#!/bin/bash
# Completion, as bash asks for it: the words of a line and which of them is being written.
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
PATH="$PWD/$BUILD:$PATH"
# shellcheck disable=SC1090,SC1091 # made by the build
source "$BUILD/completion/dewpost"
export XDG_CONFIG_HOME=$PWD/fixtures/demo/config
cd "$work" || exit 1
touch answer.json garden.ini
mkdir tables

# completed WORD...: what the last word may become, in one line, sorted.
completed() {
	COMP_WORDS=(dewpost "$@")
	COMP_CWORD=$#
	COMPREPLY=()
	_dewpost
	printf '%s\n' "${COMPREPLY[@]}" | sort | tr '\n' ' ' | sed 's/^ *//; s/ *$//'
}

# is "WANT" WORD...
is() {
	local want=$1 got
	shift
	got=$(completed "$@")
	if [ "$got" = "$want" ]; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf 'dewpost %s: is "%s", want "%s"\n' "$*" "$got" "$want"
	fi
}

names() { sort | tr '\n' ' ' | sed 's/ $//'; }

# Commands and options as --help has them.
commands=$(dewpost --help | sed -n '/^Commands/,/^$/s/^  \([a-z][a-z-]*\).*/\1/p')
is "$(printf '%s\n' "$commands" --help --version | names)" ""
is "--help" --h
for command in $commands; do
	is "$(dewpost "$command" --help | sed -n 's/^  \(-[a-zA-Z], \)\{0,1\}\(--[a-z-]*\).*/\2/p' | names)" "$command" -
done
is "morning" mor

# What follows an option.
is "answer.json garden.ini tables" fetch --answer ""
is "answer.json" fetch --answer a
is "answer.json" fetch --answer = a
is "answer.json garden.ini tables" fetch --answer =
is "tables" --tables ""
is "csv ghcn" import --format ""
is "semicolon" import --delimiter s
is "" morning --date ""

# Words of a command.
is "answer.json garden.ini tables" import ""
is "answer.json garden.ini live source tables" check ""
is "source" check so
is "green-1 pep-1 tom-1" degrees ""
is "tom-1" degrees t
printf '[planting okra-2]\n' >garden.ini
is "okra-2" --garden garden.ini degrees ""
is "okra-2" degrees --garden = garden.ini ""
is "" --garden gone.ini degrees ""

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
