/* settle.h - the tanks of a car whose liquid finds its level, as the bindings of the car on its springs take them. */
#ifndef SYL_BIND_ANSWERS_SETTLE_H
#define SYL_BIND_ANSWERS_SETTLE_H

#include <lua.h>

#include "statics/settle.h"

typedef struct syl_tanks {
  sy_sums drawn; /* what the liquid of the drawn state does to its totals: 0 while it is level as filed */
  size_t count;
  sy_settle_tank *tank;
  sy_vec3 *rest; /* kg m, of each liquid when vehicle and body are level */
} syl_tanks;     /* user value 1: what keeps the meshes alive; 2 and 3: the arrays */

/* The tanks at `index`, NULL for nil or none. */
const syl_tanks *syl_opt_tanks(lua_State *L, int index);

/* The same for the library; none for NULL. */
sy_settle_tanks syl_tanks_of(const syl_tanks *tanks);

/* Adds what the liquid as drawn does to the totals of the drawn state. */
void syl_add_drawn(const syl_tanks *tanks, sy_totals *drawn);

/* Sets liquids = {{forward, left, up}, ...} in the table on top: how far each liquid lies, under `gravity` in a body of that pose (NULL: as
** drawn), from where it stands when vehicle and body are level, mm. Nothing without tanks. */
void syl_set_liquids(lua_State *L, const syl_tanks *tanks, const sy_vehicle *vehicle, sy_vec3 gravity,
                     const double *pose);

#endif
