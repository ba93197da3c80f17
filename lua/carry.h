/* carry.h - copying a value from a sandbox into the state of the script. */
#ifndef SYL_CARRY_H
#define SYL_CARRY_H

#include <lua.h>

#include "meter.h"

/* Pushes onto L a deep copy of the value on top of the sandbox's stack. Sharing and cycles stay as they are; a marked
** table (word_host.h) gets the metatable that L knows by the same name; what is no data (a function) becomes a table
** {what = "function"} marked "strange". May raise in L (memory, tables more than 200 deep): the sandbox must then be
** owned by something that L collects. Asks the sandbox for no memory but its stack, and leaves its stack as it was. */
void syl_carry(lua_State *L, syl_meter *meter);

#endif
