#include "advice/news.h"
#include "lib/bed.h"
#include "lib/harness.h"

/* News and changes among lines about seed and trays.  19 May 2026 is a Tuesday. */

enum { NO_DAY = 9999 };

static struct season_state now, before;
static struct advice_list today, said;
static struct changes changes;

static void line(struct advice_list *list, enum verdict v, int day, bool cannot_tell)
{
	bool tray = v >= VERDICT_POT_ON && v <= VERDICT_FEED;
	list->n = 0;
	if (v == VERDICTS)
		return;
	struct advice *a = advice_add(list, tray ? DECISION_TRAY : DECISION_SOW, v, 0);
	a->day = day == NO_DAY ? date_none() : bed_day(day);
	a->cannot_tell = cannot_tell;
	a->rule = CROP_SOW_SOIL_GOOD;
}

static const struct {
	const char *name;
	int day; /* of the note, days after 19 May */
	enum verdict was;
	int was_day;
	enum verdict is;
	int is_day;
	bool cannot_tell, news;
	int changes;
} rows[] = {
    {"begins", 0, VERDICTS, 0, VERDICT_SOW, 14, false, true, 0},
    {"goes on", 0, VERDICT_SOW, 14, VERDICT_SOW, 14, false, false, 0},
    {"its day moves with the days", 0, VERDICT_SOW, -1, VERDICT_SOW, 0, false, false, 0},
    {"on a Saturday", 4, VERDICT_SOW, 14, VERDICT_SOW, 14, false, true, 0},
    {"on its last day", 14, VERDICT_SOW, 14, VERDICT_SOW, 14, false, true, 0},
    {"wait goes on", 0, VERDICT_WAIT_SOWING, 9, VERDICT_WAIT_SOWING, 9, false, false, 0},
    {"wait on a Saturday", 4, VERDICT_WAIT_SOWING, 9, VERDICT_WAIT_SOWING, 9, false, true, 0},
    {"within the dead band", 0, VERDICT_WAIT_SOWING, 9, VERDICT_WAIT_SOWING, 10, false, false, 0},
    {"over it", 0, VERDICT_WAIT_SOWING, 9, VERDICT_WAIT_SOWING, 11, false, true, 1},
    {"a day comes into sight", 0, VERDICT_WAIT_SOWING, NO_DAY, VERDICT_WAIT_SOWING, 9, false, true, 0},
    {"a day went", 0, VERDICT_WAIT_SOWING, 9, VERDICT_WAIT_SOWING, NO_DAY, false, true, 1},
    {"due and not kept", 0, VERDICT_WAIT_SOWING, 0, VERDICT_WAIT_SOWING, 1, false, true, 1},
    {"cold again", 0, VERDICT_SOW, -1, VERDICT_WAIT_SOWING, 3, false, true, 1},
    {"cannot be told any more", 0, VERDICT_SOW, -1, VERDICT_WAIT_SOWING, NO_DAY, true, true, 0},
    {"cannot be told, still", 0, VERDICT_WAIT_SOWING, NO_DAY, VERDICT_WAIT_SOWING, NO_DAY, true, false, 0},
    {"nor on most Saturdays", 4, VERDICT_WAIT_SOWING, NO_DAY, VERDICT_WAIT_SOWING, NO_DAY, true, false, 0},
    {"but on the first of a month", 18, VERDICT_WAIT_SOWING, NO_DAY, VERDICT_WAIT_SOWING, NO_DAY, true, true, 0},
    {"may be sown", 0, VERDICT_WAIT_SOWING, 0, VERDICT_SOW, 0, false, true, 0},
    {"test goes on", 0, VERDICT_TEST, 9, VERDICT_TEST, 9, false, false, 0},
    {"test on a Saturday", 4, VERDICT_TEST, 9, VERDICT_TEST, 9, false, true, 0},
    {"grey spell goes on", 0, VERDICT_DRIER, -1, VERDICT_DRIER, 0, false, false, 0},
    {"potting on is told once", 4, VERDICT_POT_ON, 9, VERDICT_POT_ON, 9, false, false, 0},
};

START_TEST(news)
{
	line(&said, rows[_i].was, rows[_i].was_day, false);
	line(&today, rows[_i].is, rows[_i].is_day, rows[_i].cannot_tell);
	now.today = bed_day(rows[_i].day);
	before.today = bed_day(rows[_i].day - 1);
	news_mark(&today, &now, &said, &before, &changes);
	ROW_INT(rows[_i].name, today.at[0].news, rows[_i].news);
	ROW_INT(rows[_i].name, changes.n, rows[_i].changes);
}
END_TEST

/* "At the earliest" is no promise: it is not owned up to when the soil is cold on that day. */
START_TEST(no_promise)
{
	line(&said, VERDICT_WAIT_SOWING, 0, false);
	advice_step(&said.at[0], STEP_FROST_TENTH, 30, bed_day(7));
	line(&today, VERDICT_WAIT_SOWING, NO_DAY, false);
	now.today = bed_day(0);
	news_mark(&today, &now, &said, &before, &changes);
	ROW_INT("told", today.at[0].news, true);
	ROW_INT("not owned", changes.n, 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("news_sow");
	TCase *t = tcase_create("news_sow");
	tcase_add_loop_test(t, news, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, no_promise);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
