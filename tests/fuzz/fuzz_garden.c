/*
 * Any bytes as a garden file and as a grower's crops.ini or covers.ini: refused with a place,
 * or whole and within its bounds.
 */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "garden/garden.h"
#include "garden/tables.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_faults(const struct faults *all)
{
	assert(all->n > 0);
	for (size_t i = 0; i < all->n; i++)
		assert(strncmp(all->at[i].text, "file:", 5) == 0);
}

static void check_garden(const struct garden *g, const struct crops *crops)
{
	assert(fabs(g->latitude) <= 90 && fabs(g->longitude) <= 180 && *g->source && *g->timezone && *g->name);
	for (size_t i = 0; i < g->plantings; i++) {
		const struct planting *p = &g->planting[i];

		assert(*p->name && p->plants >= 1 && p->crop_index < crops->n);
		assert(garden_planting(g, p->name) == p);
		assert(!date_is(p->planted) || !date_is(p->sown) || date_diff(p->planted, p->sown) > 0);
	}
}

static void fuzz_crops(const char *bytes, size_t size)
{
	static struct crops crops;
	struct faults all = {0};

	crops.n = 0;
	if (tables_crops_lay("file", bytes, size, false, &crops, &all) != FAULT_NONE) {
		check_faults(&all);
		return;
	}
	for (size_t i = 0; i < crops.n; i++) {
		struct fault f = {0};

		assert(crop_check(&crops.at[i], &f) == FAULT_NONE && *crops.basis[i].of[CROP_KILL]);
	}
}

static void fuzz_covers(const char *bytes, size_t size)
{
	static struct covers covers;
	struct faults all = {0};

	covers.n = 0;
	if (tables_covers_lay("file", bytes, size, false, &covers, &all) != FAULT_NONE) {
		check_faults(&all);
		return;
	}
	for (size_t i = 0; i < covers.n; i++)
		assert(*covers.at[i].title && !(covers.at[i].gain_c.least > covers.at[i].gain_c.likely));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct garden garden;
	static struct crops crops;
	struct faults all = {0};

	memset(&crops, 0, sizeof crops);
	crops.n = 1;
	memcpy(crops.at[0].name, "zucchini", sizeof "zucchini");
	if (garden_parse("file", (const char *)data, size, &crops, &garden, &all) == FAULT_NONE)
		check_garden(&garden, &crops);
	else
		check_faults(&all);

	fuzz_crops((const char *)data, size);
	fuzz_covers((const char *)data, size);
	return 0;
}
