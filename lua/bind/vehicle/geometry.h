/* geometry.h - the vehicle as a file measures it: axes, wheels and the map from moments to loads. */
#ifndef SYL_BIND_VEHICLE_GEOMETRY_H
#define SYL_BIND_VEHICLE_GEOMETRY_H

#include <lua.h>

#include "answers/answer_set.h"
#include "base/axes.h"
#include "base/units.h"
#include "bind/vehicle/suspension.h"
#include "statics/balance.h"

#define SYL_GEOMETRY "steelyard.geometry"
#define SYL_PER_KG   (1.0 / SY_STANDARD_GRAVITY) /* a scale reads kilograms */

enum { SYL_MOST_RATES = 5 * SY_MAX_WHEELS + 5 * SY_MAX_AXLES + SYL_SUSPENSION_RATES * SY_MAX_AXLES + 2 };

typedef struct syl_geometry {
  sy_axes axes;
  sy_vehicle vehicle;
  sy_loadmap map;                 /* level ground, standard gravity */
  double cross_sd;                /* standard uncertainty of the vehicle's cross weight, a ratio */
  bool cross_measured;            /* by the records that its ledgers carry */
  bool places_err;                /* where its wheels stand is uncertain */
  sy_stated rate[SYL_MOST_RATES]; /* all stated uncertainties of the vehicle, that one too */
  int rate_count;
  char wheel_key[SY_MAX_WHEELS][SY_WHEEL_KEY];
} syl_geometry;

/* its user values: lists of the axles' names and of the wheels' keys */
enum { SYL_AXLE_NAMES = 1, SYL_WHEEL_KEYS };

/* How an answer is shown: shown = scale * value + offset, in workshop units and the file's axes. */
typedef struct syl_shown {
  sy_answer answer;
  double scale, offset;
} syl_shown;

/* What workshops read of an answer in that unit: kg on a scale, mm, degrees, percent. A factor. */
double syl_in_workshop_units(sy_unit unit);

const syl_geometry *syl_check_geometry(lua_State *L, int index);

/* How one of the file's axes (0, 1, 2) runs: along which of the library's, forward or back along it (+1, -1), and the file's coordinate of
** the library's origin, m. */
typedef struct syl_along {
  int axis;
  double sign, origin;
} syl_along;

syl_along syl_file_axis(const sy_axes *axes, int letter);

/* A coordinate along the file's axis 0, 1 or 2, of the point whose first answer is `x`; an entry of the inertia tensor in the
** file's axes. */
syl_shown syl_shown_place(const sy_axes *axes, int letter, sy_answer x);
syl_shown syl_shown_moment(const sy_axes *axes, int first, int second);

/* The CG behind the front axle. */
syl_shown syl_shown_behind(const syl_geometry *g);

void syl_open_geometry(lua_State *L);

#endif
