/* sandbox_copy.h - copying a value from a sandbox into the state of the script. */
#ifndef SYL_READER_SANDBOX_COPY_H
#define SYL_READER_SANDBOX_COPY_H

#include <lua.h>

#include "reader/sandbox_limits.h"

/* Pushes onto L a deep copy of the result on top of the sandbox's stack, a table. Sharing and cycles stay as they are, of texts too; a
** marked table or userdata (vocabulary_functions.h) becomes a table with the metatable that L knows by the same name; what is not data (a
** function) becomes a table {what = "function"} marked "strange".
** Limits  What follows goes through a table once for each place it stands in, so what an item holds may come to SYL_MOST_WRITTEN bytes
**         at most when every table and text is written out in all its places, 16 bytes a value and its text if that is long. Tables
**         lie 200 deep at most and have SYL_MOST_ODD keys at most that are neither texts nor places of the list: the keys of a
**         Lua table that are numbers can be chosen to collide.
** May raise in L (memory; "limit", naming `file`): the sandbox must then be owned by something that L collects. Asks the sandbox for no
** memory but its stack, and leaves its stack as it was. */
enum { SYL_MOST_WRITTEN = 4 << 20, SYL_MOST_ODD = 200 };
void syl_copy_out(lua_State *L, syl_sandbox *sandbox, const char *file);

#endif
