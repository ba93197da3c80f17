/* numbers.h - Lua tables of numbers in and out of the binding. `index` may be any stack index but a relative one below the top. */
#ifndef SYL_BIND_NUMBERS_H
#define SYL_BIND_NUMBERS_H

#include <lua.h>
#include <stddef.h>

#include "base/frame.h"

/* The number under `key` of the table at `index`, times `unit`; `missing` when there is none. */
double syl_number_under(lua_State *L, int index, const char *key, double unit, double missing);

/* The length of the list at `index`, from 0 to a million; raises when it is longer or no table. Its metatable is not asked, which could
** answer anything. */
lua_Integer syl_length(lua_State *L, int index);

/* The whole number from low to high under `key` of the table at `index`; `missing` when there is none. Raises for any other: a double that
** is out of range must not be converted. */
int syl_whole_under(lua_State *L, int index, const char *key, int low, int high, int missing);

/* Entry `i` of the list at `index`. */
double syl_number_at(lua_State *L, int index, lua_Integer i);

/* Three numbers of the list at `index`, from entry `first` on, times `unit`. */
sy_vec3 syl_three_at(lua_State *L, int index, lua_Integer first, double unit);

/* Up to three numbers of the list at `index`, times `unit`, over those in v: the sizes of a shape, coordinates that may be left out. */
void syl_some_at(lua_State *L, int index, double unit, double v[3]);

/* The three numbers of the list under `key` of the table at `index`, times `unit`. */
sy_vec3 syl_three_under(lua_State *L, int index, const char *key, double unit);

/* Nine numbers by rows, from the list at `index`. */
sy_mat3 syl_matrix_at(lua_State *L, int index);

/* Push the list under `key` and give its length; raises an error of `part` when there are more than `most` entries. */
size_t syl_push_list(lua_State *L, int index, const char *key, size_t most, const char *part);

/* Push {x, y, z} / unit. */
void syl_push_three(lua_State *L, sy_vec3 v, double unit);

/* Push nine numbers by rows; with a place, that / unit behind them. */
void syl_push_matrix(lua_State *L, const sy_mat3 *m);
void syl_push_frame(lua_State *L, const sy_frame *f, double unit);

/* key = x in the table on top; nothing for a NaN. */
void syl_set_number(lua_State *L, const char *key, double x);

/* key = {values / unit} in the table on top. */
void syl_set_list(lua_State *L, const char *key, const double *values, size_t count, double unit);

#endif
