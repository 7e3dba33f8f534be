#include "cli/version.h"

const char *version(void)
{
	return DEWPOST_VERSION;
}
