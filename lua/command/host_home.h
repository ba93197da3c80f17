/* host_home.h - where the command's Lua files are, and how `require` finds them.
**
** Home is the folder with lua/ and scripts/: STEELYARD_HOME, else found from where the program lies. PREFIX/bin has
** PREFIX/share/steelyard, and the build folder has the tree around it.
**
** The build leaves our modules compiled in one file, modules.luac, beside the program or in PREFIX/share/steelyard: it
** saves a third of the start-up. A module whose source is newer or of another size, whose code is not what was written, and
** every module of a home that STEELYARD_HOME names, comes from its source.
*/
#ifndef SYL_COMMAND_HOST_HOME_H
#define SYL_COMMAND_HOST_HOME_H

#include <lua.h>

/* Push the home folder and the path of the compiled modules (nil for none); raises a text when there is no home. `called`
** is the name that the program was started under, or NULL. */
void syl_push_home(lua_State *L, const char *called);

/* Make `require` look into home/lua first, and for modules written in C where the build or the installation has put them beside the
** program. The standard libraries must be open; `compiled` and `called` may be NULL. */
void syl_set_search(lua_State *L, const char *home, const char *compiled, const char *called);

#endif
