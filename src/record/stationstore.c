#include "record/stationstore.h"

#include "base/instant.h"
#include "record/db.h"

static enum fault_code put_day(struct query *q, const struct station_day *d, struct fault *f)
{
	query_again(q, 1);
	query_text(q, d->station);
	query_int(q, d->date.n);
	query_real(q, d->tmin_c);
	query_real(q, d->tmax_c);
	query_real(q, d->rain_mm);
	query_instant(q, d->observed_hhmm < 0 ? INSTANT_NONE : d->observed_hhmm);
	if (query_run(q, NULL, f) == FAULT_NONE)
		return FAULT_NONE;
	char text[DATE_TEXT_SIZE];
	return fault_place(f, "station %s, %s: ", d->station, date_text(d->date, text));
}

enum fault_code stationstore_put(struct record *rec, int64_t place, const struct station_day *days, size_t n,
				 struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_STATION_PUT), f);
	if (code == FAULT_NONE)
		query_int(&q, place);
	for (size_t i = 0; i < n && code == FAULT_NONE; i++)
		code = put_day(&q, &days[i], f);
	query_close(&q);
	return db_end(rec, code, f);
}

static void read_day(struct query *q, void *element)
{
	struct station_day *d = element;
	query_get_text(q, 0, d->station, sizeof d->station);
	d->date.n = (int32_t)query_get_int(q, 1);
	d->tmin_c = query_get_real(q, 2);
	d->tmax_c = query_get_real(q, 3);
	d->rain_mm = query_get_real(q, 4);
	int64_t hhmm = query_get_instant(q, 5);
	d->observed_hhmm = hhmm == INSTANT_NONE ? -1 : (int)hhmm;
}

enum fault_code stationstore_list(struct record *rec, int64_t place, const char *station, struct date from,
				  struct date to, struct station_day **days, size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_STATION_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, station);
		query_int(&q, from.n);
		query_int(&q, to.n);
		code = query_list(&q, sizeof **days, read_day, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*days = list;
	return code;
}
