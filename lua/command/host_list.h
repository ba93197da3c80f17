/* host_list.h - the scripts that `steelyard` alone lists.
**
** A script of home/scripts says what it answers in its first comment: a line with three dashes is its purpose, a line `-- Step: weigh`
** the step of the work that it belongs to. One without a step, or with one that is not in the list, stands under "other".
*/
#ifndef SYL_COMMAND_HOST_LIST_H
#define SYL_COMMAND_HOST_LIST_H

#include <lua.h>

/* Push the list of the names in home/scripts, sorted. The standard libraries must be open. */
void syl_push_script_names(lua_State *L, const char *home);

/* Print them by step, one a line with its purpose. */
void syl_list_scripts(lua_State *L, const char *home);

#endif
