#include "record/record.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <sqlite3.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "record/copy.h"
#include "record/db.h"

enum {
	APPLICATION = 0x64657770, /* "dewp"; sql.c stamps the same number */
	FILE_MODE = 0600,         /* a diary and addresses are the grower's own */
	BYTES_IN_FRONT = 16,      /* bytes; keeps what follows aligned for anything */
};

/* SQLite wants to know how large a block is: the size stands in front of it. */
static void *sql_raw(int bytes)
{
	uint64_t *block = mem_raw((size_t)bytes + BYTES_IN_FRONT);
	if (!block)
		return NULL;
	*block = (uint64_t)bytes;
	return (char *)block + BYTES_IN_FRONT;
}

static void *block_of(void *p)
{
	return (char *)p - BYTES_IN_FRONT;
}

static void sql_raw_free(void *p)
{
	if (p)
		mem_free(block_of(p));
}

static void *sql_raw_resize(void *p, int bytes)
{
	uint64_t *block = mem_raw_resize(block_of(p), (size_t)bytes + BYTES_IN_FRONT);
	if (!block)
		return NULL;
	*block = (uint64_t)bytes;
	return (char *)block + BYTES_IN_FRONT;
}

static int sql_raw_size(void *p)
{
	return p ? (int)*(uint64_t *)block_of(p) : 0;
}

static int sql_raw_round(int bytes)
{
	return (bytes + 7) & ~7;
}

static int sql_raw_start(void *unused)
{
	(void)unused;
	return SQLITE_OK;
}

static void sql_raw_stop(void *unused)
{
	(void)unused;
}

static void take_over_memory(void)
{
	static const sqlite3_mem_methods methods = {sql_raw,       sql_raw_free,  sql_raw_resize, sql_raw_size,
						    sql_raw_round, sql_raw_start, sql_raw_stop,   NULL};
	/* Refused, and harmless, once SQLite is up: then this was done before. */
	(void)sqlite3_config(SQLITE_CONFIG_MALLOC, &methods);
	(void)sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

/* Make the file ourselves where it is missing: SQLite would make it for all eyes, and says less where it cannot. */
static enum fault_code make_file(const char *path, struct fault *f)
{
	if (access(path, F_OK) == 0)
		return FAULT_NONE;
	if (file_make_folder_of(path, f))
		return f->code;
	int fd = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, FILE_MODE);
	if (fd >= 0)
		return close(fd) == 0 ? FAULT_NONE : fault_set(f, FAULT_IO, "%s: %s", path, strerror(errno));
	if (errno == EEXIST)
		return FAULT_NONE;
	enum fault_code code = errno == EACCES || errno == EPERM || errno == EROFS ? FAULT_PERMISSION : FAULT_CREATE;
	return fault_set(f, code, "%s: cannot be made: %s", path, strerror(errno));
}

static enum fault_code find_file(const char *path, struct fault *f)
{
	if (access(path, F_OK) == 0 || errno != ENOENT)
		return FAULT_NONE;
	return fault_set(f, FAULT_NO_INPUT, "%s: there is no record yet; the first fetch makes it", path);
}

/* Who made the file, and its schema; `empty` where nobody did. */
struct identity {
	int64_t application, schema;
	bool empty;
};

static enum fault_code read_one(struct record *rec, enum sql text, int64_t *a, int64_t *b, struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(text), f);
	if (code == FAULT_NONE)
		code = query_row(&q, &row, f);
	if (row) {
		*a = query_get_int(&q, 0);
		*b = query_get_int(&q, 1);
	}
	query_close(&q);
	return code;
}

static enum fault_code read_identity(struct record *rec, struct identity *id, struct fault *f)
{
	int64_t objects = 0, none = 0;
	if (read_one(rec, SQL_OBJECTS, &objects, &none, f) ||
	    read_one(rec, SQL_IDENTITY, &id->application, &id->schema, f))
		return f->code;
	id->empty = objects == 0 && id->application == 0 && id->schema == 0;
	return FAULT_NONE;
}

static enum fault_code judge(const struct record *rec, const struct identity *id, struct fault *f)
{
	if (id->empty)
		return FAULT_NONE;
	if (id->application != APPLICATION)
		return db_fault(rec, SQLITE_NOTADB, f);
	if (id->schema > RECORD_SCHEMA && rec->mode != RECORD_AS_IS)
		return fault_set(f, FAULT_CONFIG, "%s: made by a newer dewpost (schema %lld, this one knows %d)",
				 rec->path, (long long)id->schema, (int)RECORD_SCHEMA);
	if (id->schema < 1)
		return db_fault(rec, SQLITE_NOTADB, f);
	return FAULT_NONE;
}

static enum fault_code migrate_to_1(struct record *rec, struct fault *f)
{
	struct text hours;
	text_init(&hours, SQL_TEXT_MAX);
	sql_hours_create(&hours);
	enum fault_code code = text_ok(&hours, "the hours table", f);
	if (code == FAULT_NONE && (db_run(rec, sql_text(SQL_CREATE_1), f) || db_run(rec, hours.at, f) ||
				   db_run(rec, sql_text(SQL_STAMP_1), f)))
		code = f->code;
	text_free(&hours);
	return code;
}

static enum fault_code migrate_to_2(struct record *rec, struct fault *f)
{
	return db_run(rec, sql_text(SQL_CREATE_2), f) || db_run(rec, sql_text(SQL_STAMP_2), f) ? f->code : FAULT_NONE;
}

static enum fault_code migrate_to_3(struct record *rec, struct fault *f)
{
	return db_run(rec, sql_text(SQL_CREATE_3), f) || db_run(rec, sql_text(SQL_STAMP_3), f) ? f->code : FAULT_NONE;
}

static enum fault_code migrate_to_4(struct record *rec, struct fault *f)
{
	return db_run(rec, sql_text(SQL_CREATE_4), f) || db_run(rec, sql_text(SQL_STAMP_4), f) ? f->code : FAULT_NONE;
}

/* Step i brings schema i to i + 1. */
typedef enum fault_code migration(struct record *rec, struct fault *f);
static migration *const migrations[RECORD_SCHEMA] = {migrate_to_1, migrate_to_2, migrate_to_3, migrate_to_4};

static enum fault_code connect_to(struct record *rec, int busy_ms, struct fault *f)
{
	/* As it is: what a run that was killed left half-written has to be taken back before. */
	int flags = rec->mode == RECORD_READ_ONLY ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
	int rc = sqlite3_open_v2(rec->path, &rec->db, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, NULL);
	if (rc == SQLITE_OK)
		rc = sqlite3_busy_timeout(rec->db, busy_ms);
	if (rc == SQLITE_OK)
		rc = sqlite3_db_config(rec->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
	if (rc != SQLITE_OK)
		return db_fault(rec, rc, f);
	/* Asked to write what may only be read, SQLite opens it to be read and does not say so. */
	if (rec->mode == RECORD_READ_WRITE && sqlite3_db_readonly(rec->db, "main"))
		return db_fault(rec, SQLITE_READONLY, f);
	return FAULT_NONE;
}

/* How it was before: whatever a migration gets wrong can be gone back on. */
static enum fault_code keep_copy(const struct record *rec, int64_t schema, struct fault *f)
{
	char name[PATH_MAX];
	struct text t;
	/* A connection that is about to write can not be copied from. */
	struct record reader = {.path = rec->path, .mode = RECORD_AS_IS};
	text_over(&t, name, sizeof name);
	text_addf(&t, "%s.schema-%lld", rec->path, (long long)schema);
	if (text_ok(&t, "the name of the copy", f))
		return f->code;
	if (access(name, F_OK) == 0)
		return FAULT_NONE;
	enum fault_code code = connect_to(&reader, RECORD_BUSY_MS, f);
	if (code == FAULT_NONE)
		code = record_copy(&reader, name, f);
	(void)sqlite3_close(reader.db);
	return code == FAULT_NONE ? FAULT_NONE : fault_place(f, "not brought up to date, as no copy can be kept: ");
}

static enum fault_code migrate(struct record *rec, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	/* Another run may have done it while this one waited for its turn. */
	struct identity id = {0};
	enum fault_code code = read_identity(rec, &id, f);
	if (code == FAULT_NONE)
		code = judge(rec, &id, f);
	if (code == FAULT_NONE && !id.empty && id.schema < RECORD_SCHEMA)
		code = keep_copy(rec, id.schema, f);
	for (int64_t i = id.schema; code == FAULT_NONE && i < RECORD_SCHEMA; i++)
		code = migrations[i](rec, f);
	return db_end(rec, code, f);
}

static enum fault_code bring_up_to_date(struct record *rec, struct fault *f)
{
	struct identity id = {0};
	if (read_identity(rec, &id, f) || judge(rec, &id, f))
		return f->code;
	if (id.schema == RECORD_SCHEMA || (rec->mode == RECORD_AS_IS && !id.empty))
		return FAULT_NONE;
	if (rec->mode == RECORD_READ_WRITE)
		return migrate(rec, f);
	if (id.empty)
		return fault_set(f, FAULT_NO_INPUT, "%s: the record is empty; the first fetch fills it", rec->path);
	return fault_set(f, FAULT_CONFIG, "%s: made by an older dewpost; the next fetch brings it up to date",
			 rec->path);
}

static enum fault_code set_up(struct record *rec, int busy_ms, struct fault *f)
{
	if (connect_to(rec, busy_ms, f))
		return f->code;
	if (db_run(rec, sql_text(SQL_SETUP_READ), f) || bring_up_to_date(rec, f))
		return f->code;
	if (rec->mode == RECORD_AS_IS)
		return db_run(rec, sql_text(SQL_SETUP_LOOK), f);
	return rec->mode == RECORD_READ_WRITE ? db_run(rec, sql_text(SQL_SETUP_WRITE), f) : FAULT_NONE;
}

enum fault_code record_open_patient(const char *path, enum record_mode mode, int busy_ms, struct record **rec,
				    struct fault *f)
{
	*rec = NULL;
	take_over_memory();
	if (mode == RECORD_READ_WRITE ? make_file(path, f) : find_file(path, f))
		return f->code;
	size_t length = strlen(path) + 1;
	struct record *r = mem_new(1, sizeof *r);
	if (r)
		r->path = mem_new(length, 1);
	if (!r || !r->path) {
		mem_free(r);
		return fault_set(f, FAULT_MEMORY, "%s: out of memory", path);
	}
	memcpy(r->path, path, length);
	r->mode = mode;
	if (set_up(r, busy_ms, f)) {
		record_close(r);
		return f->code;
	}
	*rec = r;
	return FAULT_NONE;
}

enum fault_code record_open(const char *path, enum record_mode mode, struct record **rec, struct fault *f)
{
	return record_open_patient(path, mode, RECORD_BUSY_MS, rec, f);
}

void record_close(struct record *rec)
{
	if (!rec)
		return;
	(void)sqlite3_close(rec->db);
	mem_free(rec->path);
	mem_free(rec);
}

const char *record_path(const struct record *rec)
{
	return rec->path;
}

static enum fault_code place_query(struct record *rec, enum sql text, const struct place *p, int64_t *place,
				   bool *found, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(text), f);
	if (code == FAULT_NONE) {
		query_int(&q, p->latitude_cdeg);
		query_int(&q, p->longitude_cdeg);
		query_instant(&q, p->elevation_m == PLACE_ELEVATION_NONE ? INSTANT_NONE : p->elevation_m);
		code = query_row(&q, found, f);
	}
	if (code == FAULT_NONE && *found)
		*place = query_get_int(&q, 0);
	/* An INSERT ... RETURNING is done when its last row was asked for. */
	bool more;
	if (code == FAULT_NONE && *found)
		code = query_row(&q, &more, f);
	query_close(&q);
	return code;
}

enum fault_code record_place(struct record *rec, const struct place *p, int64_t *place, struct fault *f)
{
	bool found = false;
	if (place_query(rec, SQL_PLACE_FIND, p, place, &found, f))
		return f->code;
	if (found)
		return FAULT_NONE;
	if (rec->mode != RECORD_READ_WRITE)
		return fault_set(f, FAULT_NO_INPUT, "%s: nothing is known of this place yet", rec->path);
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = place_query(rec, SQL_PLACE_FIND, p, place, &found, f);
	if (code == FAULT_NONE && !found)
		code = place_query(rec, SQL_PLACE_ADD, p, place, &found, f);
	return db_end(rec, code, f);
}

enum fault_code record_check(struct record *rec, struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_QUICK_CHECK), f);
	if (code == FAULT_NONE)
		code = query_row(&q, &row, f);
	if (code == FAULT_NONE && row && strcmp(query_get_string(&q, 0), "ok") != 0)
		code = fault_set(f, FAULT_DATA, "%s: damaged: %s", rec->path, query_get_string(&q, 0));
	query_close(&q);
	return code;
}
