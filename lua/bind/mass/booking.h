/* booking.h - one booked line, from a Lua table to the ledger's values. */
#ifndef SYL_BIND_MASS_BOOKING_H
#define SYL_BIND_MASS_BOOKING_H

#include "bind/mass/mesh.h"
#include "bind/mass/node.h"
#include "bind/mass/pair.h"
#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"

/* Read what the table at `index` says over what stands in `part`:
**   mass mass_sd (kg) instrument (number) bias_share gain_mass (kg) number unstated unknown (booleans)
**   point: true, without inertia and without a fill
**   at at_sd (mm, file axes; each coordinate may be left out); of a tank with a level `at` is its middle
**   node, context: all else that the node says (bind/mass/node.h), with
**     litres litres_sd (of a fill alone) liquid (what the tank then holds, see syl_tank_offset)
**     alone (nine numbers by rows: the turns of the part by itself since it was filed, for its inertia or shape)
**   liquid_was: what a tank held when `part` was booked
**   as_pair: `at` and `at_sd` are those of the piece that the pair's line states; else they are of this piece
** at_top    `at` is a point of the file; otherwise it is measured from the group's place
** piece     of a pair; NULL for any other part. Its body is stated as that of the other piece when it is the image
** fill      holds what the part's `fill` then points to, of a tank
** Returns false with `err` filled when a value has no answer. Raises on wrong types. */
bool syl_read_booking(lua_State *L, int index, const syl_geometry *g, bool at_top, const syl_piece *piece,
                      sy_part *part, sy_fill *fill, sy_error *err);

/* How far the joint cg of a tank and its liquid lies from the tank's middle, in its group's directions, from the table on top of the
** stack: {shape (bind/mass/mesh.h), litres, mass (kg of the liquid), dry (kg of the empty tank), turned?, up? (the direction against
** gravity in the group, file axes), alone? (nine numbers by rows: the turns of tank and liquid together since it was filed)}. mirror: the
** reflection of a tank that is the image of the one stated, in its pair's directions; NULL for any other. */
bool syl_tank_offset(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, sy_vec3 *offset,
                     sy_error *err);

/* What such a table says of the tank. */
typedef struct syl_held {
  syl_tank tank;
  double volume;      /* m^3 of liquid */
  double mass, dry;   /* kg of the liquid, of the empty tank */
  sy_mat3 own, alone; /* how it is turned in its group: as filed, then since */
  sy_vec3 up;         /* in the tank's own directions, as filed */
} syl_held;

/* The table on top of the stack, and the joint cg of tank and liquid from the tank's middle, in its own directions. */
bool syl_read_held(lua_State *L, const syl_geometry *g, syl_held *held, sy_vec3 *cg, sy_error *err);

/* Tank and liquid, from such a table on top of the stack, over what stands in `part`, whose cg is the tank's middle. */
bool syl_add_liquid(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, sy_part *part, sy_fill *fill,
                    sy_error *err);

/* The fields of a group at `index` over what stands in `group`: at (mm), turned, number, not_aboard. */
void syl_read_group(lua_State *L, int index, const syl_geometry *g, bool at_top, sy_group *group);

#endif
