# Every #include of the rooms against the table in .ci/rooms: awk -f rooms.awk TABLE FILE...

function complain(text)
{
	printf "%s:%d: %s\n", FILENAME, FNR, text
	bad = 1
}

FNR == 1 {
	table = (++file == 1)
	split(FILENAME, part, "/")
	room = part[2]
	if (!table && !(room in known))
		complain("room \"" room "\" is not in the table of rooms")
}

table {
	sub(/#.*/, "")
	if ($0 !~ /:/)
		next
	split($0, half, /[:;]/)
	r = half[1]
	gsub(/ /, "", r)
	known[r] = may[r, r] = 1
	n = split(half[2], word, " ")
	for (i = 1; i <= n; i++)
		may[r, word[i]] = 1
	n = split(half[3], word, " ")
	for (i = 1; i <= n; i++)
		third[r, word[i]] = 1
	next
}

/^[ \t]*#[ \t]*include[ \t]*"/ {
	split($0, quoted, "\"")
	n = split(quoted[2], path, "/")
	if (n != 2)
		complain("include \"" quoted[2] "\" is not of the form \"room/module.h\"")
	else if (!((room, path[1]) in may))
		complain("room " room " may not include room " path[1])
}

/^[ \t]*#[ \t]*include[ \t]*<.*(curl|sqlite|cJSON)/ {
	header = $0
	sub(/.*</, "", header)
	sub(/>.*/, "", header)
	if (!((room, header) in third))
		complain("room " room " may not include <" header ">")
}

END { exit bad }
