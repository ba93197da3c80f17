/* terminal.h - what showing progress needs: a clock that only goes forward, and whether anybody looks. Neither reaches a result. */
#ifndef SYL_BIND_STUDY_TERMINAL_H
#define SYL_BIND_STUDY_TERMINAL_H

#include <lua.h>

/* Adds to the module table on top of the stack:
**   seconds() -> number             of a clock with no set beginning, which nobody can put back
**   stderr_is_terminal() -> boolean */
void syl_open_terminal(lua_State *L);

#endif
