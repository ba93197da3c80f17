/* clearance.h - gaps between envelopes. mm along forward, left and up. */
#ifndef SYL_BIND_SHOP_CLEARANCE_H
#define SYL_BIND_SHOP_CLEARANCE_H

#include <lua.h>

#include "base/axes.h"
#include "shop/clearance.h"

/* The table at t (not relative): {kind as a shape's or "points", sizes in the shape's order, axis = 0 1 2, mesh, points = {{f, l, u}, ...},
** frames = {list of frames, the first applied first}, radius = rounding, sweep = {f, l, u}}. It keeps a mesh alive. */
sy_envelope syl_read_envelope(lua_State *L, int t, const sy_axes *axes);

#endif
