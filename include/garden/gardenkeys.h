/*
 * The keys of the garden file: its kinds of sections, each with its rows.
 *
 * What they mean together is garden/garden's business.
 */
#ifndef GARDEN_GARDENKEYS_H
#define GARDEN_GARDENKEYS_H

#include "garden/keys.h"

enum gardenkeys_kind {
	GARDENKEYS_GARDEN,
	GARDENKEYS_MAIL,
	GARDENKEYS_BED,
	GARDENKEYS_TUB,
	GARDENKEYS_PLANTING,
	GARDENKEYS
};

extern const struct key_section gardenkeys[GARDENKEYS];

#endif
