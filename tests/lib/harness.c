#include "lib/harness.h"

#include <locale.h>
#include <stdlib.h>

int harness_run(Suite *suite)
{
	setlocale(LC_CTYPE, "C.UTF-8");
	SRunner *runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
