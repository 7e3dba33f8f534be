/*
 * A station file given as bytes, read; and a day or an hour of what came out.
 */
#ifndef TESTS_LIB_STATIONBED_H
#define TESTS_LIB_STATIONBED_H

#include "source/stationfile.h"

enum { STATIONBED_NOW = 1780000000 }; /* 2026-05-28 */

struct stationbed {
	struct mapping how;
	struct zone zone; /* America/Chicago, unless told otherwise */
	struct stationfile file;
	struct fault f;
	enum fault_code code;
};

void stationbed_init(struct stationbed *b);

/* One option, which must be right. */
void stationbed_set(struct stationbed *b, enum mapping_key k, const char *value);

/* The file is called "f.csv". */
void stationbed_read(struct stationbed *b, const char *bytes, size_t n);
void stationbed_read_text(struct stationbed *b, const char *text);
void stationbed_read_path(struct stationbed *b, const char *path);
void stationbed_free(struct stationbed *b);

/* A day of a station, all missing where there is none. */
struct station_day stationbed_day(const struct stationbed *b, const char *station, const char *date);

/* A value of an hour ("2026-05-12T05:00:00Z"), NaN where there is none. */
double stationbed_hour(const struct stationbed *b, enum var v, const char *hour);

#endif
