#include "cli/paths.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* A path that is not absolute counts as not set, says the specification. */
static const char *absolute(const char *variable)
{
	const char *s = getenv(variable);
	return s != NULL && s[0] == '/' ? s : NULL;
}

static enum fault_code path_ok(const struct text *t, struct fault *f)
{
	return t->full ? fault_set(f, FAULT_CONFIG, "the path %.60s... is too long", t->at) : FAULT_NONE;
}

/* DIR/ours, in the folder of the variable, else in that of the home. */
static enum fault_code path_in(const char *variable, const char *in_home, const char *ours, const char *name,
			       char buf[static PATHS_SIZE], struct fault *f)
{
	const char *folder = absolute(variable), *home = absolute("HOME");
	struct text t;
	text_over(&t, buf, PATHS_SIZE);
	if (folder == NULL && home == NULL)
		return fault_set(f, FAULT_CONFIG, "neither HOME nor %s is set to an absolute path", variable);
	text_add(&t, folder != NULL ? folder : home);
	text_add(&t, folder != NULL ? "" : in_home);
	text_addf(&t, "/%s%s%s", ours, name[0] != '\0' ? "/" : "", name);
	return path_ok(&t, f);
}

enum fault_code paths_config(const char *name, char buf[static PATHS_SIZE], struct fault *f)
{
	return path_in("XDG_CONFIG_HOME", "/.config", "dewpost", name, buf, f);
}

enum fault_code paths_state(const char *name, char buf[static PATHS_SIZE], struct fault *f)
{
	return path_in("XDG_STATE_HOME", "/.local/state", "dewpost", name, buf, f);
}

enum fault_code paths_units(char buf[static PATHS_SIZE], struct fault *f)
{
	return path_in("XDG_CONFIG_HOME", "/.config", "systemd/user", "", buf, f);
}

enum fault_code paths_beside(const char *file, const char *path, char buf[static PATHS_SIZE], struct fault *f)
{
	const char *slash = path[0] == '/' ? NULL : strrchr(file, '/');
	struct text t;
	text_over(&t, buf, PATHS_SIZE);
	if (slash != NULL)
		text_add_n(&t, file, (size_t)(slash + 1 - file));
	text_add(&t, path);
	return path_ok(&t, f);
}
