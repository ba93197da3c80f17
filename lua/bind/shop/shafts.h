/* shafts.h - shafts, Cardan joints and slings as plain functions of mm and degrees. */
#ifndef SYL_BIND_SHOP_SHAFTS_H
#define SYL_BIND_SHOP_SHAFTS_H

#include <lua.h>

#include "answers/shaft_answers.h"

/* What core.shaft takes, at `index` (not relative). `error` holds its stated coordinates; what the path holds on to is left on the stack. */
void syl_read_shaft(lua_State *L, int index, sy_joint_error error[SY_MOST_OWN], sy_shaft *shaft);

#endif
