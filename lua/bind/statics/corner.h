/* corner.h - the car on its springs in Lua tables, as the bindings of corners, perches, attitude and transfer share it. */
#ifndef SYL_BIND_STATICS_CORNER_H
#define SYL_BIND_STATICS_CORNER_H

#include "bind/vehicle/geometry.h"
#include "statics/corner.h"

/* Pushes a table of loads, heights, travels, angles and what is off the ground or at a stop. */
void syl_push_stand(lua_State *L, const syl_geometry *g, const sy_corner_result *result);

/* Pushes an axle's key in results: front and rear of two, else its name. */
void syl_push_axle_key(lua_State *L, const syl_geometry *g, int geometry_index, int axle);

/* Sets key = {lf = value times scale, ...} in the table on top. */
void syl_set_by_wheel(lua_State *L, const char *key, const syl_geometry *g, const double *value,
                      double scale);

/* The list of `count` numbers at `index` (nil: zeros), each times `scale`. */
void syl_read_list(lua_State *L, int index, int count, double scale, double *out);

#endif
