#include "statics/corner_axle.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "statics/corner_spring.h"

typedef struct square {
  double m[2][2];
} square;

static bool is_free(const sy_axle_springs *a, const sy_wheel_case *c, int w) {
  return w < a->count && c[w].stop == 0;
}

static double bar_of(const sy_axle_springs *a) { return a->count == 2 ? a->bar_rate : 0.0; }

/* What resists the travels, without the tyres: springs and bar. */
static square suspension(const sy_axle_springs *a) {
  const double b = bar_of(a);
  square k = {{{a->wheel[0].wheel_rate + b, -b}, {-b, b}}};
  if (a->count == 2) k.m[1][1] += a->wheel[1].wheel_rate;
  return k;
}

/* Inverse of the stiffness that the free travels meet, zero for travels that are fixed. */
static square compliance(const sy_axle_springs *a, const sy_wheel_case *c) {
  square k = suspension(a), n = {{{0, 0}, {0, 0}}};
  for (int w = 0; w < a->count; w++)
    if (c[w].touches) k.m[w][w] += a->wheel[w].tyre_rate;
  const bool first = is_free(a, c, 0), second = is_free(a, c, 1);
  if (first && second) {
    const double det = k.m[0][0] * k.m[1][1] - k.m[0][1] * k.m[1][0];
    n = (square){{{k.m[1][1] / det, -k.m[0][1] / det}, {-k.m[1][0] / det, k.m[0][0] / det}}};
  } else if (first) {
    n.m[0][0] = 1.0 / k.m[0][0];
  } else if (second) {
    n.m[1][1] = 1.0 / k.m[1][1];
  }
  return n;
}

static double stop_travel(const sy_axle_wheel *w, int stop) {
  return stop > 0 ? w->bump : stop < 0 ? -w->droop : 0.0;
}

/* The force the tyre would have if it could pull, at a height of the wheel. */
static inline double tyre_force(const sy_axle_wheel *w, double z) {
  return w->drawn + w->tyre_rate * (w->pad - z);
}

/* The force that the suspension, the bar and the wheel's weight put on the tyre of a wheel free to travel. */
static inline double suspension_force(const sy_axle_springs *a, int w, const double travel[2]) {
  const sy_axle_wheel *p = &a->wheel[w];
  const double other = a->count == 2 ? travel[1 - w] : 0.0;
  return p->weight + (p->drawn - p->drawn_weight) + p->wheel_rate * (travel[w] + p->offset) +
         bar_of(a) * (travel[w] - other) + p->bar_sign * a->bar_force;
}

/* The load of a settled wheel and how sure it is: from the softer of the two springs in series. */
static void load_wheel(const sy_axle_springs *a, const double *height, int w, sy_axle_state *s) {
  const sy_axle_wheel *p = &a->wheel[w];
  const double spring = p->wheel_rate + bar_of(a);
  const bool by_spring = s->fits[w].stop == 0 && spring < p->tyre_rate;
  s->load[w] = s->noise[w] = 0.0;
  if (!s->fits[w].touches) return;
  s->load[w] = by_spring ? suspension_force(a, w, s->travel) : tyre_force(p, height[w] + s->travel[w]);
  s->noise[w] = 4.0 * DBL_EPSILON * (by_spring ? spring : p->tyre_rate) *
                (fabs(height[w]) + fabs(s->travel[0]) + fabs(s->travel[1]) + fabs(p->pad));
}

/* Travels and loads when the case is `c`. */
static void solve_case(const sy_axle_springs *a, const double *height, const sy_wheel_case *c,
                       sy_axle_state *s) {
  const square n = compliance(a, c);
  const double b = bar_of(a);
  double push[2] = {0, 0};
  for (int w = 0; w < a->count; w++) {
    const sy_axle_wheel *p = &a->wheel[w];
    s->fits[w] = c[w];
    s->travel[w] = stop_travel(p, c[w].stop);
    push[w] = (c[w].touches ? tyre_force(p, height[w]) : 0.0) - p->weight - (p->drawn - p->drawn_weight) -
              p->wheel_rate * p->offset - p->bar_sign * a->bar_force;
  }
  if (a->count == 2) { /* a bar also feels the travel of a wheel at its stop */
    if (c[1].stop != 0) push[0] += b * s->travel[1];
    if (c[0].stop != 0) push[1] += b * s->travel[0];
  }
  for (int w = 0; w < a->count; w++)
    if (c[w].stop == 0) s->travel[w] = n.m[w][0] * push[0] + n.m[w][1] * push[1];
  if (a->count == 1) s->travel[1] = 0.0;
  for (int w = 0; w < a->count; w++) load_wheel(a, height, w, s);
}

/* By how many newtons the solved case breaks its own conditions. */
static double violation(const sy_axle_springs *a, const double *height, const sy_axle_state *s) {
  double worst = 0.0;
  for (int w = 0; w < a->count; w++) {
    const sy_axle_wheel *p = &a->wheel[w];
    worst = fmax(worst, s->fits[w].touches ? -s->load[w] : tyre_force(p, height[w] + s->travel[w]));
    if (s->fits[w].stop == 0) {
      const double rate = p->wheel_rate + p->tyre_rate;
      worst = fmax(worst, rate * fmax(s->travel[w] - p->bump, -p->droop - s->travel[w]));
      continue;
    }
    const double other = a->count == 2 ? s->travel[1 - w] : 0.0;
    const double stop = s->load[w] - p->weight - (p->drawn - p->drawn_weight) -
                        p->wheel_rate * (s->travel[w] + p->offset) - bar_of(a) * (s->travel[w] - other) -
                        p->bar_sign * a->bar_force;
    worst = fmax(worst, -stop * s->fits[w].stop);
  }
  return worst;
}

static bool has_stop(const sy_axle_wheel *w, int stop) {
  return stop == 0 || isfinite(stop > 0 ? w->bump : w->droop);
}

static double force_scale(const sy_axle_springs *a) {
  double scale = 0.0;
  for (int w = 0; w < a->count; w++) scale += fabs(a->wheel[w].drawn) + fabs(a->wheel[w].weight);
  return scale;
}

static void settle_straight(const sy_axle_springs *a, const double height[2], sy_axle_state *state) {
  static const sy_wheel_case cases[6] = {{true, 0},  {false, 0},  {true, 1},
                                         {true, -1}, {false, -1}, {false, 1}};
  const double enough = 1e-13 * force_scale(a); /* a few hundred roundings of the forces themselves */
  sy_axle_state best;
  solve_case(a, height, state->fits, &best);
  double least = violation(a, height, &best);
  for (int i = 0; i < 6 && least > enough; i++) {
    if (!has_stop(&a->wheel[0], cases[i].stop)) continue;
    for (int k = 0; k < (a->count == 2 ? 6 : 1) && least > enough; k++) {
      if (a->count == 2 && !has_stop(&a->wheel[1], cases[k].stop)) continue;
      const sy_wheel_case c[2] = {cases[i], cases[k]};
      sy_axle_state s;
      solve_case(a, height, c, &s);
      const double off = violation(a, height, &s);
      if (off < least) {
        least = off;
        best = s;
      }
    }
  }
  *state = best;
}

/* ---- bent wheels --------------------------------------------------------------------------------------------------------- */

void sy_axle_bend(sy_axle_springs *a, const double travel[2], int side) {
  for (int w = 0; w < 2 && w < a->count; w++) {
    sy_axle_wheel *p = &a->wheel[w];
    if (p->bent == NULL) continue;
    const double drawn = p->drawn - p->drawn_weight;
    const sy_spring_state s = sy_spring_at(p->bent, drawn, p->perch, travel[w], side);
    p->wheel_rate = s.rate;
    p->offset = (s.force - drawn) / s.rate - travel[w];
    p->ratio = s.rate / s.perch_rate;
    p->drawn_part = s.drawn_part;
  }
}

/* By how much the energy grows along a step of the travels, at those that the axle is bent at. */
static double growth_along(const sy_axle_springs *a, const double height[2], const double travel[2],
                           const double step[2]) {
  double sum = 0.0;
  for (int w = 0; w < a->count; w++)
    sum += step[w] *
           (suspension_force(a, w, travel) - fmax(0.0, tyre_force(&a->wheel[w], height[w] + travel[w])));
  return sum;
}

/* Takes the part of a step that leads the energy down: all of it unless that runs far past the bottom, as where a tangent was taken on one
** side of a corner and the step ends on the other. The axle is bent there. */
static void take_step(sy_axle_springs *a, const double height[2], const double step[2], double travel[2]) {
  const double from[2] = {travel[0], travel[1]}, enough = -0.3 * growth_along(a, height, from, step);
  double low = 0.0, high = 1.0, part = 1.0;
  for (int i = 0; i < 20; i++) { /* a millionth of a step is none */
    for (int w = 0; w < 2; w++) travel[w] = from[w] + part * step[w];
    sy_axle_bend(a, travel, 1);
    const double growth = growth_along(a, height, travel, step);
    if (!isfinite(growth) || (growth <= enough && (part == 1.0 || growth >= -enough))) return;
    *(growth > 0.0 ? &high : &low) = part;
    part = 0.5 * (low + high);
  }
}

/* Newton's steps: the axle with straight wheels along the tangents settles exactly, contact and stops included; its step leads down, since its
** energy grows there as the axle's own does. */
static void settle_bent(sy_axle_springs *a, const double height[2], sy_axle_state *state) {
  const int most = 40; /* some five are taken, and one for each corner of the curve on the way */
  const double enough = 1e-13 * force_scale(a);
  double at[2] = {state->travel[0], a->count == 2 ? state->travel[1] : 0.0};
  sy_axle_bend(a, at, 1);
  for (int round = 0; round < most; round++) {
    double step[2] = {0, 0}, left = 0.0;
    bool moves = false;
    settle_straight(a, height, state);
    for (int w = 0; w < a->count; w++) {
      step[w] = state->travel[w] - at[w];
      left = fmax(left, fabs(step[w]) * a->wheel[w].wheel_rate);
      moves = moves || fabs(step[w]) > 4.0 * DBL_EPSILON * (fabs(at[w]) + fabs(height[w]));
    }
    if (left <= enough || !moves || !isfinite(left)) return; /* what is not finite is refused by who asked */
    take_step(a, height, step, at);
  }
}

void sy_axle_settle(sy_axle_springs *a, const double height[2], sy_axle_state *state) {
  if (a->wheel[0].bent != NULL || a->wheel[1].bent != NULL)
    settle_bent(a, height, state);
  else
    settle_straight(a, height, state);
}

/* ---- sensitivities ------------------------------------------------------------------------------------------------------- */

void sy_axle_sensitivity(const sy_axle_springs *a, const sy_wheel_case fits[2], sy_axle_sensitivities *out) {
  const square n = compliance(a, fits), k = suspension(a);
  *out = (sy_axle_sensitivities){.load_bar_force = {0, 0}};
  for (int w = 0; w < a->count; w++) {
    const double tyre = fits[w].touches ? a->wheel[w].tyre_rate : 0.0;
    for (int v = 0; v < a->count; v++) {
      const sy_axle_wheel *p = &a->wheel[v];
      /* 1 - n k_t = n (k - k_t) with k - k_t the suspension: no digits lost on stiff tyres */
      double remains = fits[w].stop != 0 && v == w ? 1.0 : 0.0;
      for (int x = 0; x < a->count; x++)
        if (is_free(a, fits, v)) remains += n.m[w][x] * k.m[x][v];
      out->stiffness[w][v] = tyre * remains;
      out->load_offset[w][v] = tyre * n.m[w][v] * p->wheel_rate;
      out->load_weight[w][v] = tyre * n.m[w][v];
      const double drawn_part = p->bent != NULL ? p->drawn_part : 1.0;
      out->load_drawn[w][v] = (fits[w].touches ? (v == w ? 1.0 : 0.0) : 0.0) +
                              tyre * n.m[w][v] * (drawn_part - (fits[v].touches ? 1.0 : 0.0));
      out->load_bar_force[w] += tyre * n.m[w][v] * p->bar_sign;
    }
  }
}
