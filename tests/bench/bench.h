/*
 * Speed, each case with its floor beside it.  Medians of several rounds; not a test.
 */
#ifndef TESTS_BENCH_BENCH_H
#define TESTS_BENCH_BENCH_H

#include <stddef.h>

enum { BENCH_ROUNDS = 7 };

double bench_now(void); /* seconds, monotonic */
double bench_cpu(void); /* seconds of one core, whatever else the machine does; for cases that only reckon */

/* Sorts s. */
double bench_median(double *s, size_t n);

/* One line: the case, our median, the floor's, and their ratio beside what it may be (0: just told). */
void bench_line(const char *name, double ours_s, const char *floor, double floor_s, double at_most);

/* Run one process with its output thrown away: its wall time, and its greatest memory if that is more. */
double bench_process(const char *const *argv, long *most_kib);

/* The cases, a file each. */
void bench_answer(void);
void bench_chain(void);
void bench_evapo(void);
void bench_gardens(void);
void bench_ingest(void);
void bench_leaf(void);
void bench_morning(void);
void bench_plantout(void);
void bench_station(void);

#endif
