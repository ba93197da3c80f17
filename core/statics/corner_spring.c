#include "statics/corner_spring.h"

#include <math.h>

static bool has_stop(const sy_wheel *w) { return !isnan(w->stop_rate); }

static double stop_force(const sy_wheel *w, double travel) {
  return has_stop(w) ? w->stop_rate * fmax(0.0, travel - w->stop_gap) : 0.0;
}

static double ratio_at(const sy_wheel *w, double travel) {
  return w->motion_ratio * (w->curve.count > 0 ? sy_ratio_at(&w->curve, travel) : 1.0);
}

/* N in the spring */
static double spring_force(const sy_wheel *w, double drawn_force, double perch, double travel) {
  const double by_travel = w->curve.count > 0 ? sy_ratio_spring_travel(&w->curve, travel) : travel;
  return (drawn_force - stop_force(w, 0.0)) / ratio_at(w, 0.0) +
         w->spring_rate * (w->motion_ratio * by_travel + perch);
}

/* As sy_ratio_steepness at its corner. */
static double stop_rate(const sy_wheel *w, double travel, int side) {
  if (!has_stop(w)) return 0.0;
  if (side == 0 && fabs(travel - w->stop_gap) <= SY_TRAVEL_NOTHING) return 0.5 * w->stop_rate;
  return travel > w->stop_gap || (travel == w->stop_gap && side > 0) ? w->stop_rate : 0.0;
}

static double rate_at(const sy_wheel *w, double force, double ratio, double travel, int side) {
  const double steepness =
      w->curve.count > 0 ? w->motion_ratio * sy_ratio_steepness(&w->curve, travel, side) : 0.0;
  return w->spring_rate * ratio * ratio + force * steepness + stop_rate(w, travel, side);
}

sy_spring_state sy_spring_at(const sy_wheel *w, double drawn_force, double perch, double travel, int side) {
  const double ratio = ratio_at(w, travel), force = spring_force(w, drawn_force, perch, travel);
  return (sy_spring_state){.force = ratio * force + stop_force(w, travel),
                           .rate = rate_at(w, force, ratio, travel, side),
                           .perch_rate = w->spring_rate * ratio,
                           .drawn_part = ratio / ratio_at(w, 0.0)};
}

typedef struct least {
  double low, high; /* m, the ends of the travel */
  double rate, travel;
} least;

static void look(const sy_wheel *w, double drawn_force, double perch, double travel, least *out) {
  if (travel < out->low || travel > out->high) return;
  const double ratio = ratio_at(w, travel), force = spring_force(w, drawn_force, perch, travel);
  for (int side = -1; side <= 1; side += 2) {
    if (travel == (side < 0 ? out->low : out->high)) continue; /* beyond is not travelled */
    const double rate = rate_at(w, force, ratio, travel, side);
    if (rate < out->rate) out->rate = rate, out->travel = travel;
  }
}

double sy_spring_least_rate(const sy_wheel *w, double drawn_force, double perch, double *travel) {
  const double endless = (double)INFINITY;
  least found = {isnan(w->droop) ? -endless : -w->droop, isnan(w->bump) ? endless : w->bump, endless, 0.0};
  look(w, drawn_force, perch, 0.0, &found);
  for (int i = 0; i < w->curve.count; i++) look(w, drawn_force, perch, w->curve.travel[i], &found);
  if (has_stop(w)) look(w, drawn_force, perch, w->stop_gap, &found);
  if (isfinite(found.low)) look(w, drawn_force, perch, found.low, &found);
  if (isfinite(found.high)) look(w, drawn_force, perch, found.high, &found);
  *travel = found.travel;
  return found.rate;
}
