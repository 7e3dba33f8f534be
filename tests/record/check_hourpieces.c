/* A long series put piece by piece: all of it or nothing, in one transaction. */
#include <math.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"

enum { T0 = 1747008000, PIECE = 100, PIECES = 5, BAD_C = 99 }; /* 2025-05-12T00:00Z */

static struct scratchrecord scratch;

static void set_up(void)
{
	scratchrecord_open(&scratch);
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

/* Pieces of one memory, written anew for each; the one numbered bad has a value out of range. */
struct source {
	struct hours page;
	int at, bad;
};

static const struct hours *next(void *with)
{
	struct source *s = with;
	if (s->at == PIECES)
		return NULL;
	s->page.first = T0 + (int64_t)s->at * PIECE * HOUR_S;
	for (int i = 0; i < PIECE; i++)
		hours_set(&s->page, VAR_AIR_TEMPERATURE, s->page.first + (int64_t)i * HOUR_S,
			  s->at == s->bad ? BAD_C : s->at + i / 1000.0, ORIGIN_OBSERVED);
	s->at++;
	return &s->page;
}

static enum fault_code put(int bad, struct fault *f)
{
	struct source s = {.bad = bad};
	ck_assert_int_eq(hours_init(&s.page, T0, PIECE, f), FAULT_NONE);
	enum fault_code code = hourstore_put_pieces(scratch.rec, scratch.place, next, &s, RANK_OBSERVED, T0, f);
	hours_free(&s.page);
	return code;
}

static void known(struct hours *h)
{
	struct fault f;
	int64_t end = T0 + (int64_t)PIECES * PIECE * HOUR_S;
	ck_assert_int_eq(hourstore_known(scratch.rec, scratch.place, T0, end, end, h, NULL, &f), FAULT_NONE);
}

START_TEST(all_pieces_come_in)
{
	struct fault f;
	struct hours h;
	ck_assert_int_eq(put(-1, &f), FAULT_NONE);
	known(&h);
	for (size_t i = 0; i < h.n; i++) {
		ROW_MSG(h.value[VAR_AIR_TEMPERATURE][i] == (double)(i / PIECE) + (double)(i % PIECE) / 1000.0,
			"hour %zu", i);
		ROW_MSG(h.origin[VAR_AIR_TEMPERATURE][i] == ORIGIN_OBSERVED, "hour %zu", i);
	}
	hours_free(&h);
}
END_TEST

START_TEST(a_bad_piece_leaves_nothing)
{
	struct fault f;
	struct hours h;
	ck_assert_int_eq(put(_i, &f), FAULT_DATA);
	known(&h);
	for (size_t i = 0; i < h.n; i++)
		ROW_MSG(isnan(h.value[VAR_AIR_TEMPERATURE][i]), "piece %d, hour %zu", _i, i);
	hours_free(&h);
	/* No transaction is left open. */
	ck_assert_int_eq(put(-1, &f), FAULT_NONE);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record/hourpieces");
	TCase *t = tcase_create("pieces");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, all_pieces_come_in);
	tcase_add_loop_test(t, a_bad_piece_leaves_nothing, 0, PIECES);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
