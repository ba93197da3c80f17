/* lint_assume.h - read by clang-tidy alone, in front of every file: what functions whose bodies it does not see are
** known to do. Without it the analyzer follows paths on which a failure goes on as if nothing had happened. */
#ifndef SY_TESTS_LINT_ASSUME_H
#define SY_TESTS_LINT_ASSUME_H

#include <lauxlib.h>

/* they end in a jump */
int lua_error(lua_State *L) __attribute__((noreturn));
int luaL_error(lua_State *L, const char *fmt, ...) __attribute__((noreturn));
int luaL_argerror(lua_State *L, int arg, const char *extramsg) __attribute__((noreturn));
int luaL_typeerror(lua_State *L, int arg, const char *tname) __attribute__((noreturn));

#ifdef SY_LINT_TESTS
#include "near.h"
#define SY_LINT_HOLDS(claim) ((claim) ? (void)0 : _fail(__FILE__, __LINE__))
#undef assert_true
#define assert_true(claim) SY_LINT_HOLDS(claim)
#undef assert_false
#define assert_false(claim) SY_LINT_HOLDS(!(claim))
#undef assert_non_null
#define assert_non_null(pointer) SY_LINT_HOLDS((pointer) != NULL)
#undef assert_null
#define assert_null(pointer) SY_LINT_HOLDS((pointer) == NULL)
#undef assert_int_equal
#define assert_int_equal(got, want) SY_LINT_HOLDS((got) == (want))
#endif

/* gives back the status it is given; status.c itself defines it */
#ifndef SY_LINT_STATUS
#include "base/status.h"
#define sy_fail(err, status, ...) ((void)(sy_fail)(err, status, __VA_ARGS__), (status))
#endif

#endif
