#include <string.h>

#include "lib/harness.h"
#include "plant/crop.h"

static void sound(struct crop *c)
{
	static const double nan_value = (double)NAN;

	memset(c, 0, sizeof *c);
	for (int i = 0; i < CROP_FIGURES; i++)
		if (crop_key[i].kind == KEY_VALUE || crop_key[i].kind == KEY_NUMBER || crop_key[i].kind == KEY_SPREAD)
			memcpy((char *)c + crop_key[i].at, &nan_value, sizeof nan_value);
	c->rule = (struct degree_rule){.base_c = 8, .cap_c = 32, .cutoff = DEGREE_HORIZONTAL};
	c->night_line_c = 15;
	c->slow_c = 10;
	c->stall_c = 7;
	c->kill_c = 0;
	c->cover_c = 3;
	c->settle_days = 10;
	c->tray_days = 21;
}

#define MOVED(field, value) offsetof(struct crop, field), value, 0, 0
#define TWO(one, a, two, b) offsetof(struct crop, one), a, offsetof(struct crop, two), b

/* One or two figures moved; the fault, NULL where the crop stays sound. */
static const struct {
	const char *name;
	size_t at;
	double value;
	size_t at2; /* 0: one alone */
	double value2;
	const char *want;
} row[] = {
    {"as it is", MOVED(kill_c, 0), NULL},
    {"stall at slow", MOVED(stall_c, 10), NULL},
    {"slow at the night line", MOVED(slow_c, 15), NULL},
    {"bed cover at kill", MOVED(cover_c, 0), NULL},
    {"bed cover at slow", MOVED(cover_c, 10), NULL},
    {"kill at stall", MOVED(kill_c, 7), "kill (7 C, 44.6 F) is not under stall (7 C, 44.6 F); less than that"},
    {"stall over slow", MOVED(stall_c, 10.5),
     "stall (10.5 C, 50.9 F) is not under slow (10 C, 50 F); less than that, or as much"},
    {"slow over the night line", MOVED(slow_c, 15.1),
     "slow (15.1 C, 59.18 F) is not under night_line (15 C, 59 F); less than that, or as much"},
    {"bed cover under kill", MOVED(cover_c, -1),
     "kill (0 C, 32 F) is not under cover (-1 C, 30.2 F); less than that, or as much"},
    {"bed cover over slow", MOVED(cover_c, 11),
     "cover (11 C, 51.8 F) is not under slow (10 C, 50 F); less than that, or as much"},
    {"base at cap", MOVED(rule.base_c, 32), "base (32 C, 89.6 F) is not under cap (32 C, 89.6 F); less than that"},
    {"night line not known", MOVED(night_line_c, (double)NAN), "night_line is missing; as night_line = 60 F"},
    {"cap not known", MOVED(rule.cap_c, (double)NAN), "cap is missing; as cap = 30 C"},
    {"bed cover not known", MOVED(cover_c, (double)NAN), "cover is missing; as cover = 38 F"},
    {"soils in order", TWO(sow_soil_c, 16, sow_soil_good_c, 16), NULL},
    {"soils out of order", TWO(sow_soil_c, 18, sow_soil_good_c, 16),
     "sow_soil (18 C, 64.4 F) is not under sow_soil_good (16 C, 60.8 F); less than that, or as much"},
    {"emergence without its base", MOVED(emerge_dd, 70),
     "emerge_base and emerge go together; both of them, or neither"},
    {"emergence whole", TWO(emerge_base_c, 11.5, emerge_dd, 70), NULL},
    {"hardening in order", TWO(harden_night_c, 10, harden_day_c, 13), NULL},
    {"hardening out of order", TWO(harden_night_c, 13, harden_day_c, 10),
     "harden_night (13 C, 55.4 F) is not under harden_day (10 C, 50 F); less than that, or as much"},
    {"hardening nights that kill", MOVED(harden_night_c, 0),
     "kill (0 C, 32 F) is not under harden_night (0 C, 32 F); less than that"},
    {"flower before pick", TWO(female_sown_dd.likely, 475, pick_sown_dd.likely, 550), NULL},
    {"pick before flower", TWO(female_sown_dd.likely, 550, pick_sown_dd.likely, 475),
     "female_sown (550 C-days, 990 F-days) is not under pick_sown (475 C-days, 855 F-days); less than that, or as "
     "much"},
    {"pick before flower, planted", TWO(female_planted_dd.likely, 350, pick_planted_dd.likely, 300),
     "female_planted (350 C-days, 630 F-days) is not under pick_planted (300 C-days, 540 F-days); less than that, or "
     "as much"},
    {"daily in the cool", TWO(pick_daily_c, 15, pick_second_c, 21),
     "pick_second (21 C, 69.8 F) is not under pick_daily (15 C, 59 F); less than that, or as much"},
    {"shrinking roots", TWO(root_start_m, 0.5, root_depth_m, 0.4),
     "root_start (0.5 m, 1.64 ft) is not under root_depth (0.4 m, 1.312 ft); less than that, or as much"},
};

START_TEST(order)
{
	struct crop c;
	struct fault f = {0};

	sound(&c);
	memcpy((char *)&c + row[_i].at, &row[_i].value, sizeof row[_i].value);
	if (row[_i].at2)
		memcpy((char *)&c + row[_i].at2, &row[_i].value2, sizeof row[_i].value2);
	ROW_INT(row[_i].name, crop_check(&c, &f), row[_i].want ? FAULT_CONFIG : FAULT_NONE);
	ROW_STR(row[_i].name, f.text, row[_i].want ? row[_i].want : "");
}
END_TEST

START_TEST(tray)
{
	struct crop c;
	struct fault f = {0};

	sound(&c);
	c.tray_most_days = 21;
	ck_assert_int_eq(crop_check(&c, &f), FAULT_NONE);
	c.tray_most_days = 20;
	ck_assert_int_eq(crop_check(&c, &f), FAULT_CONFIG);
	ck_assert_str_eq(f.text, "tray_days (21) is not under tray_most_days (20); less than that, or as much");
}
END_TEST

START_TEST(method_and_cutoff)
{
	/* nobody defined a vertical cut-off of a simple average */
	struct crop c;
	struct fault f = {0};

	sound(&c);
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

/* One row a figure, each with its own place, and a basis of its own but for the title. */
START_TEST(rows)
{
	for (int i = 0; i < CROP_FIGURES; i++) {
		const struct key *k = &crop_key[i];

		ck_assert_msg(k->name && *k->name, "figure %d has no key", i);
		ROW_STR(k->name, crop_figure_key((enum crop_figure)i), k->name);
		ROW_TRUE(k->name, k->help && k->example);
		ROW_TRUE(k->name, k->at < sizeof(struct crop));
		ROW_TRUE(k->name, i == CROP_TITLE ? k->basis_at == 0
						  : k->basis_at == offsetof(struct crop_sheet, basis) +
								       (size_t)i * CROP_BASIS_SIZE);
		for (int j = 0; j < i; j++) {
			ROW_TRUE(k->name, strcmp(k->name, crop_key[j].name) != 0);
			ROW_TRUE(k->name, k->at != crop_key[j].at);
		}
	}
	ROW_STR("past the end", crop_figure_key(CROP_FIGURES), "");
}
END_TEST

START_TEST(figures)
{
	struct crop c;

	sound(&c);
	c.fruit_dd = (struct spread){75, 55, 110};
	ROW_NEAR("value", crop_figure(&c, CROP_STALL), 7, 0);
	ROW_NEAR("spread", crop_figure(&c, CROP_FRUIT), 75, 0);
	ROW_NEAR("count", crop_figure(&c, CROP_TRAY), 21, 0);
	ROW_TRUE("count that is missing", isnan(crop_figure(&c, CROP_TRAY_MOST)));
	ROW_TRUE("value that is missing", isnan(crop_figure(&c, CROP_KC_MID)));
	ROW_TRUE("a word is no number", isnan(crop_figure(&c, CROP_METHOD)));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("crop");
	TCase *t = tcase_create("crop");

	tcase_add_loop_test(t, order, 0, sizeof row / sizeof *row);
	tcase_add_test(t, tray);
	tcase_add_test(t, method_and_cutoff);
	tcase_add_test(t, find);
	tcase_add_test(t, rows);
	tcase_add_test(t, figures);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
