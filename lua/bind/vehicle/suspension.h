/* suspension.h - what the entry of an axle says of springs whose rate at the wheel changes, and of links that carry load past them. */
#ifndef SYL_BIND_VEHICLE_SUSPENSION_H
#define SYL_BIND_VEHICLE_SUSPENSION_H

#include <lua.h>

#include "answers/car.h"

enum { SYL_SUSPENSION_RATES = 4 }; /* uncertainties that an axle may state of them */

/* motion_ratio, a number or {{travel, ratio}, ..} in mm; bump_stop = {gap =, rate =}, mm and N/mm. What is not there stays. */
void syl_read_suspension(lua_State *L, int table, sy_wheel *wheel);

/* anti_dive, anti_lift, anti_squat: percent, or {angle =} in degrees. */
void syl_read_links(lua_State *L, int table, sy_axle *axle);

/* The uncertainties that stand beside them (rate_sd, anti_dive_sd ..) as at most SYL_SUSPENSION_RATES entries; returns their number.
** wheels  bit set of those of the axle */
int syl_read_suspension_rates(lua_State *L, int table, int axle, unsigned wheels, sy_stated *out);

#endif
