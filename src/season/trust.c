#include "season/trust.h"

enum trust trust_of(int64_t age_s, int64_t max_age_s)
{
	int64_t holds_s = max_age_s > 0 ? max_age_s : TRUST_HOLDS_S;
	if (age_s > TRUST_TOLD_S)
		return TRUST_SPENT;
	if (age_s > TRUST_COVER_S)
		return TRUST_OLD;
	return age_s > holds_s ? TRUST_AGED : TRUST_FULL;
}

const char *trust_name(enum trust t)
{
	static const char *const name[] = {
	    [TRUST_FULL] = "full", [TRUST_AGED] = "aged", [TRUST_OLD] = "old", [TRUST_SPENT] = "spent"};
	return name[t];
}
