#include "mass/tank.h"

#include <float.h>

#include "base/units.h"
#include "mass/tank_cut.h"

#define OVERFULL 1e-9 /* of the capacity: a sum of fills may round, more is an error */

sy_tank sy_tank_default(sy_tank_kind kind) {
  return (sy_tank){.kind = kind,
                   .size = {(double)NAN, (double)NAN, (double)NAN},
                   .diameter = (double)NAN,
                   .length = (double)NAN,
                   .axis = {0, 0, 0}};
}

static bool sound(double size) { return size > 0 && isfinite(size); }

/* Up to the fifth power of a size goes into an inertia: beyond these it would be no number. */
#define LEAST_SIZE 1e-6
#define MOST_SIZE  1e4

static sy_status check_size(const char *field, double size, sy_error *err) {
  if (!sound(size)) return sy_fail(err, SY_RANGE, "tank", field, "is %g m, must be > 0 and finite", size);
  if (size >= LEAST_SIZE && size <= MOST_SIZE) return SY_OK;
  return sy_fail(err, SY_RANGE, "tank", field, "is %g m, must be within %g and %g", size, LEAST_SIZE,
                 MOST_SIZE);
}

static sy_status check_tank(const sy_tank *t, sy_error *err) {
  sy_status status = SY_OK;
  if (t->kind > SY_TANK_MESH)
    return sy_fail(err, SY_RANGE, "tank", "kind", "is %d, which is unknown", (int)t->kind);
  if (t->kind == SY_TANK_MESH)
    return t->mesh != NULL ? SY_OK : sy_fail(err, SY_MISSING, "tank", "mesh", "is missing");
  if (t->kind == SY_TANK_CYLINDER) {
    status = check_size("diameter", t->diameter, err);
    if (status == SY_OK) status = check_size("length", t->length, err);
    if (status == SY_OK && !sound(sy_vec3_length(t->axis)))
      status = sy_fail(err, SY_RANGE, "tank", "axis", "is not a direction");
    return status;
  }
  status = check_size("length", t->size.x, err);
  if (status == SY_OK) status = check_size("width", t->size.y, err);
  if (status == SY_OK) status = check_size("height", t->size.z, err);
  return status;
}

static double capacity_of(const sy_tank *t) {
  switch (t->kind) {
  case SY_TANK_MESH: return sy_mesh_sums(t->mesh).m;
  case SY_TANK_CYLINDER: return SY_PI / 4 * t->diameter * t->diameter * t->length;
  case SY_TANK_ELLIPSOID: return SY_PI / 6 * t->size.x * t->size.y * t->size.z;
  case SY_TANK_BOX: break;
  }
  return t->size.x * t->size.y * t->size.z;
}

sy_status sy_tank_capacity(const sy_tank *tank, double *out, sy_error *err) {
  const sy_status status = check_tank(tank, err);
  if (status == SY_OK) *out = capacity_of(tank);
  return status;
}

static sy_vec3 middle_of(const sy_tank *t) {
  if (t->kind != SY_TANK_MESH) return (sy_vec3){0, 0, 0};
  const sy_mesh_about *about = sy_mesh_describe(t->mesh);
  return sy_vec3_scale(0.5, sy_vec3_add(about->low, about->high));
}

/* The lowest and the highest level, from the middle. */
static void reach_of(const sy_tank *t, sy_vec3 up, double *low, double *high) {
  if (t->kind == SY_TANK_MESH) {
    const sy_vec3 middle = middle_of(t);
    *low = (double)INFINITY;
    *high = -(double)INFINITY;
    for (size_t i = 0; i < sy_mesh_describe(t->mesh)->triangles; i++) {
      sy_vec3 p[3];
      sy_mesh_triangle(t->mesh, i, p);
      for (int k = 0; k < 3; k++) {
        const double height = sy_vec3_dot(up, sy_vec3_sub(p[k], middle));
        *low = fmin(*low, height);
        *high = fmax(*high, height);
      }
    }
    return;
  }
  double half;
  if (t->kind == SY_TANK_CYLINDER) {
    const double along = sy_vec3_dot(up, t->axis) / sy_vec3_length(t->axis);
    const double across = sy_vec3_length(sy_vec3_cross(up, t->axis)) / sy_vec3_length(t->axis);
    half = 0.5 * (t->length * fabs(along) + t->diameter * across);
  } else {
    const sy_vec3 s = {up.x * t->size.x, up.y * t->size.y, up.z * t->size.z};
    half = t->kind == SY_TANK_BOX ? 0.5 * (fabs(s.x) + fabs(s.y) + fabs(s.z)) : 0.5 * sy_vec3_length(s);
  }
  *low = -half;
  *high = half;
}

static tank_cut cut(const sy_tank *t, sy_vec3 up, double level) {
  if (t->kind == SY_TANK_CYLINDER) return sy_tank_cut_cylinder(t, up, level);
  if (t->kind == SY_TANK_ELLIPSOID) return sy_tank_cut_ellipsoid(t, up, level);
  tank_cut box;
  if (t->kind == SY_TANK_BOX && sy_tank_cut_box(t, up, level, &box)) return box;
  return sy_tank_cut_surface(t, up, level);
}

/* Where to look first for the level at which `share` of the tank is wet. In a box whose surface meets neither its floor nor its roof, with
** one pair of faces for these, liquid stands over every point of the floor: the level over its middle is that of the box upright. So it is in a
** cylinder. */
static double first_level(const sy_tank *t, sy_vec3 up, double share, double low, double high) {
  if (t->kind == SY_TANK_BOX) {
    const double half[3] = {0.5 * fabs(up.x) * t->size.x, 0.5 * fabs(up.y) * t->size.y,
                            0.5 * fabs(up.z) * t->size.z};
    for (int k = 0; k < 3; k++) {
      const double level = half[k] * (2.0 * share - 1.0), lean = half[(k + 1) % 3] + half[(k + 2) % 3];
      if (fabs(level) + lean <= half[k]) return level;
    }
  }
  if (t->kind == SY_TANK_CYLINDER) {
    const double along = fabs(sy_vec3_dot(up, t->axis)) / sy_vec3_length(t->axis);
    const double half = 0.5 * along * t->length, level = half * (2.0 * share - 1.0);
    if (fabs(level) + (high - half) <= half) return level; /* high: half and the lean of the surface */
  }
  return low + (high - low) * share;
}

static tank_wet wet(const sy_tank *t, sy_vec3 up, double level) {
  tank_wet found;
  if (t->kind == SY_TANK_MESH) return sy_tank_wet_surface(t, up, level);
  if (t->kind == SY_TANK_CYLINDER && sy_tank_wet_cylinder(t, up, level, &found)) return found;
  tank_cut box;
  if (t->kind == SY_TANK_BOX && !sy_tank_cut_box(t, up, level, &box))
    return sy_tank_wet_surface(t, up, level);
  const tank_cut c = t->kind == SY_TANK_BOX ? box : cut(t, up, level);
  return (tank_wet){c.wet.m, c.open.m};
}

/* The cut that holds `volume`: Newton's step where it stays inside the bracket, half of it otherwise. */
static tank_cut cut_for(const sy_tank *t, sy_vec3 up, double volume, double capacity, double low, double high,
                        double *level) {
  const double span = high - low;
  double d = first_level(t, up, volume / capacity, low, high);
  for (int i = 0; i < 200; i++) { /* a bracket of doubles is used up after far fewer */
    const tank_wet now = wet(t, up, d);
    const double miss = now.volume - volume;
    if (miss > 0)
      high = d;
    else
      low = d;
    if (fabs(miss) <= 2 * DBL_EPSILON * volume || high - low <= DBL_EPSILON * span) break;
    const double step = now.area > 0 ? miss / now.area : span;
    const double next = d - step > low && d - step < high ? d - step : 0.5 * (low + high);
    if (next == d) break;
    d = next;
  }
  *level = d;
  return cut(t, up, d);
}

static sy_liquid describe(const sy_tank *t, sy_vec3 up, const tank_cut *c, double level, double low) {
  const sy_vec3 middle = middle_of(t), none = {(double)NAN, (double)NAN, (double)NAN};
  sy_liquid out = {.volume = c->wet.m,
                   .level = level + sy_vec3_dot(up, middle),
                   .depth = level - low,
                   .centroid = none,
                   .surface = none};
  if (c->wet.m > 0) {
    const sy_massprops body = sy_sums_body(&c->wet);
    out.centroid = sy_vec3_add(middle, body.cg);
    out.inertia = body.inertia;
  }
  if (c->open.m > 0) {
    const sy_sums *s = &c->open;
    const sy_vec3 at = sy_vec3_scale(1 / s->m, s->first);
    sy_sums about = *s;
    tank_add_spread(&about, -s->m, at);
    out.area = s->m;
    out.surface = sy_vec3_add(middle, at);
    out.surface_second = about.second;
  }
  return out;
}

static sy_status unit_up(sy_vec3 *up, sy_error *err) {
  const double length = sy_vec3_length(*up);
  if (!sound(length))
    return sy_fail(err, SY_RANGE, "tank", "up", "is not a direction: without gravity there is no level");
  *up = sy_vec3_scale(1 / length, *up);
  return SY_OK;
}

sy_status sy_tank_liquid(const sy_tank *tank, double volume, sy_vec3 up, sy_liquid *out, sy_error *err) {
  sy_status status = check_tank(tank, err);
  if (status == SY_OK) status = unit_up(&up, err);
  if (status != SY_OK) return status;
  const double capacity = capacity_of(tank);
  if (!(volume >= 0 && isfinite(volume)))
    return sy_fail(err, SY_RANGE, "tank", "volume", "is %g litres, must be >= 0", volume / SY_LITRE);
  if (volume > capacity * (1 + OVERFULL))
    return sy_fail(err, SY_RANGE, "tank", "volume", "is %g litres, the tank holds %g", volume / SY_LITRE,
                   capacity / SY_LITRE);
  double low, high, level;
  reach_of(tank, up, &low, &high);
  tank_cut now;
  if (volume == 0) {
    level = low;
    now = (tank_cut){.wet.m = 0};
  } else if (volume >= capacity) {
    level = high;
    now = cut(tank, up, high);
    now.open = (sy_sums){0};
  } else {
    now = cut_for(tank, up, volume, capacity, low, high, &level);
  }
  *out = describe(tank, up, &now, level, low);
  out->volume = volume;
  return SY_OK;
}

sy_status sy_tank_to_height(const sy_tank *tank, double height, sy_vec3 up, sy_liquid *out, sy_error *err) {
  sy_liquid empty;
  sy_status status = sy_tank_liquid(tank, 0, up, &empty, err);
  if (status == SY_OK) status = unit_up(&up, err);
  if (status == SY_OK && !isfinite(height))
    status = sy_fail(err, SY_RANGE, "tank", "height", "is %g m, must be finite", height);
  if (status != SY_OK) return status;
  return sy_tank_below(tank, sy_vec3_scale(empty.level + height, up), up, out, err);
}

sy_status sy_tank_below(const sy_tank *tank, sy_vec3 point, sy_vec3 up, sy_liquid *out, sy_error *err) {
  sy_status status = check_tank(tank, err);
  if (status == SY_OK) status = unit_up(&up, err);
  if (status == SY_OK && !sy_vec3_finite(point))
    status = sy_fail(err, SY_RANGE, "tank", "point", "is not finite");
  if (status != SY_OK) return status;
  double low, high;
  reach_of(tank, up, &low, &high);
  double level = sy_vec3_dot(up, sy_vec3_sub(point, middle_of(tank)));
  tank_cut now = {.wet.m = 0};
  if (level > low) now = cut(tank, up, fmin(level, high));
  if (level >= high) now.open = (sy_sums){0};
  level = fmax(low, fmin(level, high));
  *out = describe(tank, up, &now, level, low);
  return SY_OK;
}
