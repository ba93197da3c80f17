/* item.h - what an entry of a list of parts must be. */
#ifndef SYL_READER_ITEM_H
#define SYL_READER_ITEM_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* A text of at most `longest` bytes that can be shown, looked up, and be a step of a path. */
bool syl_is_name(lua_State *L, int index, size_t longest);

/* A table without a metatable. */
bool syl_is_plain_table(lua_State *L, int index);

#endif
