/* interrupt.h - Ctrl-C while something long runs: noted when it comes, asked for between two pieces of work.
**
** The handler only sets a flag. What handled SIGINT before (Lua's own, the user's) does so again when the watching ends. A second
** Ctrl-C before the first was answered ends the process as if nobody had watched. Where SIGINT is ignored, as in a job that a shell runs
** in the background, it stays so.
*/
#ifndef SYL_BIND_STUDY_INTERRUPT_H
#define SYL_BIND_STUDY_INTERRUPT_H

#include <lua.h>

/* Adds to the module table on top of the stack:
**   interrupts() -> watcher     from now on, until watcher:close(), the end of its scope (<close>) or its collection
**   watcher:arrived() -> boolean
** Watchers end in the reverse of the order in which they began; one inside another sees, and leaves, what has arrived. */
void syl_open_interrupt(lua_State *L);

#endif
