/*
 * One reader for each key of source descriptions: from its text into a member.
 *
 * Inside of keys.
 */
#ifndef SOURCE_READERS_H
#define SOURCE_READERS_H

#include <stddef.h>

#include "base/fault.h"
#include "source/keys.h"

/* One key as it is met: its value, and what follows the key's name. */
struct met {
	struct keys_target to;
	const char *value;
	const char *name; /* KEY_NAMED: after the dot */
	size_t way;       /* KEY_NUMBERED: 0 first */
	void *field;      /* of the row's field, where it names one */
	size_t size;
};

typedef enum fault_code key_reader(const struct met *m, struct fault *f);

key_reader read_text, read_pointer, read_duration, read_day, read_days, read_contact, read_area, read_honour,
    read_warn_status, read_error, read_on_404, read_host, read_set, read_header, read_step, read_past, read_time_offset,
    read_cell_unit, read_time_format, read_value, read_values, read_period, read_numbers, read_missing, read_kind,
    read_stamp, read_unit, read_fill;

#endif
