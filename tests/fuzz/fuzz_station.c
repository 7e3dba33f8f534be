/*
 * Any bytes through the readers of station files: what is kept is sound, what is
 * refused is said, and the counts add up.  The first byte chooses what is known
 * of the file.
 */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "source/stationfile.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { NOW = 1780000000, WAYS = 5 };

static void set(struct mapping *m, enum mapping_key k, const char *value)
{
	struct fault f;
	enum fault_code code = mapping_set(m, k, value, &f);
	assert(code == FAULT_NONE);
	(void)code;
}

static void set_way(struct mapping *m, unsigned way)
{
	mapping_init(m);
	if (way == 1)
		set(m, MAPPING_KEY_COLUMNS, "time=time, air_temperature=t F, precipitation_amount=r in");
	if (way == 2)
		set(m, MAPPING_KEY_COLUMNS, "time=1, air_temperature=2 C, precipitation_amount=3 mm");
	if (way == 2)
		set(m, MAPPING_KEY_STEP, "15min");
	if (way == 3)
		set(m, MAPPING_KEY_COLUMNS, "date=1, low=2 F, high=3 F, rain=4 in");
	if (way == 4)
		set(m, MAPPING_KEY_COLUMNS, "date=1, clock=2, air_temperature=3 C");
	if (way == 4)
		set(m, MAPPING_KEY_TIME_FORMAT, "%m/%d/%y %I:%M %p");
	set(m, MAPPING_KEY_STAMP, "end");
	set(m, MAPPING_KEY_DECIMAL, way == 2 ? "comma" : "point");
}

static void check_list(const struct faults *list)
{
	for (size_t i = 0; i < list->n; i++) {
		const char *text = list->at[i].text;
		assert(strncmp(text, "f.csv:", 6) == 0 && strlen(text) < FAULT_TEXT_SIZE);
	}
}

static void check_tally(const struct tally *t)
{
	assert(t->bad <= t->rows);
	assert(t->bad_lines.n + t->bad_lines.more <= t->bad);
	check_list(&t->bad_lines);
	check_list(&t->odd_lines);
}

static size_t check_days(const struct stationdays *days)
{
	size_t values = 0;
	struct station_day d;
	for (size_t i = 0; i < days->n; i++) {
		struct date at = stationdays_begin(), last = date_none();
		while (stationdays_next(&days->series[i], &at, &d)) {
			assert(!date_is(last) || date_diff(d.date, last) > 0);
			assert(strlen(d.station) > 0 && strlen(d.station) < STATION_ID_SIZE);
			assert(isnan(d.tmin_c) || (d.tmin_c >= -90 && d.tmin_c <= 70));
			assert(isnan(d.tmax_c) || (d.tmax_c >= -90 && d.tmax_c <= 70));
			assert(isnan(d.rain_mm) || (d.rain_mm >= 0 && d.rain_mm <= 2000));
			assert(isnan(d.tmin_c) || isnan(d.tmax_c) || d.tmin_c <= d.tmax_c);
			assert(d.observed_hhmm >= -1 && d.observed_hhmm <= 2400);
			values += (size_t)!isnan(d.tmin_c) + (size_t)!isnan(d.tmax_c) + (size_t)!isnan(d.rain_mm);
			last = d.date;
		}
	}
	return values;
}

static size_t check_hours(const struct stationhours *h)
{
	size_t values = 0;
	struct hours page;
	struct fault f;
	enum fault_code code = hours_init(&page, 0, STATIONHOURS_PAGE, &f);
	assert(code == FAULT_NONE);
	(void)code;
	for (size_t at = 0; stationhours_page(h, &at, &page);)
		for (int v = 0; v < VARS; v++)
			for (size_t i = 0; i < page.n; i++) {
				double x = page.value[v][i];
				assert(isnan(x) ? page.origin[v][i] == ORIGIN_NONE
						: var_in_range((enum var)v, x) && page.origin[v][i] == ORIGIN_OBSERVED);
				values += isnan(x) ? 0 : 1;
			}
	hours_free(&page);
	return values;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct mapping how;
	static struct zone zone;
	static struct stationfile out;
	struct stationfile_job job = {.file = "f.csv", .how = &how, .zone = &zone, .now = NOW};
	struct linefile l;
	struct fault f = {0};
	if (size == 0)
		return 0;
	set_way(&how, data[0] % WAYS);
	if (zone.n == 0 && zone_load("America/Chicago", 0, NOW, &zone, &f) != FAULT_NONE)
		zone_fixed("UTC", 0, &zone);
	memset(&out, 0, sizeof out);
	enum fault_code code = linefile_over(&l, (const char *)data + 1, size - 1, &f);
	if (code == FAULT_NONE)
		code = stationfile_lines(&job, &l, &out, &f);
	check_tally(&out.tally);
	if (code == FAULT_NONE)
		assert(out.tally.values > 0 &&
		       out.tally.values ==
			   (out.kind == STATIONFILE_HOURS ? check_hours(&out.hours) : check_days(&out.days)));
	else
		assert(strncmp(f.text, "f.csv: ", 7) == 0);
	stationfile_free(&out);
	linefile_close(&l);
	return 0;
}
