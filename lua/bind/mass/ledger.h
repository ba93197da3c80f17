/* ledger.h - ledgers as Lua values. Places are mm and directions those of the file (a geometry maps them). */
#ifndef SYL_BIND_MASS_LEDGER_H
#define SYL_BIND_MASS_LEDGER_H

#include <lauxlib.h>

#include "mass/ledger.h"

#define SYL_LEDGER "steelyard.ledger"

const sy_ledger *syl_check_ledger(lua_State *L, int index);

/* A route as a Lua string of its child numbers: equal routes are equal strings, a group's route begins its parts'. */
sy_route syl_check_route(lua_State *L, int index);
void syl_push_route(lua_State *L, const sy_route *route);

/* The reflection, in the pair's directions, that a piece which is the image of the one stated lies in; else the identity. */
sy_mat3 syl_mirror_of(lua_State *L, const sy_ledger *ledger, const sy_item *item);

/* Is the item in the group at `group`, the group itself, or one around it? All are in that of depth 0. */
bool syl_leads_to(const sy_item *item, const sy_route *group);

/* A closed ledger value on the stack; fill it once the ledger is there, so that an error in between leaks nothing. */
sy_ledger **syl_new_ledger(lua_State *L);

/* Makes the metatable of a kind of userdata: its methods, and what frees it when it is collected or closed. */
void syl_open_class(lua_State *L, const char *name, const luaL_Reg *methods, lua_CFunction gc);

void syl_open_ledger(lua_State *L);

#endif
