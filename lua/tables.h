/* tables.h - Lua tables of numbers in and out of the binding. `index` may be any stack index but a relative one below the top. */
#ifndef SYL_TABLES_H
#define SYL_TABLES_H

#include <lua.h>
#include <stddef.h>

#include "base/vec3.h"

/* The number under `key` of the table at `index`, times `unit`; `missing` when there is none. */
double syl_number_under(lua_State *L, int index, const char *key, double unit, double missing);

/* Push the list under `key` and give its length; raises an error of `part` when there are more than `most` entries. */
size_t syl_push_list(lua_State *L, int index, const char *key, size_t most, const char *part);

/* key = x in the table on top; nothing for a NaN. */
void syl_set_number(lua_State *L, const char *key, double x);

/* key = {values / unit} in the table on top. */
void syl_set_list(lua_State *L, const char *key, const double *values, size_t count, double unit);

#endif
