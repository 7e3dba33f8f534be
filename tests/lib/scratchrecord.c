#include "lib/scratchrecord.h"

#include <check.h>

void scratchrecord_open(struct scratchrecord *s)
{
	struct fault f;
	struct place p = place_at(44.31, -89.90, 330);
	scratch_make(s->folder);
	scratch_path(s->folder, "record.db", s->path);
	ck_assert_msg(record_open(s->path, RECORD_READ_WRITE, &s->rec, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(record_place(s->rec, &p, &s->place, &f) == FAULT_NONE, "%s", f.text);
}

void scratchrecord_close(struct scratchrecord *s)
{
	record_close(s->rec);
	scratch_remove(s->folder);
}
