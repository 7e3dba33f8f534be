#!/bin/sh
# The examples of the manual pages, run as they stand.
#
# Each page has a home of its own with the demo's garden and one of its answers in it, and no network is asked for.  The
# program is told the demo's morning (--at), since the examples are of that day.  Before each example the page's source
# has a remark, `.\" EXAMPLE: ` and one of
#   run         lines "$ command" are run; what is shown behind one stands in its output, line by line in that order,
#               "..." for any lines or for the rest of a line
#   file PATH   is written to that file of the home
#   skip WHY    is not tried
set -u

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
program=$PWD/$BUILD/dewpost demo=$PWD/fixtures/demo pages=$PWD/docs/man
export HOME="$work/home" PATH="$work/bin:$PATH"
unset XDG_CONFIG_HOME XDG_STATE_HOME

mkdir -p "$work/bin"
printf '#!/bin/sh\nexec "%s" --at 2026-05-19T05:17:00-05:00 "$@"\n' "$program" >"$work/bin/dewpost"
chmod +x "$work/bin/dewpost"

# $1 of the page, as numbered pieces NNN.how and NNN.text in $work/pieces.
pieces() {
	rm -rf "$work/pieces"
	mkdir "$work/pieces"
	awk -v folder="$work/pieces" '
		/^\.\\" EXAMPLE: / { how = substr($0, 13); next }
		/^\.Bd / {
			n++
			name = sprintf("%s/%03d", folder, n)
			print how >(name ".how")
			printf "" >(name ".text")
			how = "none"
			inside = 1
			next
		}
		/^\.Ed/ { inside = 0 }
		inside { gsub(/\\&/, ""); gsub(/\\e/, "\\"); print >(name ".text") }' "$1"
}

# The shown lines of the output, in order.
shown() {
	awk '
		FNR == 1 { file++ }
		file == 1 { want[++n] = $0; next }
		{ got[++m] = $0 }
		function fits(pattern, line,   k) {
			k = index(pattern, "...")
			return k ? substr(line, 1, k - 1) == substr(pattern, 1, k - 1) : line == pattern
		}
		END {
			j = 1
			for (i = 1; i <= n; i++) {
				if (want[i] == "...") {
					loose = 1
					continue
				}
				while (loose && j <= m && !fits(want[i], got[j]))
					j++
				if (j > m || !fits(want[i], got[j])) {
					print "not in the output: " want[i]
					exit 1
				}
				j++
				loose = 0
			}
		}' "$work/want" "$work/got"
}

verdict() {
	if [ "$2" -eq 0 ]; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf '%s\n' "$1"
		[ ! -e "$work/got" ] || cat "$work/got"
	fi
}

# One command with what is shown behind it.
try() {
	: >"$work/got"
	(cd "$HOME" && sh -c "$2" >"$work/got" 2>&1 </dev/null)
	verdict "$1: fails: $2" $?
	# An awk that reads an empty first file would take the second for it.
	[ -s "$work/want" ] || return
	shown >"$work/missing"
	verdict "$1: shows something else: $2: $(cat "$work/missing")" $?
}

run() {
	command=
	: >"$work/want"
	while IFS= read -r line; do
		case $line in
		'$ '*)
			[ -z "$command" ] || try "$1" "$command"
			command=${line#'$ '}
			: >"$work/want"
			;;
		*)
			case $command in
			*\\) command="$command
$line" ;;
			*) printf '%s\n' "$line" >>"$work/want" ;;
			esac
			;;
		esac
	done <"$2"
	[ -z "$command" ] || try "$1" "$command"
}

for page in "$pages"/*.[15]; do
	rm -rf "$HOME"
	mkdir -p "$HOME/.config"
	cp -R "$demo/config/dewpost" "$HOME/.config/"
	cp "$demo/answer-2026-05-19.json" "$HOME/answer.json"
	pieces "$page"
	for how in "$work"/pieces/*.how; do
		name=$(basename "$page") text=${how%.how}.text
		read -r what rest <"$how"
		case $what in
		run) run "$name" "$text" ;;
		file) cp "$text" "$HOME/$rest"; verdict "$name: $rest cannot be written" $? ;;
		skip) [ -n "$rest" ]; verdict "$name: skipped without a reason" $? ;;
		*) verdict "$name: an example without a mark: $(head -n 1 "$text")" 1 ;;
		esac
	done
done

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
