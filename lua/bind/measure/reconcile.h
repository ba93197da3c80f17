/* reconcile.h - what scales read of the whole car, from a Lua table. */
#ifndef SYL_BIND_MEASURE_RECONCILE_H
#define SYL_BIND_MEASURE_RECONCILE_H

#include <lua.h>

#include "measure/reconcile.h"

/* {supports = {{forward, left?, load, sd?, axle, forward_sd?, left_sd?}}, lateral, axles = {{place_sd, track_sd}}, height?, height_sd?}, mm and kg,
** over what stands in `p`: all but its lines and instruments. Beside each sd of a place its number in all records, forward_error? and so on. */
void syl_read_scales(lua_State *L, int index, sy_reconcile *p);

#endif
