/* found.h - what was found of shafts, gaps and a tank before a car is asked (answers/found.h), as userdata: values that stay as they are.
**
** One kind each; several of a kind are joined to one, which a car that is asked brings along (asked.h).
*/
#ifndef SYL_BIND_ANSWERS_FOUND_H
#define SYL_BIND_ANSWERS_FOUND_H

#include <lua.h>

#include "answers/found.h"

typedef enum syl_found_kind { SYL_FOUND_SHAFTS, SYL_FOUND_GAPS, SYL_FOUND_USABLE } syl_found_kind;

/* Pushes `count` of a kind, all zero, and gives the first. */
void *syl_new_found(lua_State *L, syl_found_kind kind, size_t count);

/* Those at `index`, NULL and 0 for nil; raises what is another kind. */
const void *syl_opt_found(lua_State *L, int index, syl_found_kind kind, size_t *count);

#endif
