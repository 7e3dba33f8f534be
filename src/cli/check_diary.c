#include "cli/check_diary.h"

#include <string.h>

#include "base/mem.h"
#include "cli/diaryfile.h"
#include "record/diary.h"
#include "season/dates.h"

static bool dated(const struct context *c, size_t planting, const struct diary *diary)
{
	struct dates dates;
	dates_of(&c->garden, planting, diary, zone_date(&c->zone, c->now), &dates);
	return c->garden.planting[planting].start != GARDEN_START_NO || date_is(dates.first[VERB_SOWN]) ||
	       date_is(dates.first[VERB_PLANTED_OUT]);
}

static void plantings(struct context *c, struct findings *w)
{
	struct fault f = {0};
	struct entry *entries = NULL;
	struct diary diary = {NULL, 0};
	if (c->record != NULL &&
	    diary_list(c->record, c->garden.id, DIARY_STANDING, &entries, &diary.n, &f) != FAULT_NONE) {
		findings_wrong(w, "diary", &f);
		return;
	}
	diary.entry = entries;
	for (size_t i = 0; i < c->garden.plantings; i++) {
		const char *name = c->garden.planting[i].name;
		if (dated(c, i, &diary))
			continue;
		findings_head(w, "planting");
		text_addf(&w->lines,
			  "%s has no date: nothing can be said of it; dewpost diary add \"planted out %s\" gives one\n",
			  name, name);
	}
	mem_free(entries);
}

/* What the next morning takes, as it is understood. */
static void say_new(const struct diaryfile *d, struct findings *w)
{
	const char *s = d->echo.at != NULL ? d->echo.at : "";
	for (size_t n; *s != '\0'; s += n + (s[n] == '\n')) {
		n = strcspn(s, "\n");
		findings_head(w, "");
		text_add_n(&w->lines, s, n);
		text_add(&w->lines, "\n");
	}
}

static void file(struct context *c, struct findings *w)
{
	struct diaryfile d;
	struct fault f = {0};
	if (c->garden.diary[0] == '\0')
		return;
	if (diaryfile_look(c, &d, &f) != FAULT_NONE) {
		findings_wrong(w, "diary", &f);
	} else {
		findings_head(w, "diary");
		text_addf(&w->lines, "%s%s: %zu line%s, %zu taken before, %zu for the next morning%s\n",
			  d.refused.n == 0 ? "fine: " : "", c->garden.diary, d.lines, d.lines == 1 ? "" : "s", d.known,
			  d.taken, d.taken > 0 ? ":" : "");
		say_new(&d, w);
		findings_all_wrong(w, "diary", &d.refused);
	}
	diaryfile_free(&d);
}

void check_diary(struct context *c, struct findings *w)
{
	plantings(c, w);
	file(c, w);
}
