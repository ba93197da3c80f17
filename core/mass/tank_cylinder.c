/* A cylinder that lies, stands or leans. Seen along its axis the wet part of each section is a circle cut by a chord; stations
** along the axis are added up. At station s (from the middle) the chord stands at u = -R cos p across the axis, p from 0
** (dry) to pi (full). Axis and up are taken to make an acute angle, so p falls along the axis. */
#include "base/units.h"
#include "mass/tank_cut.h"
#include "numeric/gauss.h"

typedef struct lie {
  double radius, half;      /* m */
  sy_vec3 axis, rise, side; /* along the axis, across it towards up, level across it */
  double along, across;     /* of up on axis and rise, both >= 0 */
} lie;

static lie lie_of(const sy_tank *t, sy_vec3 up) {
  lie l = {.radius = 0.5 * t->diameter, .half = 0.5 * t->length};
  l.axis = sy_vec3_scale(1 / sy_vec3_length(t->axis), t->axis);
  l.along = sy_vec3_dot(up, l.axis);
  if (l.along < 0) {
    l.axis = sy_vec3_scale(-1, l.axis);
    l.along = -l.along;
  }
  const sy_vec3 rest = sy_vec3_muladd(up, -l.along, l.axis);
  l.across = sy_vec3_length(rest);
  if (l.across > 0) {
    l.rise = sy_vec3_scale(1 / l.across, rest);
  } else { /* upright: any direction across will do */
    const sy_vec3 other = fabs(l.axis.x) < 0.6 ? (sy_vec3){1, 0, 0} : (sy_vec3){0, 1, 0};
    const sy_vec3 across = sy_vec3_cross(l.axis, other);
    l.rise = sy_vec3_scale(1 / sy_vec3_length(across), across);
  }
  l.side = sy_vec3_cross(l.axis, l.rise);
  return l;
}

/* x - sin x without loss where both are small; the sine is known where they are not. */
static double less_sine(double x, double sine) {
  if (x > 0.5) return x - sine;
  const double q = x * x;
  return x * q / 6 * (1 - q / 20 * (1 - q / 42 * (1 - q / 72 * (1 - q / 110 * (1 - q / 156)))));
}

/* `weight` metres of the axis at station s with the section wet up to p. Moments of a circle's segment, R = 1:
** area p - sin p cos p, u: -2/3 sin^3 p, u^2: p/4 - sin 4p / 16, w^2: p/4 - sin 2p / 6 + sin 4p / 48. */
static void add_section(const lie *l, sy_sums *wet, double weight, double s, double p, double sine,
                        double cosine) {
  const double r2 = l->radius * l->radius, twice = 2 * sine * cosine;
  const double fourfold = 2 * twice * (cosine - sine) * (cosine + sine);
  const double area = 0.5 * less_sine(2 * p, twice) * r2 * weight;
  const double u = -2.0 / 3 * sine * sine * sine * r2 * l->radius * weight;
  const double uu = less_sine(4 * p, fourfold) / 16 * r2 * r2 * weight;
  const double ww = (p / 4 - twice / 6 + fourfold / 48) * r2 * r2 * weight;
  const sy_vec3 at = sy_vec3_scale(s, l->axis);
  tank_add_at(wet, area, at);
  wet->first = sy_vec3_muladd(wet->first, u, l->rise);
  /* s u (axis rise^T + rise axis^T) = s u/2 ((axis + rise)(..)^T - (axis - rise)(..)^T) */
  tank_add_spread(wet, 0.5 * s * u, sy_vec3_add(l->axis, l->rise));
  tank_add_spread(wet, -0.5 * s * u, sy_vec3_sub(l->axis, l->rise));
  tank_add_spread(wet, uu, l->rise);
  tank_add_spread(wet, ww, l->side);
}

/* The strip of the free surface over that station; `width` is its extent along the slope. */
static void add_strip(const lie *l, sy_sums *open, double width, double s, double sine, double cosine) {
  const double half = l->radius * sine;
  const sy_vec3 at = sy_vec3_muladd(sy_vec3_scale(s, l->axis), -l->radius * cosine, l->rise);
  tank_add_at(open, 2 * half * width, at);
  tank_add_spread(open, 2.0 / 3 * half * half * half * width, l->side);
}

/* The sums below are polynomials in p, sin p and cos p over half a turn at most, for which 16 points leave less than rounding.
** Stations from `from`, where the section is wet up to p0, over `length` metres to where it is p1; over them the surface is
** `slope` metres long. cos p runs evenly along the axis; in p everything is smooth, so the nodes are even in p:
** s = from + length sin((p + p0)/2) sin((p - p0)/2) / (sin m sin d), ds = length/2 (sin p / sin m) (d / sin d) dt
** with p = m + d t, which stays good when p0 = p1. */
static void add_partly_wet(const lie *l, tank_cut *c, double from, double length, double slope, double p0,
                           double p1) {
  const double m = 0.5 * (p0 + p1), d = 0.5 * (p1 - p0), sine = sin(m);
  if (!(sine > 0)) return;
  const double sine_d = sin(d), stretch = d != 0 ? d / sine_d : 1;
  for (int i = 0; i < 2 * SY_GAUSS_PAIRS; i++) {
    const double t = i < SY_GAUSS_PAIRS ? sy_gauss[i][0] : -sy_gauss[i - SY_GAUSS_PAIRS][0];
    const double p = m + d * t, sine_p = sin(p), cosine_p = cos(p);
    const double share = 0.5 * sy_gauss[i % SY_GAUSS_PAIRS][1] * (sine_p / sine) * stretch;
    const double half = 0.5 * d * (1 + t),
                 done = sin(p0 + half) / sine * (d != 0 ? sin(half) / sine_d : 0.5 * (1 + t));
    const double s = from + length * done;
    add_section(l, &c->wet, length * share, s, p, sine_p, cosine_p);
    add_strip(l, &c->open, slope * share, s, sine_p, cosine_p);
  }
}

static void add_full(const lie *l, sy_sums *wet, double from, double to) {
  const double length = to - from;
  if (!(length > 0)) return;
  add_section(l, wet, length, 0.5 * (from + to), SY_PI, 0, -1);
  /* the stations spread along the axis */
  tank_add_spread(wet, SY_PI * l->radius * l->radius * length * length * length / 12, l->axis);
}

/* p where up . (s axis + u rise) = level has u = -R cos p */
static double wet_angle(const lie *l, double over) {
  const double reach = l->across * l->radius;
  if (over >= reach) return SY_PI;
  return over <= -reach ? 0 : acos(-over / reach);
}

/* Moments of a piece by how far it lies across towards up (u), level across (w) and along the axis (z). */
typedef struct moments {
  double m, u, z, uu, ww, zz, uz;
} moments;

static sy_sums lay(const lie *l, const moments *c) {
  sy_sums s = {.m = c->m, .first = sy_vec3_muladd(sy_vec3_scale(c->z, l->axis), c->u, l->rise)};
  tank_add_spread(&s, c->zz, l->axis);
  tank_add_spread(&s, c->uu, l->rise);
  tank_add_spread(&s, c->ww, l->side);
  tank_add_spread(&s, 0.5 * c->uz, sy_vec3_add(l->axis, l->rise));
  tank_add_spread(&s, -0.5 * c->uz, sy_vec3_sub(l->axis, l->rise));
  return s;
}

/* One that stands or leans so little that its surface meets neither floor nor roof: a column of liquid stands over every point of the floor, up to
** z + a u. Over a disc odd powers come to nothing and squares to R^2 / 4. */
static bool cut_columns(const lie *l, double level, tank_cut *out) {
  if (l->along < 0.1) return false; /* what follows divides by it */
  const double h = l->half, z = level / l->along, a = -l->across / l->along;
  if (fabs(z) + fabs(a) * l->radius > h) return false;
  const double area = SY_PI * l->radius * l->radius, square = 0.25 * l->radius * l->radius;
  const double spread = a * a * square, high = z + h, open = area / l->along;
  const moments wet = {.m = area * high,
                       .u = area * a * square,
                       .z = 0.5 * area * (z * z + spread - h * h),
                       .uu = area * square * high,
                       .ww = area * square * high,
                       .zz = area * (z * z * z + 3 * z * spread + h * h * h) / 3,
                       .uz = area * z * a * square};
  const moments surface = {.m = open,
                           .u = 0,
                           .z = open * z,
                           .uu = open * square,
                           .ww = open * square,
                           .zz = open * (z * z + spread),
                           .uz = open * a * square};
  *out = (tank_cut){lay(l, &wet), lay(l, &surface)};
  return true;
}

tank_cut sy_tank_cut_cylinder(const sy_tank *tank, sy_vec3 up, double level) {
  const lie l = lie_of(tank, up);
  tank_cut c = {.wet.m = 0};
  if (cut_columns(&l, level, &c)) return c;
  const double reach = l.across * l.radius;
  const double p0 = wet_angle(&l, level + l.along * l.half), p1 = wet_angle(&l, level - l.along * l.half);
  /* full up to `from`, partly wet up to `to`, dry beyond */
  const double from = p0 < SY_PI ? -l.half : fmin(l.half, (level - reach) / l.along);
  const double to = p1 > 0 ? l.half : fmax(-l.half, (level + reach) / l.along);
  if (p0 >= SY_PI) add_full(&l, &c.wet, -l.half, p1 >= SY_PI ? l.half : from);
  if (p0 > 0 && p1 < SY_PI) {
    /* along the slope: R (cos p1 - cos p0) / along where the axis is steep, ds / across where it is not */
    const double steep = -2 * l.radius * sin(0.5 * (p0 + p1)) * sin(0.5 * (p1 - p0)) / l.along;
    const double slope = l.along >= l.across ? steep : (to - from) / l.across;
    add_partly_wet(&l, &c, from, l.along >= l.across ? l.across * steep : to - from, slope, p0, p1);
  }
  return c;
}

/* Of stations that are wet up to p, by how the station goes with cos p:  int (p - sin p cos p) sin p dp. */
static double wedge(double p) {
  const double sine = sin(p);
  return sine - p * cos(p) - sine * sine * sine / 3;
}

bool sy_tank_wet_cylinder(const sy_tank *tank, sy_vec3 up, double level, tank_wet *out) {
  const lie l = lie_of(tank, up);
  const double r2 = l.radius * l.radius;
  /* a flat slope divides by little, and a low fill is a difference of much */
  if (l.along < 0.3) return false;
  const double p0 = wet_angle(&l, level + l.along * l.half), p1 = wet_angle(&l, level - l.along * l.half);
  if (p0 < 1) return false;
  const double full = p0 < SY_PI ? -l.half : fmin(l.half, (level - l.across * l.radius) / l.along);
  out->volume = SY_PI * r2 * (full + l.half) + l.across * r2 * l.radius / l.along * (wedge(p0) - wedge(p1));
  out->area = r2 / l.along * (p0 - p1 - 0.5 * (sin(2 * p0) - sin(2 * p1)));
  return true;
}
