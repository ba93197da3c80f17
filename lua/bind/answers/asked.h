/* asked.h - a car as a script asks about it, from a Lua table to the library's sy_car.
**
** The table: now (ledger), drawn? (ledger), geometry, tanks?; pads? (mm), turns? (of perches) by wheel in their order, preload? (mm) and
** downforce? (kg) by axle, raised? {front, rear} (mm that the perches had set the body higher), bars?, slope? {nose_up =, left_up =} of the
** floor (deg), forward?, left? (g), mu?, brake_front_share?, drive_front_share? (%); cross_share? (%) of the drawn state where it is not the
** file's; what was found of its shafts?, gaps? and one tank, usable? (found.h); beside?: how the geometry's cross weight rests on one that
** records read (core.beside).
** Uncertainties of pads, turns, preload, downforce and slope stand beside them as pads_sd and so on, those of single numbers too; those of
** the vehicle's rates come with the geometry.
*/
#ifndef SYL_BIND_ANSWERS_ASKED_H
#define SYL_BIND_ANSWERS_ASKED_H

#include "answers/stand.h"
#include "bind/answers/settle.h"
#include "bind/vehicle/geometry.h"

enum { SYL_MOST_STATED = SYL_MOST_RATES + 2 * SY_MAX_WHEELS + 2 * SY_MAX_AXLES + 10 };

/* The table stays where it is on the stack as long as this is used: it keeps the ledgers, the geometry and the tanks alive. */
typedef struct syl_asked {
  sy_car car; /* its stated uncertainties lie below */
  const syl_geometry *g;
  const syl_tanks *tanks; /* or NULL */
  sy_stated stated[SYL_MOST_STATED];
} syl_asked;

/* How a cross weight rests on one that was read (answers/beside.h), as userdata. */
#define SYL_BESIDE "steelyard.beside"

/* Raises what is wrong with the table at `index`. */
void syl_read_asked(lua_State *L, int index, syl_asked *a);

/* Pushes the table's geometry and gives its index: axles are named by it. */
int syl_push_geometry_of(lua_State *L, int index);

/* The same standing on its springs; raises where it does not. */
void syl_stand(lua_State *L, const syl_asked *asked, sy_stand *out);

#endif
