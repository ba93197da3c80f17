/* terminal.h - what a study needs to know of where it runs: a clock that only goes forward, whether anybody looks, how many processors there
** are. None of it reaches a result. */
#ifndef SYL_BIND_STUDY_TERMINAL_H
#define SYL_BIND_STUDY_TERMINAL_H

#include <lua.h>

/* Adds to the module table on top of the stack:
**   seconds() -> number             of a clock with no set beginning, which nobody can put back
**   stderr_is_terminal() -> boolean
**   processors() -> whole number    how many are at work, 1 to 64; 1 where the system does not say */
void syl_open_terminal(lua_State *L);

#endif
