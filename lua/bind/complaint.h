/* complaint.h - how an error ends a command: one line on stderr and an exit code, the same under `steelyard` and under a plain Lua;
** and a reader of our output that goes away, as `| head -n 1` does, which is not an error at all.
*/
#ifndef SYL_BIND_COMPLAINT_H
#define SYL_BIND_COMPLAINT_H

#include <lua.h>
#include <stdbool.h>

/* Exit codes; 0 is done. A broken limit is the script's to say. */
enum { SYL_EXIT_FAILED = 1, SYL_EXIT_USAGE = 2, SYL_EXIT_INPUT = 3, SYL_EXIT_NOT_BUILT_IN = 5 };

/* Is the value at `index` an error object? */
bool syl_is_failure(lua_State *L, int index);

/* Print the error at `index` to stderr and give the exit code. `script`: what the user typed behind `steelyard`; NULL where there is
** none. A usage mistake then points to its --help. May raise what the error's own __tostring raises. */
int syl_complain(lua_State *L, int index, const char *script);

/* From now on a write to a pipe that nobody reads fails instead of ending the process. */
void syl_outlive_readers(void);

/* Has the reader of our stdout gone? Then what could not be written was not wanted. */
bool syl_reader_is_gone(void);

/* Adds to the module table on top of the stack:
**   complain(error, script) -> exit code    as syl_complain
**   outlive_readers()                       as syl_outlive_readers
**   reader_is_gone() -> boolean             as syl_reader_is_gone */
void syl_open_complaint(lua_State *L);

#endif
