/* corner.h - the car on its springs in Lua tables, as the bindings of corners, perches, attitude and transfer share it. */
#ifndef SYL_BIND_STATICS_CORNER_H
#define SYL_BIND_STATICS_CORNER_H

#include "answers/stand.h"
#include "bind/vehicle/geometry.h"

/* Pushes a table of loads, heights, travels, angles and what is off the ground or at a stop. */
void syl_push_stand(lua_State *L, const syl_geometry *g, const sy_corner_result *result);

/* Sets wheel_rate = {front =, ..} in the table on top, N/mm where each wheel stands: of an axle whose wheels differ their mean, and each
** wheel's own by its key. */
void syl_set_wheel_rates(lua_State *L, const syl_geometry *g, int geometry_index, const sy_stand *stand);

/* As drawn; with a wheel whose rate changes with travel where it stands. */
double syl_ride_hz(const sy_stand *stand, int axle);

/* Pushes an axle's key in results: front and rear of two, else its name. */
void syl_push_axle_key(lua_State *L, const syl_geometry *g, int geometry_index, int axle);

/* Sets key = {lf = value times scale, ...} in the table on top. */
void syl_set_by_wheel(lua_State *L, const char *key, const syl_geometry *g, const double *value,
                      double scale);

/* The list of `count` numbers at `index` (nil: zeros), each times `scale`. */
void syl_read_list(lua_State *L, int index, int count, double scale, double *out);

#endif
