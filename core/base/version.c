#include "base/version.h"

const char *sy_version(void) { return SY_VERSION; }
