/* constants.c - what core/ states in numbers and the Lua side needs, so that each stands once. */
#include <lauxlib.h>

#include "base/units.h"
#include "bind/open.h"
#include "mass/ledger.h"
#include "numeric/uncertain.h"
#include "vehicle/vehicle.h"

/* core.constants: units in SI (base/units.h), sqrt 3, the sizes of arrays that a file can fill */
void syl_open_constants(lua_State *L) {
  static const struct {
    const char *name;
    double value;
  } numbers[] = {{"millimetre", SY_MILLIMETRE},
                 {"inch", SY_INCH},
                 {"foot", SY_FOOT},
                 {"gram", SY_GRAM},
                 {"pound", SY_POUND},
                 {"ounce", SY_OUNCE},
                 {"pound_force", SY_POUND_FORCE},
                 {"standard_gravity", SY_STANDARD_GRAVITY},
                 {"degree", SY_DEGREE},
                 {"litre", SY_LITRE},
                 {"us_gallon", SY_US_GALLON},
                 {"imperial_gallon", SY_IMPERIAL_GALLON},
                 {"root_3", SY_ROOT_3}};
  static const struct {
    const char *name;
    lua_Integer value;
  } sizes[] = {{"most_axles", SY_MAX_AXLES},
               {"most_instruments", SY_MAX_INSTRUMENTS},
               {"most_carriers", SY_MAX_UNSPRUNG}};
  enum { NUMBERS = sizeof numbers / sizeof *numbers, SIZES = sizeof sizes / sizeof *sizes };
  lua_createtable(L, 0, NUMBERS + SIZES);
  for (int i = 0; i < NUMBERS; i++) {
    lua_pushnumber(L, numbers[i].value);
    lua_setfield(L, -2, numbers[i].name);
  }
  for (int i = 0; i < SIZES; i++) {
    lua_pushinteger(L, sizes[i].value);
    lua_setfield(L, -2, sizes[i].name);
  }
  lua_setfield(L, -2, "constants");
}
