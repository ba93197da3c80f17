/* pairing.h - pairings of two ledgers as Lua values. */
#ifndef SYL_BIND_MASS_PAIRING_H
#define SYL_BIND_MASS_PAIRING_H

#include <lua.h>

#include "mass/pairing.h"

/* The pairing at `index`; NULL for nil or none. */
const sy_pairing *syl_opt_pairing(lua_State *L, int index);

/* The pairing at `index`, taken out of its value, which is closed. */
sy_pairing *syl_take_pairing(lua_State *L, int index);

#endif
