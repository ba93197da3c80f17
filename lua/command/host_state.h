/* host_state.h - the Lua state of the command: as luaL_newstate makes one, but with a pool for its memory. */
#ifndef SYL_COMMAND_HOST_STATE_H
#define SYL_COMMAND_HOST_STATE_H

#include <lua.h>

#include "reader/pool.h"

/* NULL when memory is out. Release the pool after lua_close. */
lua_State *syl_new_state(syl_pool *pool);

#endif
