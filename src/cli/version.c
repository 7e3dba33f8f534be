#include "cli/version.h"

const char *version(void)
{
	return DEWPOST_VERSION;
}
int version_year(void)
{
	return DEWPOST_YEAR;
}
