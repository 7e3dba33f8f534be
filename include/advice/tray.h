/*
 * What stands in a tray, indoors: POT ON, HEAT OFF, WATER LESS, FEED.
 *
 * Whether it is fit to go out is PLANT OUT's business (advice/plantout), and how it gets used to it HARDEN's; the list
 * is to have the planting's PLANT OUT already.
 */
#ifndef ADVICE_TRAY_H
#define ADVICE_TRAY_H

#include "advice/advice.h"

enum {
	TRAY_HEAT_DAYS = 3,     /* mornings after emergence on which the mat is spoken of (judgement) */
	TRAY_POT_DAYS = 5,      /* days after the first true leaf to pot on in (judgement) */
	TRAY_GREY_DAYS = 3,     /* grey days in a row, today the first, that make a spell (judgement) */
	TRAY_FULL_NEAR = 3,     /* days before its tray is full from which it is fed (judgement) */
	TRAY_SOON = 7,          /* days in which a named day of planting out lets it go as it is (judgement) */
	TRAY_FED = 14,          /* a feed lasts that long (judgement) */
	TRAY_POTTED_GAINS = 14, /* days that a bigger pot adds to the tray (judgement; two months in all are common
				   practice where potted on and fed) */
};

/* By day such a share of the sky under cloud is grey (judgement). */
#define TRAY_GREY_FRAC 0.8

/*
 * HEAT_OFF  from emergence on, where the garden has a heat mat; its day that of emergence.
 * POT_ON    at the first true leaf of a crop that stays in its tray for SOW_POTS_ON days or more; and of any that was
 *           kept in its tray too long, with no day of planting out near (STEP_TRAY_FULL).
 * FEED      where the tray is nearly full and no day of planting out is near.
 * DRIER     on the first of TRAY_GREY_DAYS grey days, of seedlings that are up; its day the last of the spell.
 */
void tray_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

#endif
