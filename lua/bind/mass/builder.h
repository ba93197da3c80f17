/* builder.h - a ledger that is being filled, as a Lua value. */
#ifndef SYL_BIND_MASS_BUILDER_H
#define SYL_BIND_MASS_BUILDER_H

#include <lua.h>

#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"

#define SYL_BUILDER "steelyard.builder"

sy_ledger_builder *syl_check_builder(lua_State *L, int index);

/* The fields of a group at `index` over what stands in `group`: at (mm), turned, record, not_aboard. */
void syl_read_group(lua_State *L, int index, const syl_geometry *g, bool at_top, sy_group *group);

#endif
