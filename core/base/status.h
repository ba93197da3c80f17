/* status.h - what went wrong, as data: a code, the part, the field and one ready sentence.
**
** Every function that can fail returns a sy_status and fills an optional sy_error. Its other
** output arguments are written only when SY_OK is returned.
** The names are what Lua scripts see in `err.code`.
*/
#ifndef SY_BASE_STATUS_H
#define SY_BASE_STATUS_H

#include <stddef.h>

#include "api.h"

/* X(code, name, plain meaning) */
#define SY_STATUS_LIST(X)                                                                                    \
  X(SY_OK, "ok", "no error")                                                                                 \
  X(SY_RANGE, "range", "a number is outside what is allowed")                                                \
  X(SY_MISSING, "missing", "something needed was not given")                                                 \
  X(SY_UNKNOWN, "unknown", "a name fits nothing")                                                            \
  X(SY_TYPE, "type", "a value is of the wrong kind")                                                         \
  X(SY_CLASH, "clash", "two statements contradict each other")                                               \
  X(SY_GEOMETRY, "geometry", "the geometry has no answer")                                                   \
  X(SY_CONTENT, "content", "a file says something it must not say")                                          \
  X(SY_LIMIT, "limit", "a limit on memory, size or work was reached")

typedef enum sy_status {
#define SY_STATUS_CODE(code, name, meaning) code,
  SY_STATUS_LIST(SY_STATUS_CODE)
#undef SY_STATUS_CODE
} sy_status;

typedef struct sy_error {
  sy_status status;
  char part[128];    /* what it is about: "engine", "part 3 of 7"; may be empty */
  char field[32];    /* which of its fields: "mass"; may be empty */
  char message[256]; /* reads on from "part, field: " */
} sy_error;

/* The word for a code ("range"), never NULL. */
SY_API const char *sy_status_name(sy_status status);

/* The plain meaning of a code, never NULL. */
SY_API const char *sy_status_meaning(sy_status status);

/* Fill `err` (which may be NULL) and return `status`, so that a check reads
**   if (!(mass >= 0)) return sy_fail(err, SY_RANGE, name, "mass", "is %g kg, must be >= 0", mass);
** part, field  may be NULL; a text that is too long ends in "..."
** format       %s, %d, %zu, %g and %% only, without widths. %g writes the shortest text that reads back
**              as the same double, with a decimal point in every locale. */
SY_API sy_status sy_fail(sy_error *err, sy_status status, const char *part, const char *field,
                         const char *format, ...) SY_PRINTF(5, 6);

#endif
