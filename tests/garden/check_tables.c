#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/text.h"
#include "garden/garden.h"
#include "garden/tables.h"
#include "lib/harness.h"

/* The reader, and how layers lie over each other; what our tables say is check_tables_crops' and _covers' business. */

static struct crops crops;
static struct faults all;

static const char *said(void)
{
	static char buf[FAULTS_MAX * FAULT_TEXT_SIZE];
	struct text t;

	text_over(&t, buf, sizeof buf);
	for (size_t i = 0; i < all.n; i++)
		text_addf(&t, "%s\n", all.at[i].text);
	return buf;
}

static void load_ours(void)
{
	all = (struct faults){0};
	enum fault_code code = tables_crops("config", NULL, &crops, &all);

	ck_assert_msg(code == FAULT_NONE, "%s", said());
}

static enum fault_code lay(const char *bytes, bool ours)
{
	all = (struct faults){0};
	return tables_crops_lay("crops.ini", bytes, strlen(bytes), ours, &crops, &all);
}

static double c_of_f(double f)
{
	return (f - 32) * 5 / 9;
}

/* ---- the grower's table over it ---- */

static const char *basis_of(const char *crop, enum crop_figure figure)
{
	return crops.basis[crop_index(&crops, crop)].of[figure];
}

START_TEST(one_figure_moved)
{
	load_ours();
	static struct crops before;
	before = crops;

	ck_assert_msg(lay("[crop zucchini]\nnight_line = 55 F\n", false) == FAULT_NONE, "%s", said());
	struct crop *c = &crops.at[crop_index(&crops, "zucchini")];
	ROW_NEAR("night line", c->night_line_c, c_of_f(55), 1e-12);
	ROW_STR("basis", basis_of("zucchini", CROP_NIGHT_LINE), "the grower's own figure, line 2 of crops.ini");

	/* nothing else differs */
	ck_assert_uint_eq(crops.n, before.n);
	for (size_t i = 0; i < crops.n; i++)
		for (size_t k = 0; k < CROP_FIGURES; k++) {
			bool moved = c == &crops.at[i] && k == CROP_NIGHT_LINE;
			double was = crop_figure(&before.at[i], (enum crop_figure)k);
			double is = crop_figure(&crops.at[i], (enum crop_figure)k);

			ROW_TRUE(crop_key[k].name, moved || (isnan(was) ? isnan(is) : is == was));
			ROW_TRUE(crop_key[k].name, moved || !strcmp(crops.basis[i].of[k], before.basis[i].of[k]));
		}
}
END_TEST

START_TEST(figure_with_a_basis)
{
	load_ours();
	ck_assert_int_eq(lay("[crop tomato]\nstall = 6 C\nstall.basis = ten springs here\nsettle_days = 7\n", false),
			 0);
	const struct crop *c = crop_find(&crops, "tomato");
	ROW_NEAR("stall", c->stall_c, 6, 1e-12);
	ROW_STR("stall", basis_of("tomato", CROP_STALL), "ten springs here");
	ROW_INT("settle", c->settle_days, 7);
}
END_TEST

#define NEW_CROP                                                                                                       \
	"[crop okra]\ntitle = okra\nbase = 15 C\ncap = 35 C\nmethod = sine\ncutoff = none\nnight_line = 60 F\n"        \
	"slow = 58 F\nstall = 55 F\nkill = 33 F\ncover = 40 F\nsettle_days = 14\ntray_days = 28\n"

START_TEST(new_crop)
{
	load_ours();
	size_t n = crops.n;

	ck_assert_msg(lay(NEW_CROP, false) == FAULT_NONE, "%s", said());
	ck_assert_uint_eq(crops.n, n + 1);
	const struct crop *c = crop_find(&crops, "okra");
	ck_assert_ptr_eq(c, &crops.at[n]);
	ROW_STR("title", c->title, "okra");
	ROW_INT("method", c->rule.method, DEGREE_SINE);
	ROW_INT("cutoff", c->rule.cutoff, DEGREE_NO_CUTOFF);
	ROW_NEAR("kill", c->kill_c, c_of_f(33), 1e-12);
	ROW_INT("settle", c->settle_days, 14);
	ROW_STR("basis", basis_of("okra", CROP_KILL), "the grower's own figure, line 10 of crops.ini");
	ROW_STR("no basis of what is missing", basis_of("okra", CROP_FRUIT), "");
	for (int i = 0; i < CROP_FIGURES; i++)
		if (crop_key[i].kind != KEY_TEXT && crop_key[i].kind != KEY_CHOICE)
			ROW_TRUE(crop_key[i].name, crop_key[i].required == !isnan(crop_figure(c, (enum crop_figure)i)));
	ROW_TRUE("all of a spread is missing", isnan(c->fruit_dd.least) && isnan(c->fruit_dd.most));
}
END_TEST

static const struct {
	const char *name, *bytes;
	bool ours;
	const char *want;
} bad[] = {
    {"new crop, not whole", "[crop okra]\ntitle = okra\nbase = 15 C\ncap = 35 C\nmethod = sine\ncutoff = none\n", false,
     "crops.ini:1: crop \"okra\": night_line is missing; as night_line = 60 F\n"
     "crops.ini:1: crop \"okra\": slow is missing; as slow = 55 F\n"
     "crops.ini:1: crop \"okra\": stall is missing; as stall = 50 F\n"
     "crops.ini:1: crop \"okra\": kill is missing; as kill = 32 F\n"

     "crops.ini:1: crop \"okra\": cover is missing; as cover = 38 F\n"
     "crops.ini:1: crop \"okra\": settle_days is missing; as settle_days = 10\n"
     "crops.ini:1: crop \"okra\": tray_days is missing; as tray_days = 21\n"},
    {"lines out of order", "\n[crop zucchini]\nstall = 11 C\n", false,
     "crops.ini:2: crop \"zucchini\": stall (11 C, 51.8 F) is not under slow (10 C, 50 F); less than that, or as "
     "much\n"},
    {"unit left out of a difference", "[crop zucchini]\nnight_line = 60 C\n", false,
     "crops.ini:2: crop \"zucchini\": night_line 60 C is outside -10..50 C (14..122 F)\n"},
    {"figure misspelt", "[crop zucchini]\nnightline = 55 F\n", false,
     "crops.ini:2: crop \"zucchini\": key \"nightline\" is not known; did you mean \"night_line\"?\n"},
    {"method misspelt", "[crop zucchini]\nmethod = sin\n", false,
     "crops.ini:2: crop \"zucchini\": method \"sin\" is not known; did you mean \"sine\"?\n"},
    {"basis of nothing", "[crop zucchini]\ntitle.basis = x\n", false,
     "crops.ini:2: crop \"zucchini\": key \"title.basis\" is not known; garden.ini(5) has the list\n"},
    {"spread out of order", "[crop zucchini]\nfruit = 55 (75-110) C-days\n", false,
     "crops.ini:2: crop \"zucchini\": fruit \"55 (75-110) C-days\" is no likely figure with its least and most; as "
     "fruit = 70 (50-100) C-days\n"},
    {"half a spread", "[crop zucchini]\nfruit = 75 (55) C-days\n", false,
     "crops.ini:2: crop \"zucchini\": fruit \"75 (55) C-days\" is no likely figure with its least and most; as "
     "fruit = 70 (50-100) C-days\n"},
    {"spread in degrees", "[crop zucchini]\nfruit = 75 (55-110) C\n", false,
     "crops.ini:2: crop \"zucchini\": fruit \"75 (55-110) C\" does not end in a unit of degree days; F-days or "
     "C-days\n"},
    {"spread without a unit", "[crop zucchini]\nfruit = 75\n", false,
     "crops.ini:2: crop \"zucchini\": fruit \"75\" does not end in a unit of degree days; F-days or C-days\n"},
    {"one end too far", "[crop zucchini]\nfruit = 75 (55-11000) C-days\n", false,
     "crops.ini:2: crop \"zucchini\": fruit 75 (55-11000) C-days is outside 1..5000 C-days (1.8..9000 F-days)\n"},
    {"half of an emergence", "[crop eggplant]\nemerge = 90 C-days\n", false,
     "crops.ini:1: crop \"eggplant\": emerge_base and emerge go together; both of them, or neither\n"},
    {"empty basis", "[crop zucchini]\nkill.basis =\n", false,
     "crops.ini:2: crop \"zucchini\": kill.basis has no value; as kill.basis = where the figure comes from\n"},
    {"crop twice", "[crop zucchini]\n[crop zucchini]\n", false,
     "crops.ini:2: crop \"zucchini\" is already in line 1; another name\n"},
    {"no crop", "[crops]\n", false, "crops.ini:1: section [crops] is not known; did you mean \"crop\"?\n"},
    {"ours without a basis", "[crop zucchini]\nkill = 31 F\n", true,
     "crops.ini:2: crop \"zucchini\": kill has no basis; as kill.basis = where it comes from\n"},
};

START_TEST(bad_tables)
{
	load_ours();
	ROW_INT(bad[_i].name, lay(bad[_i].bytes, bad[_i].ours), FAULT_CONFIG);
	ROW_STR(bad[_i].name, said(), bad[_i].want);
}
END_TEST

START_TEST(too_many)
{
	struct text t;

	crops.n = 0;
	text_init(&t, 1 << 20);
	for (int i = 0; i <= CROPS_MAX; i++) {
		text_addf(&t, "[crop n%d]\n", i);
		text_add(&t, strchr(NEW_CROP, '\n') + 1);
	}
	ck_assert_int_eq(lay(t.at, false), FAULT_CONFIG);
	ROW_STR("one too many", said(), "crops.ini:833: crop \"n64\" is one too many; at most 64\n");
	text_free(&t);
}
END_TEST

START_TEST(sample)
{
	struct text t;

	load_ours();
	text_init(&t, 1 << 16);
	tables_crops_sample(&t);
	ck_assert_msg(lay(t.at, false) == FAULT_NONE, "as printed: %s", said());
	/* every line opened, it is a whole crop of our own */
	for (char *s = t.at; *s; s += strcspn(s, "\n"), s += *s == '\n')
		if (s[0] == '#' && s[1] != ' ')
			*s = ' ';
	crops.n = 0;
	ck_assert_msg(lay(t.at, true) == FAULT_NONE, "with every key: %s", said());
	ck_assert_uint_eq(crops.n, 1);
	text_free(&t);
}
END_TEST

/* ---- files ---- */

static char base[64];

static const char *put(const char *name, const char *bytes)
{
	static char path[128];

	snprintf(path, sizeof path, "%s/%s", base, name);
	FILE *out = fopen(path, "w");
	ck_assert_ptr_nonnull(out);
	ck_assert_int_ge(fputs(bytes, out), 0);
	ck_assert_int_eq(fclose(out), 0);
	return path;
}

static void make_folders(void)
{
	static const char *const folder[] = {"ours", "ours/sources", "own", "own/sources"};

	snprintf(base, sizeof base, "%s", "/tmp/check_tables.XXXXXX");
	ck_assert_ptr_nonnull(mkdtemp(base));
	for (size_t i = 0; i < sizeof folder / sizeof *folder; i++) {
		char path[128];

		snprintf(path, sizeof path, "%s/%s", base, folder[i]);
		ck_assert_int_eq(mkdir(path, 0700), 0);
	}
}

static void remove_folders(void)
{
	static const char *const left[] = {"own/sources/alpha.ini",
					   "ours/sources/alpha.ini",
					   "ours/sources/beta.ini",
					   "own/crops.ini",
					   "own/sources",
					   "own",
					   "ours/sources",
					   "ours",
					   ""};

	for (size_t i = 0; i < sizeof left / sizeof *left; i++) {
		char path[128];

		snprintf(path, sizeof path, "%s/%s", base, left[i]);
		remove(path);
	}
}

START_TEST(own_file)
{
	char own[128];

	snprintf(own, sizeof own, "%s/own", base);
	all = (struct faults){0};
	ck_assert_int_eq(tables_crops("config", own, &crops, &all), FAULT_NONE); /* no crops.ini there */
	ROW_NEAR("ours alone", crop_find(&crops, "zucchini")->night_line_c, c_of_f(60), 1e-12);
	put("own/crops.ini", "[crop zucchini]\nnight_line = 55 F\n");
	ck_assert_int_eq(tables_crops("config", own, &crops, &all), FAULT_NONE);
	ROW_NEAR("laid over", crop_find(&crops, "zucchini")->night_line_c, c_of_f(55), 1e-12);
	ck_assert_ptr_nonnull(crop_find(&crops, "tomato"));
	ck_assert_int_eq(tables_crops(own, NULL, &crops, &all), FAULT_CONFIG); /* as ours it would not do */
	all = (struct faults){0};
	ck_assert_int_eq(tables_crops("fixtures/garden", own, &crops, &all), FAULT_NO_INPUT);
}
END_TEST

START_TEST(source_paths)
{
	char ours_dir[128], own[128], want[256], path[TABLES_PATH_SIZE];
	struct fault f = {0};

	snprintf(ours_dir, sizeof ours_dir, "%s/ours", base);
	snprintf(own, sizeof own, "%s/own", base);
	put("ours/sources/alpha.ini", "");
	put("ours/sources/beta.ini", "");
	put("own/sources/alpha.ini", "");

	ck_assert_int_eq(tables_source_path(ours_dir, own, "alpha", path, &f), FAULT_NONE);
	snprintf(want, sizeof want, "%s/sources/alpha.ini", own);
	ROW_STR("the grower's replaces ours", path, want);
	ck_assert_int_eq(tables_source_path(ours_dir, own, "beta", path, &f), FAULT_NONE);
	snprintf(want, sizeof want, "%s/sources/beta.ini", ours_dir);
	ROW_STR("ours", path, want);
	ck_assert_int_eq(tables_source_path(ours_dir, NULL, "alpha", path, &f), FAULT_NONE);
	snprintf(want, sizeof want, "%s/sources/alpha.ini", ours_dir);
	ROW_STR("no folder of the grower's", path, want);
}
END_TEST

START_TEST(source_unknown)
{
	static const struct {
		const char *name, *want;
	} row[] = {
	    {"aplha", "source \"aplha\" is not known; did you mean \"alpha\"?"},
	    {"zzzzzzz", "source \"zzzzzzz\" is not known; a file sources/zzzzzzz.ini in /nowhere"},
	    {"../alpha", "source \"../alpha\" is no fit name; letters a-z, digits and - alone"},
	    {"", "source \"\" is no fit name; letters a-z, digits and - alone"},
	};
	char ours_dir[128], path[TABLES_PATH_SIZE];

	snprintf(ours_dir, sizeof ours_dir, "%s/ours", base);
	put("ours/sources/alpha.ini", "");
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		struct fault f = {0};

		ROW_INT(row[i].name, tables_source_path(ours_dir, "/nowhere", row[i].name, path, &f), FAULT_CONFIG);
		ROW_STR(row[i].name, f.text, row[i].want);
	}
}
END_TEST

START_TEST(no_memory)
{
	long after = 0;

	do {
		load_ours();
		mem_fail_after(after++, false);
		enum fault_code code = lay(NEW_CROP, false);
		long refused = mem_refused();

		mem_fail_after(-1, false);
		ROW_INT("allocation refused", code, refused ? FAULT_MEMORY : FAULT_NONE);
		if (!refused)
			break;
	} while (after < 1000);
	ROW_TRUE("some allocations were refused, and the loop came to its end", after > 2 && after < 1000);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("tables");
	TCase *t = tcase_create("tables"), *files = tcase_create("files");

	tcase_add_test(t, one_figure_moved);
	tcase_add_test(t, figure_with_a_basis);
	tcase_add_test(t, new_crop);
	tcase_add_loop_test(t, bad_tables, 0, sizeof bad / sizeof *bad);
	tcase_add_test(t, too_many);
	tcase_add_test(t, sample);
	tcase_add_test(t, no_memory);
	suite_add_tcase(s, t);
	tcase_add_checked_fixture(files, make_folders, remove_folders);
	tcase_add_test(files, own_file);
	tcase_add_test(files, source_paths);
	tcase_add_test(files, source_unknown);
	suite_add_tcase(s, files);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
