#include "lib/stationbed.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"

void stationbed_init(struct stationbed *b)
{
	memset(b, 0, sizeof *b);
	mapping_init(&b->how);
	ck_assert_int_eq(zone_load("America/Chicago", -2208988800, STATIONBED_NOW, &b->zone, &b->f), FAULT_NONE);
}

void stationbed_set(struct stationbed *b, enum mapping_key k, const char *value)
{
	ck_assert_msg(mapping_set(&b->how, k, value, &b->f) == FAULT_NONE, "%s: %s", value, b->f.text);
}

static struct stationfile_job job_of(const struct stationbed *b, const char *file)
{
	return (struct stationfile_job){.file = file, .how = &b->how, .zone = &b->zone, .now = STATIONBED_NOW};
}

void stationbed_read(struct stationbed *b, const char *bytes, size_t n)
{
	struct linefile l;
	struct stationfile_job job = job_of(b, "f.csv");
	stationbed_free(b);
	memset(&b->file, 0, sizeof b->file);
	b->f = (struct fault){0};
	ck_assert_int_eq(linefile_over(&l, bytes, n, &b->f), FAULT_NONE);
	b->code = stationfile_lines(&job, &l, &b->file, &b->f);
	linefile_close(&l);
}

void stationbed_read_text(struct stationbed *b, const char *text)
{
	stationbed_read(b, text, strlen(text));
}

void stationbed_read_path(struct stationbed *b, const char *path)
{
	struct stationfile_job job = job_of(b, path);
	stationbed_free(b);
	b->f = (struct fault){0};
	b->code = stationfile_read(&job, &b->file, &b->f);
}

void stationbed_free(struct stationbed *b)
{
	stationfile_free(&b->file);
}

struct station_day stationbed_day(const struct stationbed *b, const char *station, const char *date)
{
	struct date d, at;
	struct fault f;
	struct station_day day;
	ck_assert_int_eq(date_parse(date, &d, &f), FAULT_NONE);
	for (size_t i = 0; i < b->file.days.n; i++) {
		at = d;
		if (strcmp(b->file.days.series[i].id, station) == 0 &&
		    stationdays_next(&b->file.days.series[i], &at, &day) && day.date.n == d.n)
			return day;
	}
	return (struct station_day){
	    .tmin_c = (double)NAN, .tmax_c = (double)NAN, .rain_mm = (double)NAN, .observed_hhmm = -1};
}

double stationbed_hour(const struct stationbed *b, enum var v, const char *hour)
{
	struct hours page;
	struct fault f;
	int64_t t;
	double x = (double)NAN;
	ck_assert_int_eq(instant_rfc3339(hour, &t, &f), FAULT_NONE);
	ck_assert_int_eq(hours_init(&page, 0, STATIONHOURS_PAGE, &f), FAULT_NONE);
	for (size_t at = 0; stationhours_page(&b->file.hours, &at, &page);)
		if (!isnan(hours_get(&page, v, t)))
			x = hours_get(&page, v, t);
	hours_free(&page);
	return x;
}
