#include "cli/datadir.h"

const char *datadir(void)
{
	return DEWPOST_DATA;
}
