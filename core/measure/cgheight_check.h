/* cgheight_check.h - is a session of readings one that can be fitted? Private to the cgheight files. */
#ifndef SY_MEASURE_CGHEIGHT_CHECK_H
#define SY_MEASURE_CGHEIGHT_CHECK_H

#include "cgheight.h"

/* Errors as of sy_cgheight_fit, but for what only the fit finds. */
sy_status cgheight_check(const sy_cgheight_session *s, sy_error *err);

#endif
