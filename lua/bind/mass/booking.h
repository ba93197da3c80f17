/* booking.h - one booked line, from a Lua table to the ledger's values. */
#ifndef SYL_BIND_MASS_BOOKING_H
#define SYL_BIND_MASS_BOOKING_H

#include "bind/mass/mesh.h"
#include "bind/mass/pair.h"
#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"

/* Read the fields present in the table at `index` over the values in `part`:
**   mass mass_sd (kg) instrument (number) bias_share gain_mass (kg) at at_sd (mm, file axes; each coordinate may be left out)
**   inertia {xx yy zz xy xz yz} (kg m^2, file axes) shape {kind, a, b, c, axis} turned {nose_up ...} (deg) count growth number
**   unsprung {{carrier, fraction}} unstated unknown point not_aboard (booleans) liquid {...}, see syl_tank_offset: what a tank
**   holds; `at` is then the middle of the tank. liquid_was: the same, for what it held when `part` was booked
**   alone (nine numbers by rows): the turns of the part by itself since it was filed, for its inertia or shape
**   fill {dry, dry_sd (kg), density, density_sd (kg/L), litres, litres_sd, share_sd}: what a tank's mass is made of; false: nothing
**   as_pair: `at` and `at_sd` are those of the piece that the pair's line states; else they are of this piece
** at_top    `at` is a point of the file; otherwise it is measured from the group's place
** piece     of a pair; NULL for any other part. Its body is stated as that of the other piece when it is the image
** fill      holds what the part's `fill` then points to, when the booking states one
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

/* The rotation for {nose_up, nose_down, left_up, right_up, nose_left, nose_right} in degrees at `index`. */
sy_mat3 syl_read_turn(lua_State *L, int index);

/* Where a part stated at `at` with standard uncertainties `sd` lies (mm, file axes; see at_top above). */
void syl_place_part(const syl_geometry *g, bool at_top, const double at[3], const double sd[3],
                    sy_part *part);

/* The inertia of a solid of `kind` ("box" and so on; sizes in m) at `mass`, its axis along library axis 0 fore-aft, 1 across or 2
** upright. */
sy_status syl_solid_inertia(const char *kind, double mass, const double size[3], int axis, sy_sym3 *out,
                            sy_error *err);

/* The fields of a group at `index` over what stands in `group`: at (mm), turned, number, not_aboard. */
void syl_read_group(lua_State *L, int index, const syl_geometry *g, bool at_top, sy_group *group);

#endif
