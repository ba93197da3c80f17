/* corner.h - the corner model of a car as the bindings of corners, perches and attitude share it. */
#ifndef SYL_BIND_STATICS_CORNER_H
#define SYL_BIND_STATICS_CORNER_H

#include "bind/statics/settle.h"
#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"
#include "statics/corner.h"

typedef struct syl_corner {
  sy_corner_model model;
  sy_totals now;        /* liquid where the ledger books it */
  sy_corner_load load;  /* now, here and below with the liquid where it lies */
  sy_vec3 gravity;      /* in the ground's frame: leaning when the ground slopes */
  sy_sums sums, sprung; /* now, about the vehicle's origin */
  sy_sums moved;        /* what that did to the sums */
} syl_corner;

/* What core.corners and its like are asked: (ledger, drawn, geometry, pads?, perches?, preload?, bars?, tanks?), with the answer. */
typedef struct syl_asked {
  const sy_ledger *now, *drawn;
  const syl_geometry *g;
  const syl_tanks *tanks; /* or NULL */
  syl_corner corner;
  double lean[2]; /* of the ground, deg */
  sy_corner_setting
      setting; /* pads (mm) and perches (turns) by wheel, preload (mm) by axle, bars; pads may have the ground's slope as
                                fields nose_up and left_up (deg) */
  sy_corner_result result;
} syl_asked;

/* Reads the eight from the stack's bottom, and downforce (kg by axle) at the index `downforce` unless that is 0, and solves; raises what is
** wrong. */
void syl_corner_ask(lua_State *L, int downforce, syl_asked *out);

/* How the ground slopes under the car, deg: fields nose_up and left_up of the table at `index`, 0 without; and gravity there. */
void syl_read_lean(lua_State *L, int index, double lean[2]);
sy_vec3 syl_lean_gravity(const double lean[2]);

/* The slopes at the answer. */
void syl_corner_slopes(lua_State *L, const syl_asked *asked, sy_corner_slopes *out);

/* What the totals put on the springs under out->gravity, with the liquid moved as out->moved has it. Errors as sy_corner_load_of. */
sy_status syl_corner_load(const sy_totals *now, const syl_geometry *g, syl_corner *out, sy_error *err);

/* How far the CG went up with body, wheels and liquid, m. */
double syl_cg_rise(const syl_geometry *g, const syl_corner *corner, const sy_corner_result *result);

void syl_corner_solve(lua_State *L, const syl_corner *corner, const sy_corner_setting *setting,
                      sy_corner_result *out);

/* Pushes a table of loads, heights, travels, angles and what is off the ground or at a stop. */
void syl_push_stand(lua_State *L, const syl_geometry *g, const sy_corner_result *result);

/* Pushes an axle's key in results: front and rear of two, else its name. */
void syl_push_axle_key(lua_State *L, const syl_geometry *g, int geometry_index, int axle);

/* Sets key = {lf = value times scale, ...} in the table on top. */
void syl_set_by_wheel(lua_State *L, const char *key, const syl_geometry *g, const double *value,
                      double scale);

/* The model of a drawn state's totals, for a vehicle with the wheels of g. Errors as sy_corner_make. */
sy_status syl_corner_drawn(const sy_totals *drawn, const syl_geometry *g, const sy_vehicle *vehicle,
                           sy_corner_model *out, sy_error *err);

/* Steps a field of the vehicle by `part` of its standard uncertainty, as entry number `entry` of the list at `index` says it:
** {axle, field, standard uncertainty}, field spring_rate, tyre_rate, bar_rate (N/mm), motion_ratio, roll_centre (mm) of the axle, torsion
** (N m/deg) or cross_share (%). Rates stay above 0. Raises what is no such entry. */
void syl_shift_by_entry(lua_State *L, int index, lua_Integer entry, double part, sy_vehicle *vehicle);

/* The list of `count` numbers at `index` (nil: zeros), each times `scale`. */
void syl_read_list(lua_State *L, int index, int count, double scale, double *out);

/* Answers that follow from the wheels' loads, beside the loads themselves. */
enum {
  SYL_FRONT,
  SYL_REAR,
  SYL_LEFT,
  SYL_RIGHT,
  SYL_MASS,
  SYL_FRONT_SHARE,
  SYL_LEFT_SHARE,
  SYL_CROSS_SHARE,
  SYL_DIAGONAL_RATIO,
  SYL_PLAIN_ANSWERS
};
extern const char *const syl_plain_name[SYL_PLAIN_ANSWERS];

/* Value of one of them, in kg and percent, and its slopes by each load (N); NaN without meaning. */
double syl_corner_answer(const syl_geometry *g, const double *load, int answer, double slope[SY_MAX_WHEELS]);

#endif
