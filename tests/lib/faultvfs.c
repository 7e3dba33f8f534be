#include "lib/faultvfs.h"

#include <signal.h>
#include <sqlite3.h>
#include <stddef.h>

static struct {
	sqlite3_vfs *real;
	long passes;
	bool sticky, full, kills, writes; /* writes: those alone */
	long refused;
} layer = {.passes = -1};

/* Our file; the real one lies behind it in the same block. */
struct file {
	sqlite3_file base;
	sqlite3_int64 pad; /* keeps the real one aligned */
};

static sqlite3_file *real_of(sqlite3_file *f)
{
	return (sqlite3_file *)((struct file *)f + 1);
}

static bool refuses(void)
{
	if (layer.passes < 0)
		return false;
	if (layer.passes > 0) {
		layer.passes--;
		return false;
	}
	if (layer.kills)
		(void)raise(SIGKILL);
	if (!layer.sticky)
		layer.passes = -1;
	layer.refused++;
	return true;
}

static bool refuses_other(void)
{
	return !layer.writes && refuses();
}

static int x_close(sqlite3_file *f)
{
	return real_of(f)->pMethods->xClose(real_of(f));
}

static int x_read(sqlite3_file *f, void *p, int n, sqlite3_int64 at)
{
	return refuses_other() ? SQLITE_IOERR_READ : real_of(f)->pMethods->xRead(real_of(f), p, n, at);
}

static int x_write(sqlite3_file *f, const void *p, int n, sqlite3_int64 at)
{
	if (refuses())
		return layer.full ? SQLITE_FULL : SQLITE_IOERR_WRITE;
	return real_of(f)->pMethods->xWrite(real_of(f), p, n, at);
}

static int x_truncate(sqlite3_file *f, sqlite3_int64 size)
{
	return refuses_other() ? SQLITE_IOERR_TRUNCATE : real_of(f)->pMethods->xTruncate(real_of(f), size);
}

static int x_sync(sqlite3_file *f, int flags)
{
	(void)f;
	(void)flags;
	return refuses_other() ? SQLITE_IOERR_FSYNC : SQLITE_OK;
}

static int x_size(sqlite3_file *f, sqlite3_int64 *size)
{
	return refuses_other() ? SQLITE_IOERR_FSTAT : real_of(f)->pMethods->xFileSize(real_of(f), size);
}

static int x_lock(sqlite3_file *f, int level)
{
	return real_of(f)->pMethods->xLock(real_of(f), level);
}

static int x_unlock(sqlite3_file *f, int level)
{
	return real_of(f)->pMethods->xUnlock(real_of(f), level);
}

static int x_reserved(sqlite3_file *f, int *out)
{
	return real_of(f)->pMethods->xCheckReservedLock(real_of(f), out);
}

static int x_control(sqlite3_file *f, int op, void *arg)
{
	return real_of(f)->pMethods->xFileControl(real_of(f), op, arg);
}

static int x_sector(sqlite3_file *f)
{
	return real_of(f)->pMethods->xSectorSize(real_of(f));
}

static int x_device(sqlite3_file *f)
{
	return real_of(f)->pMethods->xDeviceCharacteristics(real_of(f));
}

static const sqlite3_io_methods methods = {
    .iVersion = 1,
    .xClose = x_close,
    .xRead = x_read,
    .xWrite = x_write,
    .xTruncate = x_truncate,
    .xSync = x_sync,
    .xFileSize = x_size,
    .xLock = x_lock,
    .xUnlock = x_unlock,
    .xCheckReservedLock = x_reserved,
    .xFileControl = x_control,
    .xSectorSize = x_sector,
    .xDeviceCharacteristics = x_device,
};

static int x_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *f, int flags, int *out)
{
	(void)vfs;
	f->pMethods = NULL;
	if (refuses_other())
		return SQLITE_IOERR;
	int rc = layer.real->xOpen(layer.real, name, real_of(f), flags, out);
	if (rc == SQLITE_OK)
		f->pMethods = &methods;
	return rc;
}

static int x_delete(sqlite3_vfs *vfs, const char *name, int sync_folder)
{
	(void)vfs;
	(void)sync_folder;
	return refuses_other() ? SQLITE_IOERR_DELETE : layer.real->xDelete(layer.real, name, 0);
}

void faultvfs_install(void)
{
	static sqlite3_vfs ours;
	layer.real = sqlite3_vfs_find(NULL);
	ours = *layer.real;
	ours.zName = "fault";
	ours.szOsFile = (int)sizeof(struct file) + layer.real->szOsFile;
	ours.pNext = NULL;
	ours.xOpen = x_open;
	ours.xDelete = x_delete;
	(void)sqlite3_vfs_register(&ours, 1);
}

void faultvfs_fail_after(long after, bool sticky, bool disk_full)
{
	layer.passes = after;
	layer.sticky = sticky;
	layer.full = disk_full;
	layer.kills = false;
	layer.refused = 0;
}

void faultvfs_kill_after(long after)
{
	layer.passes = after;
	layer.kills = true;
}

void faultvfs_off(void)
{
	layer.passes = -1;
}

long faultvfs_refused(void)
{
	return layer.refused;
}

void faultvfs_full_after(long after)
{
	layer.passes = after;
	layer.sticky = true;
	layer.full = true;
	layer.kills = false;
	layer.writes = after >= 0;
	layer.refused = 0;
}
