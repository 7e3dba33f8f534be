#include "record/copy.h"

#include <limits.h>
#include <sqlite3.h>
#include <unistd.h>

#include "base/newfile.h"
#include "base/text.h"
#include "record/db.h"

/* The new database, told of by the name it is to have. */
static enum fault_code open_copy(struct record *copy, const char *temporary, struct fault *f)
{
	int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
	int rc = sqlite3_open_v2(temporary, &copy->db, flags, NULL);
	return rc == SQLITE_OK ? FAULT_NONE : db_fault(copy, rc, f);
}

/* Of two files, which one a failure is about. */
static bool is_of_source(int rc)
{
	int primary = rc & 0xff;
	return primary == SQLITE_BUSY || primary == SQLITE_LOCKED || primary == SQLITE_CORRUPT ||
	       primary == SQLITE_NOTADB || rc == SQLITE_IOERR_READ || rc == SQLITE_IOERR_SHORT_READ;
}

/* All pages in one step: a copy in pieces begins anew whenever another program writes, and might never end. */
static enum fault_code copy_pages(struct record *rec, struct record *copy, struct fault *f)
{
	if (db_run(copy, sql_text(SQL_SETUP_COPY), f))
		return f->code;
	sqlite3_backup *b = sqlite3_backup_init(copy->db, "main", rec->db, "main");
	if (b == NULL)
		return db_fault(copy, sqlite3_extended_errcode(copy->db), f);
	int rc = sqlite3_backup_step(b, -1);
	int finished = sqlite3_backup_finish(b);
	if (rc == SQLITE_DONE && finished == SQLITE_OK)
		return FAULT_NONE;
	rc = rc == SQLITE_DONE ? finished : rc;
	return db_fault(is_of_source(rc) ? rec : copy, rc, f);
}

static enum fault_code fill(struct record *rec, const char *temporary, const char *to, struct fault *f)
{
	char name[PATH_MAX];
	(void)text_copy(name, sizeof name, to);
	struct record copy = {.path = name, .mode = RECORD_READ_WRITE};
	enum fault_code code = open_copy(&copy, temporary, f);
	if (code == FAULT_NONE)
		code = copy_pages(rec, &copy, f);
	(void)sqlite3_close(copy.db);
	if (code != FAULT_NONE)
		return code;
	/* Opened anew, so that what is looked over is what lies in the file. */
	code = open_copy(&copy, temporary, f);
	if (code == FAULT_NONE)
		code = record_check(&copy, f);
	(void)sqlite3_close(copy.db);
	return code;
}

enum fault_code record_copy(struct record *rec, const char *to, struct fault *f)
{
	char temporary[NEWFILE_PATH_SIZE];
	/* Closed again by then: to close it later would take SQLite's locks away. */
	if (newfile_begin(to, temporary, f))
		return f->code;
	if (fill(rec, temporary, to, f) == FAULT_NONE)
		return newfile_finish(temporary, to, f);
	(void)unlink(temporary);
	return f->code;
}
