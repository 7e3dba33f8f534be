#include "lib/harness.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/ini.h"
#include "base/mem.h"
#include "base/text.h"

/* The document as one text, LINE[KIND|NAME] and LINE{KEY|VALUE}, to be compared at a glance. */
static void dump(const struct ini *doc, struct text *t)
{
	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *s = &doc->section[i];
		text_addf(t, "%d[%s|%s]", s->line, s->kind, s->name);
		for (size_t j = s->first; j < s->first + s->n; j++)
			text_addf(t, "%d{%s|%s}", doc->entry[j].line, doc->entry[j].key, doc->entry[j].value);
	}
}

static const struct {
	const char *row, *given, *doc, *faults; /* faults: texts, each with a line break behind */
} rows[] = {
    {"nothing", "", "", ""},
    {"comments and blanks alone", "# a garden\n\n   \t \n  # more\n", "", ""},
    {"a section with keys", "[garden]\nid = quarry-lane\nname = Quarry Lane\n",
     "1[garden|]2{id|quarry-lane}3{name|Quarry Lane}", ""},
    {"given names", "[bed south]\n[bed  big south ]\n[ tub\tpatio]\n[planting green-1] # early\n",
     "1[bed|south]2[bed|big south]3[tub|patio]4[planting|green-1]", ""},
    {"an empty section stays", "[bed south]\n[tub patio]\nvolume = 15 gal\n",
     "1[bed|south]2[tub|patio]3{volume|15 gal}", ""},
    {"sections and keys repeat", "[bed a]\nx = 1\nx = 2\n[bed a]\nx = 3", "1[bed|a]2{x|1}3{x|2}4[bed|a]5{x|3}", ""},
    {"blanks around both are dropped", "[a]\n\t key\t=  a  b \t\n", "1[a|]2{key|a  b}", ""},
    {"split at the first =", "[a]\na = b = c\nq==\n", "1[a|]2{a|b = c}3{q|=}", ""},
    {"an empty value stays", "[a]\na =\nb = # said later\n", "1[a|]2{a|}3{b|}", ""},
    {"# after a blank alone", "[a]\nn = Bed#5\nm = Bed #5\nt = x\t# y # z\nu = x#y # z\n#k = v\n",
     "1[a|]2{n|Bed#5}3{m|Bed}4{t|x}5{u|x#y}", ""},
    {"; is no comment", "[a]\nurl = /p;q=1 ;r\n; k = v\n", "1[a|]2{url|/p;q=1 ;r}3{; k|v}", ""},
    {"CRLF", "[a]\r\nk = v\r\n\r\nl = w", "1[a|]2{k|v}4{l|w}", ""},
    {"byte order mark", "\xEF\xBB\xBF[a]\nk = v\n", "1[a|]2{k|v}", ""},
    {"byte order mark and nothing", "\xEF\xBB\xBF", "", ""},
    {"UTF-8",
     "[bed s\xC3\xBC"
     "d]\nname = K\xC3\xBCrbis \xF0\x9F\x8C\xB1\n",
     "1[bed|s\xC3\xBC"
     "d]2{name|K\xC3\xBCrbis \xF0\x9F\x8C\xB1}",
     ""},
    {"brackets in values and names", "[a]\nk = [1]\n[bed [1]\n", "1[a|]2{k|[1]}3[bed|[1]", ""},
    {"keys before the first section", "k = v\n# c\nl = w\n[a]\nm = x\n", "4[a|]5{m|x}",
     "g.ini:1: key \"k\" stands before the first section; a [KIND] head above it is wanted\n"
     "g.ini:3: key \"l\" stands before the first section; a [KIND] head above it is wanted\n"},
    {"no =", "[a]\nsoil loam\nk = v\n", "1[a|]3{k|v}", "g.ini:2: \"soil loam\" has no =; key = value is wanted\n"},
    {"no key", "[a]\n= loam\nk = v\n", "1[a|]3{k|v}", "g.ini:2: there is no key before the =; key = value is wanted\n"},
    {"head without ]: its keys fall into no section", "[bed a]\nx = 1\n[bed b\nx = 2\nno equals\n[bed c]\nx = 3\n",
     "1[bed|a]2{x|1}6[bed|c]7{x|3}",
     "g.ini:3: section head \"[bed b\" has no ]; [KIND] or [KIND NAME] is wanted\n"
     "g.ini:5: \"no equals\" has no =; key = value is wanted\n"},
    {"head cut by a comment", "[bed # 5]\nx = 1\n", "",
     "g.ini:1: section head \"[bed\" has no ]; [KIND] or [KIND NAME] is wanted\n"},
    {"empty heads", "[a]\n[]\nx = 1\n[ \t]\nx = 1\n", "1[a|]",
     "g.ini:2: section head is empty; [KIND] or [KIND NAME] is wanted\n"
     "g.ini:4: section head is empty; [KIND] or [KIND NAME] is wanted\n"},
    {"something behind the head", "[a]\n[bed b] soil = loam\nx = 1\n", "1[a|]",
     "g.ini:2: \" soil = loam\" stands behind the section head; a line of its own is wanted\n"},
    {"broken first head covers its keys", "[a\nx = 1\ny = 1\n", "",
     "g.ini:1: section head \"[a\" has no ]; [KIND] or [KIND NAME] is wanted\n"},
    {"not UTF-8", "[bed a]\nname = K\xFCrbis\nsoil = loam\n", "1[bed|a]3{soil|loam}",
     "g.ini:2: byte 9 of the line (0xFC) is not UTF-8; save the file as UTF-8\n"},
    {"head not UTF-8: its keys fall into no section",
     "[bed a]\nsoil = loam\n [bed s\xFC"
     "d]\nsoil = sand\n[bed c]\n",
     "1[bed|a]2{soil|loam}5[bed|c]", "g.ini:3: byte 8 of the line (0xFC) is not UTF-8; save the file as UTF-8\n"},
    {"control characters", "[garden]\nname = a\x1b[2J\nid = b\x7f\nk\rl = v\nunits = us\n", "1[garden|]5{units|us}",
     "g.ini:2: byte 9 of the line is control character 0x1B; only text is read\n"
     "g.ini:3: byte 7 of the line is control character 0x7F; only text is read\n"
     "g.ini:4: byte 2 of the line is control character 0x0D; only text is read\n"},
};

static void check_row(const char *row, const char *given, size_t n, const char *want, const char *want_faults)
{
	struct faults all = {0};
	struct ini doc;
	enum fault_code code = ini_parse("g.ini", given, n, &doc, &all);
	struct text t, said;
	text_init(&t, 100000);
	text_init(&said, 100000);
	dump(&doc, &t);
	for (size_t i = 0; i < all.n; i++) {
		text_addf(&said, "%s\n", all.at[i].text);
		ROW_INT(row, all.at[i].code, FAULT_CONFIG);
	}
	ROW_STR(row, t.at, want);
	ROW_STR(row, said.at, want_faults);
	ROW_INT(row, code, all.n == 0 ? FAULT_NONE : FAULT_CONFIG);
	text_free(&t);
	text_free(&said);
	ini_free(&doc);
}

START_TEST(parses)
{
	check_row(rows[_i].row, rows[_i].given, strlen(rows[_i].given), rows[_i].doc, rows[_i].faults);
}
END_TEST

/* A file that is no text is one fault, whatever its length. */
START_TEST(no_text_is_one_fault)
{
	static const char with_nul[] = "[a]\nk = v\n\0\1\2\n[b]\n";
	check_row("NUL", with_nul, sizeof with_nul - 1, "",
		  "g.ini:3: holds a NUL byte, so this is no text file; plain UTF-8 text is wanted\n");
	static const char utf16[] = "\xFF\xFE[\0a\0]\0\n\0k\0=\0v\0\n";
	check_row("UTF-16", utf16, sizeof utf16, "",
		  "g.ini:1: holds a NUL byte, so this is no text file; plain UTF-8 text is wanted\n");
	char bytes[4096];
	for (size_t i = 0; i < sizeof bytes; i++)
		bytes[i] = (char)(1 + i * 73 % 255); /* all bytes but NUL */
	struct faults all = {0};
	struct ini doc;
	ck_assert_int_eq(ini_parse("g.ini", bytes, sizeof bytes, &doc, &all), FAULT_CONFIG);
	ck_assert_uint_eq(all.n + all.more, 1);
	ck_assert_uint_eq(doc.sections, 0);
	ck_assert_ptr_nonnull(strstr(all.at[0].text, " bytes are no text; plain UTF-8 text is wanted"));
	ini_free(&doc);
}
END_TEST

static const struct {
	size_t line; /* bytes of the line "k = xxx..." */
	bool fine;
} lines[] = {{300, true}, {4094, true}, {4095, true}, {4096, false}, {5000, false}};

START_TEST(long_lines)
{
	for (int crlf = 0; crlf < 2; crlf++) {
		struct text t;
		text_init(&t, 10000);
		text_add(&t, "[a]\nk = ");
		text_add_char(&t, 'x', lines[_i].line - 4);
		text_add(&t, crlf ? "\r\nl = w\r\n" : "\nl = w\n");
		struct faults all = {0};
		struct ini doc;
		enum fault_code code = ini_parse("g.ini", t.at, t.len, &doc, &all);
		ck_assert_int_eq(code, lines[_i].fine ? FAULT_NONE : FAULT_CONFIG);
		const struct ini_entry *k = ini_find(&doc, &doc.section[0], "k"),
				       *l = ini_find(&doc, &doc.section[0], "l");
		ck_assert_ptr_nonnull(l);
		ck_assert_str_eq(l->value, "w");
		ck_assert_int_eq(l->line, 3);
		if (lines[_i].fine) {
			ck_assert_ptr_nonnull(k);
			ck_assert_uint_eq(strlen(k->value), lines[_i].line - 4);
		} else {
			char want[80];
			snprintf(want, sizeof want, "g.ini:2: line has %zu bytes; at most 4095 are read",
				 lines[_i].line);
			ck_assert_ptr_null(k);
			ck_assert_uint_eq(all.n, 1);
			ck_assert_str_eq(all.at[0].text, want);
		}
		ini_free(&doc);
		text_free(&t);
	}
}
END_TEST

START_TEST(a_long_head_covers_its_keys)
{
	struct text t;
	text_init(&t, 10000);
	text_add(&t, "[bed a]\nx = 1\n[bed ");
	text_add_char(&t, 'b', 5000);
	text_add(&t, "]\nx = 2\n");
	check_row("long head", t.at, t.len, "1[bed|a]2{x|1}", "g.ini:3: line has 5006 bytes; at most 4095 are read\n");
	text_free(&t);
}
END_TEST

START_TEST(long_files)
{
	char *bytes = mem_new(INI_FILE_MAX + 1, 1);
	memset(bytes, '\n', INI_FILE_MAX + 1);
	check_row("just fits", bytes, INI_FILE_MAX, "", "");
	check_row("one too many", bytes, INI_FILE_MAX + 1, "", "g.ini: has 262145 bytes; at most 262144 are read\n");
	mem_free(bytes);
}
END_TEST

START_TEST(reports_all_faults)
{
	struct text t;
	text_init(&t, 10000);
	for (int i = 0; i < 40; i++)
		text_addf(&t, "nothing %d\n", i);
	struct faults all = {0};
	struct ini doc;
	ck_assert_int_eq(ini_parse("g.ini", t.at, t.len, &doc, &all), FAULT_CONFIG);
	ck_assert_uint_eq(all.n, FAULTS_MAX);
	ck_assert_uint_eq(all.more, 40 - FAULTS_MAX);
	ini_free(&doc);
	text_free(&t);
}
END_TEST

START_TEST(finds_the_last_value)
{
	static const char given[] = "[bed a]\nx = 1\nX = 2\nx = 3\n[bed b]\ny = 4\n[bed c]\n";
	struct faults all = {0};
	struct ini doc;
	ck_assert_int_eq(ini_parse("g.ini", given, sizeof given - 1, &doc, &all), FAULT_NONE);
	ck_assert_str_eq(ini_find(&doc, &doc.section[0], "x")->value, "3");
	ck_assert_int_eq(ini_find(&doc, &doc.section[0], "x")->line, 4);
	ck_assert_ptr_null(ini_find(&doc, &doc.section[0], "y"));
	ck_assert_ptr_null(ini_find(&doc, &doc.section[1], "x"));
	ck_assert_ptr_null(ini_find(&doc, &doc.section[2], "y"));

	ini_fault(&doc, 6, &all, "soil \"%s\" is not known", "lome");
	ini_fault(&doc, 0, &all, "no section [garden]");
	ck_assert_str_eq(all.at[0].text, "g.ini:6: soil \"lome\" is not known");
	ck_assert_str_eq(all.at[1].text, "g.ini: no section [garden]");
	ck_assert_int_eq(faults_code(&all), FAULT_CONFIG);
	ini_free(&doc);
	ini_free(&doc);
}
END_TEST

/* Whichever allocation fails: it is said once, nothing leaks, and what is there is whole. */
START_TEST(survives_every_failing_allocation)
{
	struct text t;
	text_init(&t, 100000);
	for (int i = 0; i < 100; i++)
		text_addf(&t, "[bed b%d]\nx = 1\ny = 2\n", i);
	long after = 0;
	for (;; after++) {
		struct faults all = {0};
		struct ini doc;
		mem_fail_after(after, _i == 1);
		enum fault_code code = ini_parse("g.ini", t.at, t.len, &doc, &all);
		long refused = mem_refused();
		mem_fail_after(-1, false);
		ck_assert_int_eq(code, refused > 0 ? FAULT_MEMORY : FAULT_NONE);
		ck_assert_uint_eq(all.n, refused > 0);
		for (size_t i = 0; i < doc.sections; i++)
			ck_assert_uint_le(doc.section[i].first + doc.section[i].n, doc.entries);
		ini_free(&doc);
		if (refused == 0)
			break;
		ck_assert_str_eq(all.at[0].text, "no memory to read g.ini");
	}
	ck_assert_int_ge(after, 7); /* name, bytes, sections and entries growing */
	text_free(&t);
}
END_TEST

START_TEST(loads_from_disk)
{
	struct faults all = {0};
	struct ini doc;
	ck_assert_int_eq(ini_load("/nowhere/garden.ini", &doc, &all), FAULT_NO_INPUT);
	ck_assert_str_eq(all.at[0].text, "/nowhere/garden.ini: there is no such file");
	ini_free(&doc);

	char path[] = "/tmp/check_ini.XXXXXX";
	int fd = mkstemp(path);
	ck_assert_int_ge(fd, 0);
	ck_assert_int_eq(write(fd, "[a]\nk = v\n", 10), 10);
	all = (struct faults){0};
	ck_assert_int_eq(ini_load(path, &doc, &all), FAULT_NONE);
	ck_assert_str_eq(doc.file, path);
	ck_assert_str_eq(ini_find(&doc, &doc.section[0], "k")->value, "v");
	ini_free(&doc);

	ck_assert_int_eq(ftruncate(fd, INI_FILE_MAX + 1), 0);
	ck_assert_int_eq(ini_load(path, &doc, &all), FAULT_CONFIG);
	ini_free(&doc);
	close(fd);
	unlink(path);
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("base/ini");
	TCase *t = tcase_create("ini");
	tcase_add_loop_test(t, parses, 0, ROWS(rows));
	tcase_add_test(t, no_text_is_one_fault);
	tcase_add_loop_test(t, long_lines, 0, ROWS(lines));
	tcase_add_test(t, a_long_head_covers_its_keys);
	tcase_add_test(t, long_files);
	tcase_add_test(t, reports_all_faults);
	tcase_add_test(t, finds_the_last_value);
	tcase_add_loop_test(t, survives_every_failing_allocation, 0, 2);
	tcase_add_test(t, loads_from_disk);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
