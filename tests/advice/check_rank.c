#include <string.h>

#include "advice/rank.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;
static struct lines lines;

static void begin(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	list.n = 0;
}

/* Advise on what stands in the garden, all of it news. */
static void rank(const double *low_f, size_t n)
{
	bed_state(&garden, &state);
	bed_nights(&state, 0, low_f, n);
	advice_all(&garden, &state, &list);
	for (size_t i = 0; i < list.n; i++)
		list.at[i].news = true;
	rank_lines(&list, &lines);
}

static unsigned lot(unsigned *seed, unsigned below)
{
	*seed = *seed * 1103515245u + 12345u;
	return (*seed >> 16) % below;
}

/* The order does not hang on the order of the list: shuffled, the same lines come out. */
START_TEST(total_order)
{
	static struct advice_list shuffled;
	static struct lines other;
	unsigned seed = 7;
	for (int round = 0; round < 200; round++) {
		begin();
		for (int i = 0; i < 8; i++) {
			size_t p =
			    bed_planting(&garden, &crops, "p", lot(&seed, 2) ? "gourdlet" : "redberry", "2026-04-10",
					 lot(&seed, 2)   ? ""
					 : lot(&seed, 2) ? "2026-05-01"
							 : "2026-05-17");
			garden.planting[p].figures.night_line_c = bed_c(60 + lot(&seed, 4));
		}
		double low[9];
		for (int i = 0; i < 9; i++)
			low[i] = lot(&seed, 8) == 0 ? (double)NAN : 30 + lot(&seed, 40);
		rank(low, 9);
		shuffled = list;
		for (size_t i = shuffled.n; i > 1; i--) {
			size_t k = lot(&seed, (unsigned)i);
			struct advice a = shuffled.at[i - 1];
			shuffled.at[i - 1] = shuffled.at[k];
			shuffled.at[k] = a;
		}
		rank_lines(&shuffled, &other);
		ck_assert_uint_eq(other.n, lines.n);
		ck_assert_uint_eq(other.left_out, lines.left_out);
		for (size_t k = 0; k < lines.n; k++) {
			ck_assert_uint_eq(other.at[k].n, lines.at[k].n);
			ck_assert_uint_eq(other.at[k].again_n, lines.at[k].again_n);
			for (size_t i = 0; i < lines.at[k].n; i++) {
				const struct advice *a = lines.at[k].of[i], *b = other.at[k].of[i];
				ck_assert(a->planting == b->planting && a->day.n == b->day.n &&
					  a->verdict == b->verdict);
			}
		}
	}
}
END_TEST

START_TEST(same_advice_is_one_line)
{
	begin();
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "b", "redberry", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "c", "gourdlet", "2026-04-20", "");
	bed_planting(&garden, &crops, "d", "gourdlet", "2026-04-20", "");
	rank((const double[]){34, 50, 33, 50, 50}, 5);
	ck_assert_uint_eq(lines.n, 2);
	ROW_INT("cover", lines.at[0].lead->verdict, VERDICT_COVER);
	ROW_INT("cover", lines.at[0].n, 2);
	ROW_INT("cover", lines.at[0].of[0]->planting, 0);
	ROW_INT("cover", lines.at[0].of[1]->planting, 1);
	ROW_INT("cover again", lines.at[0].again_n, 1);
	ROW_INT("cover again", date_diff(lines.at[0].again[0]->day, state.today), 2);
	ROW_INT("wait", lines.at[1].lead->verdict, VERDICT_WAIT);
	ROW_INT("wait", lines.at[1].n, 2);
	ROW_INT("wait", lines.at[1].of[1]->planting, 3);
	ROW_INT("left out", lines.left_out, 0);
}
END_TEST

START_TEST(other_lines_stand_alone)
{
	begin();
	bed_planting(&garden, &crops, "c", "gourdlet", "2026-04-20", "");
	bed_planting(&garden, &crops, "d", "redberry", "2026-04-20", "");
	rank((const double[]){50, 50, 50, 50, 50}, 5);
	ck_assert_uint_eq(lines.n, 2);
	ROW_NEAR("60", lines.at[0].lead->line_c, bed_c(60), 1e-9);
	ROW_NEAR("55", lines.at[1].lead->line_c, bed_c(55), 1e-9);
}
END_TEST

/* Cold nights are the same for all that want the same of them; where one would stall a plant, its own line counts. */
START_TEST(cold_nights_are_one_line)
{
	begin();
	size_t a = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	size_t b = bed_planting(&garden, &crops, "b", "gourdlet", "2026-04-20", "");
	garden.planting[b].figures.stall_c = garden.planting[a].figures.stall_c + 1;
	rank((const double[]){50, 50, 50, 50, 50}, 5);
	ck_assert_uint_eq(lines.n, 1);
	ROW_INT("both", lines.at[0].n, 2);
	rank((const double[]){70, 70, 43, 70, 70}, 5);
	ck_assert_uint_eq(lines.n, 2);
	garden.planting[b].figures.night_line_c = bed_c(58);
	rank((const double[]){50, 50, 50, 50, 50}, 5);
	ck_assert_uint_eq(lines.n, 2);
}
END_TEST

/* New or not, all that stands outside is covered by one look at the sky. */
START_TEST(one_look_at_the_sky)
{
	begin();
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "b", "gourdlet", "2026-04-10", "2026-05-18");
	rank(&(double){NAN}, 1);
	ck_assert_uint_eq(lines.n, 1);
	ROW_INT("look", lines.at[0].lead->verdict, VERDICT_LOOK);
	ROW_INT("both", lines.at[0].n, 2);
}
END_TEST

/* What is due first comes first; where there is nothing to do, last. */
START_TEST(order)
{
	begin();
	bed_planting(&garden, &crops, "wait", "gourdlet", "2026-04-20", "");
	bed_planting(&garden, &crops, "plant", "redberry", "2026-04-20", "");
	bed_planting(&garden, &crops, "cover", "gourdlet", "2026-04-10", "2026-05-18");
	garden.planting[1].figures.stall_c = bed_c(30);
	rank((const double[]){60, 43, 62, 61, 62, 50}, 6);
	ck_assert_uint_eq(lines.n, 3);
	ROW_INT("today", lines.at[0].lead->verdict, VERDICT_PLANT);
	ROW_INT("tomorrow", lines.at[1].lead->verdict, VERDICT_COVER);
	ROW_INT("nothing to do", lines.at[2].lead->verdict, VERDICT_WAIT);
	rank((const double[]){44, 61, 62, 63, 62, 50}, 6);
	ROW_INT("tonight's frost before planting", lines.at[0].lead->verdict, VERDICT_COVER);
	ROW_INT("tonight's frost before planting", lines.at[1].lead->verdict, VERDICT_PLANT);
}
END_TEST

START_TEST(what_repeats)
{
	begin();
	bed_planting(&garden, &crops, "wait", "gourdlet", "2026-04-20", "");
	bed_planting(&garden, &crops, "cover", "gourdlet", "2026-04-10", "2026-05-18");
	rank((const double[]){34, 50, 50, 50, 50}, 5);
	for (size_t i = 0; i < list.n; i++)
		list.at[i].news = false;
	rank_lines(&list, &lines);
	ck_assert_uint_eq(lines.n, 1);
	ROW_INT("repeats", lines.at[0].lead->verdict, VERDICT_COVER);
}
END_TEST

/* A later night of a planting that already has a line goes to that line; another planting's makes its own. */
START_TEST(later_nights)
{
	begin();
	bed_planting(&garden, &crops, "old", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "new", "gourdlet", "2026-04-10", "2026-05-17");
	rank((const double[]){50, 43, 34, 50}, 4);
	/* new: tomorrow by the stall line, then the night after; old: the night after. */
	ck_assert_uint_eq(lines.n, 2);
	ROW_INT("new", lines.at[0].lead->planting, 1);
	ROW_INT("new", lines.at[0].n, 1);
	ROW_INT("new again", lines.at[0].again_n, 1);
	ROW_INT("old", lines.at[1].lead->planting, 0);
	ROW_INT("old", lines.at[1].n, 1);
}
END_TEST

/* Another's later night is no reason to cover what stands longer outside: it makes a line of its own. */
START_TEST(later_nights_of_some)
{
	begin();
	bed_planting(&garden, &crops, "old", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "new", "gourdlet", "2026-04-10", "2026-05-17");
	rank((const double[]){34, 43, 33, 50}, 4);
	ck_assert_uint_eq(lines.n, 2);
	ROW_INT("tonight", lines.at[0].n, 2);
	ROW_INT("both again", lines.at[0].again_n, 1);
	ROW_INT("both again", date_diff(lines.at[0].again[0]->day, state.today), 2);
	ROW_INT("tomorrow", lines.at[1].n, 1);
	ROW_INT("tomorrow", lines.at[1].lead->planting, 1);
	ROW_INT("tomorrow", date_diff(lines.at[1].lead->day, state.today), 1);
	ROW_INT("said once", lines.at[1].again_n, 0);
}
END_TEST

/* What reads otherwise is another line: one is too young, the other waits for the nights of the same day. */
START_TEST(the_young_wait_for_themselves)
{
	begin();
	bed_planting(&garden, &crops, "young", "gourdlet", "2026-04-30", "");
	bed_planting(&garden, &crops, "grown", "gourdlet", "2026-04-20", "");
	rank((const double[]){50, 50, 60, 60, 60, 60, 60, 60}, 8);
	ck_assert_uint_eq(lines.n, 2);
	bed_planting(&garden, &crops, "young too", "gourdlet", "2026-04-30", "");
	rank((const double[]){50, 50, 60, 60, 60, 60, 60, 60}, 8);
	ck_assert_uint_eq(lines.n, 2);
	ROW_INT("of one age", lines.at[0].n + lines.at[1].n, 3);
	bed_planting(&garden, &crops, "a day older", "gourdlet", "2026-04-29", "");
	rank((const double[]){50, 50, 60, 60, 60, 60, 60, 60}, 8);
	ck_assert_uint_eq(lines.n, 3);
}
END_TEST

/* Where nothing can be told there is no line to tell it by. */
START_TEST(nothing_known_is_one_line)
{
	begin();
	bed_planting(&garden, &crops, "c", "gourdlet", "2026-04-20", "");
	bed_planting(&garden, &crops, "d", "redberry", "2026-04-20", "");
	rank(NULL, 0);
	ck_assert_uint_eq(lines.n, 1);
	ROW_INT("both", lines.at[0].n, 2);
	bed_planting(&garden, &crops, "out", "redberry", "2026-04-20", "2026-05-01");
	rank(NULL, 0);
	ck_assert_uint_eq(lines.n, 2);
	ROW_INT("first what can freeze", lines.at[0].lead->verdict, VERDICT_LOOK);
}
END_TEST

/* Lines are counted, not plantings: what says the same would have been one, a later night would have joined. */
START_TEST(left_out)
{
	begin();
	for (int i = 0; i < 14; i++) {
		size_t p = bed_planting(&garden, &crops, "p", "gourdlet", "2026-04-20", "");
		garden.planting[p].figures.night_line_c = bed_c(60 + i / 2);
	}
	rank((const double[]){50, 50, 50, 50, 50}, 5);
	ROW_INT("pairs", lines.n, RANK_LINES);
	ROW_INT("pairs", lines.left_out, 2);
}
END_TEST

START_TEST(at_most_five)
{
	begin();
	static const char *const out[] = {"2026-05-01", "2026-05-18"};
	for (int i = 0; i < 20; i++) {
		size_t p = bed_planting(&garden, &crops, "p", i % 2 ? "gourdlet" : "redberry", "2026-04-10",
					i % 4 == 0 ? "" : out[i % 2]);
		garden.planting[p].figures.night_line_c = bed_c(60 + i);
	}
	rank((const double[]){50, 43, 44, 34, 50}, 5);
	ROW_INT("five", lines.n, RANK_LINES);
	ROW_TRUE("more are counted", lines.left_out > 0);
	size_t told = 0;
	for (size_t k = 0; k < lines.n; k++)
		told += lines.at[k].n;
	ROW_TRUE("no planting is told twice", told <= 20);
}
END_TEST

/* Every advice that is to be said is in a line, is a further night of one, or is counted as left out. */
START_TEST(nothing_is_lost)
{
	unsigned seed = 12345;
	for (int round = 0; round < 200; round++) {
		begin();
		for (int i = 0; i < 6; i++) {
			seed = seed * 1103515245u + 12345u;
			bed_planting(&garden, &crops, "p", (seed >> 16) % 2 ? "gourdlet" : "redberry", "2026-04-10",
				     (seed >> 20) % 3 == 0   ? ""
				     : (seed >> 20) % 3 == 1 ? "2026-05-01"
							     : "2026-05-17");
		}
		double low[8];
		for (int i = 0; i < 8; i++) {
			seed = seed * 1103515245u + 12345u;
			low[i] = 30 + (double)((seed >> 16) % 36);
		}
		rank(low, 8);
		for (size_t k = 1; k < lines.n; k++) {
			const struct advice *a = lines.at[k - 1].lead, *b = lines.at[k].lead;
			bool wait_a = a->verdict == VERDICT_WAIT, wait_b = b->verdict == VERDICT_WAIT;
			ck_assert(!wait_a || wait_b);
			ck_assert(wait_a || wait_b || date_diff(b->day, a->day) >= 0);
		}
		/* One before the other or the other before the one, and what is said is said in one place. */
		size_t said = 0;
		for (size_t k = 0; k < lines.n; k++) {
			said += lines.at[k].n;
			for (size_t i = 1; i < lines.at[k].n; i++)
				ck_assert_uint_lt(lines.at[k].of[i - 1]->planting, lines.at[k].of[i]->planting);
			for (size_t i = 1; i < lines.at[k].again_n; i++) {
				ck_assert_int_gt(date_diff(lines.at[k].again[i]->day, lines.at[k].again[i - 1]->day),
						 0);
			}
			ck_assert(lines.at[k].again_n == 0 || lines.at[k].lead->verdict == VERDICT_COVER);
		}
		ck_assert_uint_le(said, list.n);
		bool seen[6] = {false};
		for (size_t k = 0; k < lines.n; k++)
			for (size_t i = 0; i < lines.at[k].n; i++)
				seen[lines.at[k].of[i]->planting] = true;
		for (size_t i = 0; i < list.n && lines.left_out == 0; i++)
			ck_assert(seen[list.at[i].planting]);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("rank");
	TCase *t = tcase_create("rank");
	tcase_add_test(t, same_advice_is_one_line);
	tcase_add_test(t, other_lines_stand_alone);
	tcase_add_test(t, cold_nights_are_one_line);
	tcase_add_test(t, one_look_at_the_sky);
	tcase_add_test(t, order);
	tcase_add_test(t, what_repeats);
	tcase_add_test(t, later_nights);
	tcase_add_test(t, later_nights_of_some);
	tcase_add_test(t, the_young_wait_for_themselves);
	tcase_add_test(t, nothing_known_is_one_line);
	tcase_add_test(t, left_out);
	tcase_add_test(t, at_most_five);
	tcase_add_test(t, total_order);
	tcase_add_test(t, nothing_is_lost);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
