#include "record/health.h"

#include <string.h>

#include "base/instant.h"
#include "record/blob.h"
#include "record/db.h"

enum fault_code record_count(struct record *rec, struct record_counts *n, struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_COUNTS), f);
	if (code == FAULT_NONE)
		code = query_row(&q, &row, f);
	if (row)
		*n = (struct record_counts){query_get_int(&q, 0), query_get_int(&q, 1), query_get_int(&q, 2),
					    query_get_int(&q, 3), query_get_int(&q, 4), query_get_int(&q, 5),
					    query_get_int(&q, 6)};
	query_close(&q);
	return code;
}

/* What one row of a check says, added to the list where that is something. */
typedef enum fault_code finding(struct query *q, struct faults *found, struct fault *f);

static enum fault_code say_page(struct query *q, struct faults *found, struct fault *f)
{
	(void)f;
	static const char head[] = "*** in database main ***\n"; /* before the first finding of all */
	const char *says = query_get_string(q, 0);
	if (strncmp(says, head, sizeof head - 1) == 0)
		says += sizeof head - 1;
	if (strcmp(says, "ok") != 0)
		faults_addf(found, FAULT_DATA, "damaged: %s", says);
	return FAULT_NONE;
}

static enum fault_code say_reference(struct query *q, struct faults *found, struct fault *f)
{
	enum { TABLE, ROW, PARENT };
	(void)f;
	faults_addf(found, FAULT_DATA, "damaged: a row of %s (%lld) is of a %s that is not there",
		    query_get_string(q, TABLE), (long long)query_get_int(q, ROW), query_get_string(q, PARENT));
	return FAULT_NONE;
}

static enum fault_code say_issue(struct query *q, struct faults *found, struct fault *f)
{
	enum { SOURCE, RECEIVED, FIRST, N, HOURS };
	char at[INSTANT_TEXT_SIZE];
	struct hours hours = {0};
	struct fault wrong = {0};
	size_t size;
	const uint8_t *bytes = query_get_bytes(q, HOURS, &size);
	enum fault_code code = blob_decode(bytes, bytes ? size : 0, &hours, &wrong);
	if (code == FAULT_MEMORY)
		*f = wrong;
	else if (code == FAULT_NONE &&
		 (hours.first != query_get_int(q, FIRST) || (int64_t)hours.n != query_get_int(q, N)))
		fault_set(&wrong, FAULT_DATA, "its hours are not those that its row tells of");
	if (code == FAULT_NONE)
		hours_free(&hours);
	if (code == FAULT_MEMORY || wrong.code == FAULT_NONE)
		return code;
	faults_addf(found, FAULT_DATA, "damaged: forecast of %s that came in %s: %s", query_get_string(q, SOURCE),
		    instant_text(query_get_int(q, RECEIVED), at), wrong.text);
	return FAULT_NONE;
}

/* One check; that it breaks off because of the damage is a finding too. */
static enum fault_code look(struct record *rec, enum sql text, finding *say, struct faults *found, struct fault *f)
{
	struct query q;
	struct fault own = {0};
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(text), &own);
	while (code == FAULT_NONE && (code = query_row(&q, &row, &own)) == FAULT_NONE && row)
		code = say(&q, found, &own);
	query_close(&q);
	if (code == FAULT_DATA)
		faults_add(found, &own);
	else if (code != FAULT_NONE)
		*f = own;
	return code == FAULT_DATA ? FAULT_NONE : code;
}

enum fault_code record_examine(struct record *rec, struct faults *found, struct fault *f)
{
	if (look(rec, SQL_INTEGRITY_CHECK, say_page, found, f) ||
	    look(rec, SQL_REFERENCE_CHECK, say_reference, found, f) || look(rec, SQL_ISSUE_BYTES, say_issue, found, f))
		return f->code;
	return FAULT_NONE;
}
