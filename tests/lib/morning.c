#include "lib/morning.h"

#include "base/instant.h"

struct morning morning;

void morning_setup(void)
{
	bed_crops(&morning.crops);
	bed_garden(&morning.garden, UNIT_US);
	zone_fixed("Test/Lane", -5 * HOUR_S, &morning.zone);
	morning.facts = (struct note_facts){.garden = &morning.garden,
					    .crops = &morning.crops,
					    .zone = &morning.zone,
					    .state = &morning.state,
					    .lines = &morning.lines,
					    .changes = &morning.changes};
	text_over(&morning.t, morning.mem, sizeof morning.mem);
}

void morning_again(bool before)
{
	advice_all(&morning.garden, &morning.state, &morning.today);
	morning.said.n = 0;
	if (before)
		advice_all(&morning.garden, &morning.before, &morning.said);
	news_mark(&morning.today, &morning.state, &morning.said, before ? &morning.before : NULL, &morning.changes);
	rank_lines(&morning.today, &morning.lines);
}

void morning_compose(const double *low_f, size_t n, const double *was_f)
{
	bed_state(&morning.garden, &morning.state);
	bed_nights(&morning.state, 0, low_f, n);
	if (was_f != NULL) {
		struct season_state *b = &morning.before;
		bed_state(&morning.garden, b);
		b->today = bed_day(-1);
		b->cut -= DAY_S;
		for (int i = 0; i < STATE_NIGHTS; i++)
			b->night[i].evening = date_add(b->night[i].evening, -1);
		for (size_t i = 0; i < b->plantings; i++) {
			b->planting[i].days--;
			b->planting[i].age_days--;
		}
		bed_nights(b, 0, was_f, n + 1);
	}
	morning_again(was_f != NULL);
}

const char *morning_note(void)
{
	text_clear(&morning.t);
	note_write(&morning.facts, &morning.t);
	ck_assert(!morning.t.full);
	return morning.t.at;
}

const char *morning_flat(void)
{
	static char out[sizeof morning.mem];
	size_t n = 0;
	for (const char *p = morning.t.at; *p != '\0'; p++) {
		bool blank = *p == '\n' || *p == ' ';
		if (!blank || (n > 0 && out[n - 1] != ' '))
			out[n++] = blank ? ' ' : *p;
	}
	out[n] = '\0';
	return out;
}
