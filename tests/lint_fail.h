/* lint_fail.h - read by clang-tidy alone, in front of every file but status.c: sy_fail gives back the status it is
** given. Its body is in another file, so the analyzer would follow paths on which a failure reads as SY_OK. */
#ifndef SY_TESTS_LINT_FAIL_H
#define SY_TESTS_LINT_FAIL_H

#include "base/status.h"

#define sy_fail(err, status, ...) ((void)(sy_fail)(err, status, __VA_ARGS__), (status))

#endif
