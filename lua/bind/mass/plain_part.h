/* plain_part.h - a part as vehicle_file.lua describes it, straight to what the ledger books.
**
** car/build.lua turns a node into a booking of named fields and bind/mass/booking.c that into a part: right for every node and for edits,
** but 17 % of the time of building a large car. Most nodes are plain: a mass, a place, perhaps a solid shape or wheels that carry it.
*/
#ifndef SYL_BIND_MASS_PLAIN_PART_H
#define SYL_BIND_MASS_PLAIN_PART_H

#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"

typedef struct syl_plain_node {
  sy_part part;
  const char *name, *tags; /* on the stack, or NULL */
  bool pair;
} syl_plain_node;

/* context  {carriers = {[name] = number}, assume = {[basis] = share of the mass} or nil, otherwise = sd of coordinates without one, mm}
** Fills `out` over what stands there; strings stay on top of the stack. Returns false for any other node: a tank, a turned body, an
** inertia as stated or of a mesh, an unknown mass, a scale. The answer is that of build.booking to the last bit: tests/lua/test_build.lua,
** which goes by the rows of kinds.lua, finds a field that is neither read nor declined here. */
bool syl_read_node(lua_State *L, int node, int context, const syl_geometry *g, bool at_top,
                   syl_plain_node *out);

#endif
