#include <string.h>

#include "lib/harness.h"
#include "plant/crop.h"

static const struct crop sound = {.name = "one",
				  .rule = {.base_c = 8, .cap_c = 32, .cutoff = DEGREE_HORIZONTAL},
				  .night_line_c = 15,
				  .slow_c = 10,
				  .stall_c = 7,
				  .kill_c = 0,
				  .cover_c = 2};

/* One figure moved; what the fault begins with, NULL where the crop stays sound. */
static const struct {
	const char *name;
	size_t at;
	double value;
	const char *want;
} row[] = {
    {"as it is", offsetof(struct crop, kill_c), 0, NULL},
    {"stall at slow", offsetof(struct crop, stall_c), 10, NULL},
    {"slow at the night line", offsetof(struct crop, slow_c), 15, NULL},
    {"cover at kill", offsetof(struct crop, cover_c), 0, NULL},
    {"kill at stall", offsetof(struct crop, kill_c), 7, "kill (7 C) is not under stall (7 C)"},
    {"stall over slow", offsetof(struct crop, stall_c), 10.5, "stall (10.5 C) is not under slow (10 C)"},
    {"slow over the night line", offsetof(struct crop, slow_c), 15.1, "slow (15.1 C) is not under night_line (15 C)"},
    {"cover under kill", offsetof(struct crop, cover_c), -1, "kill (0 C) is not under cover (-1 C)"},
    {"base at cap", offsetof(struct crop, rule.base_c), 32, "base (32 C) is not under cap (32 C)"},
    {"night line not known", offsetof(struct crop, night_line_c), (double)NAN,
     "slow (10 C) is not under night_line (nan C)"},
    {"cap not known", offsetof(struct crop, rule.cap_c), (double)NAN, "base (8 C) is not under cap (nan C)"},
};

START_TEST(order)
{
	struct crop c = sound;
	struct fault f = {0};

	memcpy((char *)&c + row[_i].at, &row[_i].value, sizeof row[_i].value);
	enum fault_code code = crop_check(&c, &f);
	if (!row[_i].want) {
		ROW_INT(row[_i].name, code, FAULT_NONE);
		return;
	}
	ROW_INT(row[_i].name, code, FAULT_CONFIG);
	ck_assert_msg(strncmp(f.text, row[_i].want, strlen(row[_i].want)) == 0, "%s: %s", row[_i].name, f.text);
}
END_TEST

START_TEST(method_and_cutoff)
{
	/* nobody defined a vertical cut-off of a simple average */
	struct crop c = sound;
	struct fault f = {0};

	c.rule.method = DEGREE_AVERAGE_MEAN;
	c.rule.cutoff = DEGREE_VERTICAL;
	ck_assert_int_eq(crop_check(&c, &f), FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, "cutoff") != NULL, "%s", f.text);
}
END_TEST

START_TEST(find)
{
	static struct crops cs = {.n = 2, .at = {{.name = "one"}, {.name = "two"}}};

	ck_assert_ptr_eq(crop_find(&cs, "two"), &cs.at[1]);
	ck_assert_ptr_null(crop_find(&cs, "tw"));
	ck_assert_uint_eq(crop_index(&cs, "one"), 0);
	ck_assert_uint_eq(crop_index(&cs, "three"), 2);
}
END_TEST

START_TEST(figure_keys)
{
	for (int i = 0; i < CROP_FIGURES; i++)
		ck_assert_msg(*crop_figure_key((enum crop_figure)i) != '\0', "figure %d has no key", i);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("crop");
	TCase *t = tcase_create("crop");

	tcase_add_loop_test(t, order, 0, sizeof row / sizeof *row);
	tcase_add_test(t, method_and_cutoff);
	tcase_add_test(t, find);
	tcase_add_test(t, figure_keys);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
