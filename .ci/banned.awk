# Functions that our code does not call, and the one module each that may: awk -f banned.awk FILE...

BEGIN {
	n = split("strcpy strcat stpcpy sprintf vsprintf sscanf gets strtok strtok_r atoi atol atoll atof alloca tmpnam", list, " ")
	for (i = 1; i <= n; i++)
		home[list[i]] = ""
	n = split("strtol strtoul strtoll strtoull strtod strtof strtold", list, " ")
	for (i = 1; i <= n; i++)
		home[list[i]] = "base/num"
	n = split("malloc calloc realloc reallocarray free strdup strndup asprintf vasprintf getline getdelim", list, " ")
	for (i = 1; i <= n; i++)
		home[list[i]] = "base/mem"
	n = split("setenv unsetenv putenv tzset localtime localtime_r mktime", list, " ")
	for (i = 1; i <= n; i++)
		home[list[i]] = "base/zone"
	models = "^(base|facts|physics|plant|odds|season|advice|note|garden)$"
	n = split("time clock_gettime gettimeofday getenv secure_getenv nanosleep sleep", list, " ")
	for (i = 1; i <= n; i++)
		impure[list[i]] = 1
}

FNR == 1 {
	in_comment = 0
	module = FILENAME
	sub(/^(src|include)\//, "", module)
	sub(/\.[ch]$/, "", module)
	split(module, part, "/")
	pure = part[1] ~ models && module != "base/zone" # keeps TZ as it was
}

# The line without comments, string and character literals.
function code(line,    out, c, two)
{
	out = ""
	while (line != "") {
		two = substr(line, 1, 2)
		c = substr(line, 1, 1)
		if (in_comment) {
			in_comment = two != "*/"
			line = substr(line, in_comment ? 2 : 3)
		} else if (two == "/*") {
			in_comment = 1
			line = substr(line, 3)
		} else if (two == "//") {
			break
		} else if (match(line, /^"([^"\\]|\\.)*"/) || match(line, /^'([^'\\]|\\.)*'/)) {
			out = out " "
			line = substr(line, RLENGTH + 1)
		} else {
			out = out c
			line = substr(line, 2)
		}
	}
	return out
}

{
	rest = code($0)
	while (match(rest, /[A-Za-z_][A-Za-z0-9_]*[ \t]*\(/)) {
		name = substr(rest, RSTART, RLENGTH - 1)
		sub(/[ \t]+$/, "", name)
		# A member called through a pointer is not the C library's.
		member = RSTART > 1 && substr(rest, RSTART - 1, 1) ~ /[.>]/
		rest = substr(rest, RSTART + RLENGTH)
		if (!member && (name in home) && home[name] != module) {
			printf "%s:%d: %s() is not used here%s\n", FILENAME, FNR, name,
				home[name] ? "; " home[name] " wraps it" : ""
			bad = 1
		} else if (!member && pure && (name in impure)) {
			printf "%s:%d: %s() in a room that takes clock and environment as arguments\n", FILENAME, FNR, name
			bad = 1
		}
	}
}

END { exit bad }
