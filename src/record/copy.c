#include "record/copy.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "record/db.h"

static enum fault_code path_fault(const char *path, int error, struct fault *f)
{
	if (error == EEXIST)
		return fault_set(f, FAULT_CREATE, "%s: is there already; name a file that is not there yet", path);
	if (error == ENOSPC || error == EDQUOT || error == EIO)
		return fault_set(f, FAULT_IO, "%s: %s", path, strerror(error));
	enum fault_code code = error == EACCES || error == EPERM || error == EROFS ? FAULT_PERMISSION : FAULT_CREATE;
	return fault_set(f, code, "%s: cannot be made: %s", path, strerror(error));
}

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

static enum fault_code sync_path(const char *path, int flags, const char *to, struct fault *f)
{
	int fd = open(path, flags | O_CLOEXEC);
	if (fd < 0)
		return path_fault(to, errno, f);
	int error = fsync(fd) == 0 ? 0 : errno;
	close(fd);
	/* Some file systems sync no folder, and need not. */
	return error == 0 || error == EINVAL ? FAULT_NONE : path_fault(to, error, f);
}

static enum fault_code sync_folder_of(const char *to, struct fault *f)
{
	char folder[PATH_MAX];
	struct text t;
	const char *slash = strrchr(to, '/');
	text_over(&t, folder, sizeof folder);
	if (slash == NULL)
		text_add(&t, ".");
	else
		text_add_n(&t, to, slash == to ? 1 : (size_t)(slash - to));
	return sync_path(folder, O_RDONLY | O_DIRECTORY, to, f);
}

/* A file system without links: an empty file holds the name, and gives way to the copy. */
static enum fault_code rename_over_own(const char *temporary, const char *to, struct fault *f)
{
	int fd = open(to, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
	if (fd < 0)
		return path_fault(to, errno, f);
	close(fd);
	if (rename(temporary, to) == 0)
		return FAULT_NONE;
	int error = errno;
	(void)unlink(to);
	return path_fault(to, error, f);
}

/* The name is taken only where nobody else has it. */
static enum fault_code give_name(const char *temporary, const char *to, struct fault *f)
{
	bool linked = link(temporary, to) == 0;
	if (!linked && errno != EPERM && errno != EOPNOTSUPP && errno != ENOSYS)
		return path_fault(to, errno, f);
	if (!linked && rename_over_own(temporary, to, f))
		return f->code;
	if (sync_folder_of(to, f))
		(void)unlink(to);
	else
		return FAULT_NONE;
	return f->code;
}

/* A file of its own beside the one to be, closed again: to close it later would take SQLite's locks away. */
static enum fault_code make_temporary(const char *to, char name[static PATH_MAX], struct fault *f)
{
	struct text t;
	struct stat there;
	text_over(&t, name, PATH_MAX);
	text_addf(&t, "%s.XXXXXX", to);
	if (text_ok(&t, "the name of the copy", f))
		return f->code;
	if (lstat(to, &there) == 0)
		return path_fault(to, EEXIST, f);
	int fd = mkstemp(name);
	if (fd < 0)
		return path_fault(to, errno, f);
	close(fd);
	return FAULT_NONE;
}

enum fault_code record_copy(struct record *rec, const char *to, struct fault *f)
{
	char temporary[PATH_MAX];
	if (make_temporary(to, temporary, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	if (fill(rec, temporary, to, f) || sync_path(temporary, O_RDONLY, to, f) || give_name(temporary, to, f))
		code = f->code;
	(void)unlink(temporary);
	return code;
}
