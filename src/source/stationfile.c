#include "source/stationfile.h"

#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "base/utf8.h"
#include "source/ghcn.h"
#include "source/stationcsv.h"

enum { UNKNOWN_MAX = 20, SHOWN_MAX = 20, PROGRESS_EVERY = 4096 };

/* Too large for a stack that may be small. */
struct run {
	const struct stationfile_job *job;
	struct stationfile *out;
	struct ghcn ghcn;
	struct stationcsv csv;
	char name[STATION_ID_SIZE];
	bool hopeless; /* so many lines, and none is known */
};

static bool blank(const struct fileline *line)
{
	return line->n == strspn(line->at, " \t,;");
}

/* The file's name without folder and ending. */
static void name_station(const struct stationfile_job *job, char name[static STATION_ID_SIZE])
{
	const char *slash = strrchr(job->file, '/'), *base = slash != NULL ? slash + 1 : job->file;
	const char *dot = strrchr(base, '.');
	struct text t;
	text_over(&t, name, STATION_ID_SIZE);
	if (job->how->station[0] != '\0')
		text_add(&t, job->how->station);
	else
		text_add_n(&t, base, dot != NULL && dot != base ? (size_t)(dot - base) : strlen(base));
	if (name[0] == '\0')
		text_add(&t, "station");
}

/* ---- Which it is ---- */

static enum fault_code begin(struct run *r, struct fault *f)
{
	const struct mapping *how = r->job->how;
	struct stationfile *out = r->out;
	r->ghcn = (struct ghcn){.how = how, .days = &out->days, .tally = &out->tally};
	if (how->format == MAPPING_GHCN || (how->format == MAPPING_FORMAT_TOLD && !how->columns))
		return FAULT_NONE;
	if (!how->columns)
		return fault_set(
		    f, FAULT_CONFIG,
		    "which column is what? --columns \"time=Date_Time, air_temperature=Temp F\" or --mapping "
		    "FILE says it");
	if (mapping_check(how, f) != FAULT_NONE)
		return f->code;
	name_station(r->job, r->name);
	r->csv = (struct stationcsv){.how = how,
				     .tally = &out->tally,
				     .days = &out->days,
				     .hours = &out->hours,
				     .station = r->name,
				     .now = r->job->now};
	out->kind = mapping_daily(how) ? STATIONFILE_DAYS : STATIONFILE_HOURS;
	return stationcsv_begin(&r->csv, r->job->zone, f);
}

static enum fault_code unknown(struct run *r, struct fault *f)
{
	/* One line says it for all. */
	r->out->tally.bad_lines = (struct faults){0};
	if (r->job->how->format == MAPPING_GHCN)
		return fault_set(f, FAULT_DATA, "no line is one of GHCN-Daily");
	return fault_set(f, FAULT_DATA,
			 "is not GHCN-Daily; of another CSV --columns \"time=Date_Time, air_temperature=Temp F\" or "
			 "--mapping FILE says what its columns are");
}

static enum fault_code check_start(struct linefile *l, struct fault *f)
{
	static const struct {
		const char *bytes, *words;
	} known[] = {
	    {"\x1F\x8B", "is compressed (gzip); unpack it first"},
	    {"PK\x03", "is compressed (zip) or a spreadsheet; unpack it, or save it as CSV"},
	    {"\xFF\xFE", "is UTF-16; save it as UTF-8"},
	    {"\xFE\xFF", "is UTF-16; save it as UTF-8"},
	};
	for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
		bool is;
		if (linefile_begin_with(l, known[i].bytes, strlen(known[i].bytes), &is, f) != FAULT_NONE)
			return f->code;
		if (is)
			return fault_set(f, FAULT_DATA, "%s", known[i].words);
	}
	return FAULT_NONE;
}

/* ---- Lines ---- */

static enum fault_code ghcn_line(struct run *r, struct fileline *line, bool *row, struct fault *f)
{
	*row = true;
	if (r->out->kind == STATIONFILE_GHCN)
		return ghcn_row(&r->ghcn, line, f);
	enum ghcn_layout layout = ghcn_tell(line);
	if (layout == GHCN_NONE) {
		r->hopeless = r->out->tally.rows + 1 >= UNKNOWN_MAX;
		return fault_set(f, FAULT_DATA, "\"%.*s\" begins no line of GHCN-Daily", utf8_most(line->at, SHOWN_MAX),
				 line->at);
	}
	r->out->kind = STATIONFILE_GHCN;
	if (ghcn_begin(&r->ghcn, layout, line, f) != FAULT_NONE)
		return f->code;
	*row = !ghcn_headed(&r->ghcn);
	return *row ? ghcn_row(&r->ghcn, line, f) : FAULT_NONE;
}

/* FAULT_NONE also for a line that is bad, which is then told in the tally. */
static enum fault_code take(struct run *r, struct fileline *line, struct fault *f)
{
	struct tally *t = &r->out->tally;
	struct fault why = {0};
	bool row = true;
	enum fault_code code;
	if (line->wrong != NULL)
		code = fault_set(&why, FAULT_DATA, "%s", line->wrong);
	else if (blank(line))
		return FAULT_NONE;
	else if (r->out->kind == STATIONFILE_GHCN || r->out->kind == STATIONFILE_NONE)
		code = ghcn_line(r, line, &row, &why);
	else
		code = stationcsv_line(&r->csv, line, &row, &why);
	t->rows += row;
	if (code == FAULT_DATA)
		tally_bad(t, line->number, &why);
	else if (code != FAULT_NONE)
		*f = why;
	return code == FAULT_DATA ? FAULT_NONE : code;
}

static enum fault_code take_all(struct run *r, struct linefile *l, struct fault *f)
{
	const struct stationfile_job *job = r->job;
	struct fileline line;
	bool there = true;
	while (there && !r->hopeless) {
		if (linefile_next(l, &line, &there, f) != FAULT_NONE)
			return f->code;
		if (there && take(r, &line, f) != FAULT_NONE)
			return f->code;
		if (there && job->progress != NULL && line.number % PROGRESS_EVERY == 0)
			job->progress(job->file, l->taken, l->size);
	}
	return FAULT_NONE;
}

/* ---- What came of it ---- */

static enum fault_code judge(struct run *r, struct fault *f)
{
	struct stationfile *out = r->out;
	struct tally *t = &out->tally;
	out->clock = r->csv.time.form == ROWTIME_LOCAL || r->csv.time.form == ROWTIME_PATTERN;
	if (out->kind >= STATIONFILE_DAYS && stationcsv_end(&r->csv, f) != FAULT_NONE)
		return f->code;
	stationdays_judge(&out->days, t);
	if (out->kind == STATIONFILE_NONE && t->rows > 0)
		return unknown(r, f);
	if (t->rows == 0)
		return fault_set(f, FAULT_DATA, "there is no row in it");
	if (2 * t->bad > t->rows)
		return fault_set(f, FAULT_DATA, "%zu of %zu lines cannot be used, more than half; nothing is stored",
				 t->bad, t->rows);
	if (t->values > 0)
		return FAULT_NONE;
	if (t->others > 0)
		return fault_set(f, FAULT_DATA, "no value of station \"%s\" in %zu lines; nothing is stored",
				 r->job->how->station, t->rows);
	return fault_set(f, FAULT_DATA, "no value in %zu lines can be used; nothing is stored", t->rows);
}

enum fault_code stationfile_lines(const struct stationfile_job *job, struct linefile *l, struct stationfile *out,
				  struct fault *f)
{
	struct run *r = mem_new(1, sizeof *r);
	out->tally.file = job->file;
	if (r == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	*r = (struct run){.job = job, .out = out};
	enum fault_code code = FAULT_NONE;
	if (begin(r, f) || check_start(l, f) || take_all(r, l, f) || judge(r, f))
		code = fault_place(f, "%s: ", job->file);
	mem_free(r);
	return code;
}

enum fault_code stationfile_read(const struct stationfile_job *job, struct stationfile *out, struct fault *f)
{
	struct linefile l;
	*out = (struct stationfile){.tally = {.file = job->file}};
	enum fault_code code = linefile_open(&l, job->file, f);
	if (code == FAULT_NONE)
		code = stationfile_lines(job, &l, out, f);
	linefile_close(&l);
	return code;
}

void stationfile_free(struct stationfile *s)
{
	stationdays_free(&s->days);
	stationhours_free(&s->hours);
}
