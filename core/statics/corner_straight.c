#include "statics/corner_straight.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "statics/corner_body.h"
#include "statics/corner_spring.h"

/* ---- one axle ------------------------------------------------------------------------------------------------------------ */

/* An axle with what its travels follow from. */
typedef struct line {
  int axle, first, count;
  double track, ahead, lean;    /* x and l above */
  double turned[2];             /* how much of what leans with the hubs turns which half of the body */
  double bar, links, bar_force; /* N/m; N before anything leans, up on the left of the body */
  double side[2], spring[2], tyre[2], offset[2], pad[2];
  double weight[2], sprung[2]; /* N: of the wheel, and what its spring carries as drawn */
  /* Of the case: */
  double touching[2]; /* the tyre's rate, 0 when it is off the ground */
  double push[2];     /* p: N on the free travels of a body as drawn */
  double stopped[2];  /* travel of a wheel at its stop, else 0 */
  double give[2][2];  /* C, 0 for wheels at stops */
  double rise[2][2];  /* of the hubs by the body's heights */
  double pitched[2];  /* and by its pitch beside them */
} line;

static void lay_axle(const sy_corner_model *m, const sy_corner_load *load, const sy_corner_setting *s,
                     const sy_corner_lean *lean, int axle, int first, line *l) {
  const sy_axle *a = &m->vehicle.axle[axle];
  memset(l, 0, sizeof *l);
  l->axle = axle, l->first = first, l->count = a->wheels;
  if (a->wheels == 2) {
    const sy_contact *left = &m->wheel[first], *right = left + 1;
    l->track = left->y - right->y;
    l->ahead = left->x - right->x;
    l->bar = s->bars ? a->bar_rate : 0.0;
    l->links = load->couple[axle] / l->track;
    l->bar_force = l->bar * s->preload[axle] + l->links;
    if (lean != NULL && lean->hubs[axle] != 0.0) {
      l->lean = lean->hubs[axle] / (l->track * l->track);
      l->turned[0] = sy_corner_links(&m->vehicle, axle);
      l->turned[1] = 1.0 - l->turned[0];
    }
    l->side[0] = 1.0, l->side[1] = -1.0;
  }
  for (int w = 0; w < a->wheels; w++) {
    const int i = first + w;
    l->spring[w] = m->wheel_rate[i];
    l->tyre[w] = m->tyre_rate[i];
    l->offset[w] = s->perch[i] != 0.0 ? s->perch[i] / m->motion_ratio[i] : 0.0;
    l->pad[w] = s->pad[i];
    l->weight[w] = load->wheel[i];
    l->sprung[w] = m->drawn[i] - m->drawn_load.wheel[i];
  }
}

/* Bent wheels along their tangents at these travels, as in corner_axle.c. */
static void bend_axle(const sy_corner_model *m, const sy_corner_setting *s, const double *travel, line *l) {
  for (int w = 0; w < l->count; w++) {
    const int i = l->first + w;
    if (!(m->bent >> i & 1u)) continue;
    const sy_spring_state at = sy_spring_at(&m->vehicle.wheel[i], l->sprung[w], s->perch[i], travel[i], 1);
    l->spring[w] = at.rate;
    l->offset[w] = (at.force - l->sprung[w]) / at.rate - travel[i];
  }
}

/* Did the bent wheels end where their tangents were taken, but for rounding? */
static bool is_bent_there(const sy_corner_model *m, const line *l, const double *from, const double *to) {
  bool there = true;
  for (int w = 0; w < l->count; w++) {
    const int i = l->first + w;
    const double step = fabs(to[i] - from[i]);
    there = there && (!(m->bent >> i & 1u) || step <= 4.0 * DBL_EPSILON * (fabs(to[i]) + 1e-3) ||
                      step * l->spring[w] <= 1e-13 * fabs(m->drawn[i]));
  }
  return there;
}

/* C of the free travels: false when one falls over on what holds it. */
static bool invert(line *l, const bool free[2], double k00, double k01, double k11) {
  if (free[0] && free[1]) {
    const double det = k00 * k11 - k01 * k01;
    if (!(k00 > 0.0 && det > 0.0)) return false;
    const double inverse = 1.0 / det;
    l->give[0][0] = k11 * inverse, l->give[1][1] = k00 * inverse;
    l->give[0][1] = l->give[1][0] = -k01 * inverse;
    return true;
  }
  l->give[0][0] = free[0] ? 1.0 / k00 : 0.0;
  l->give[1][1] = free[1] ? 1.0 / k11 : 0.0;
  l->give[0][1] = l->give[1][0] = 0.0;
  return (!free[0] || k00 > 0.0) && (!free[1] || k11 > 0.0);
}

static double stop_travel(const sy_wheel *w, int stop) {
  return stop > 0 ? w->bump : stop < 0 ? -w->droop : 0.0;
}

/* Makes the axle one of the case. */
static bool set_case(const sy_corner_model *m, const sy_wheel_case *fits, line *l) {
  const bool pair = l->count == 2;
  const bool free[2] = {fits[0].stop == 0, pair && fits[1].stop == 0};
  for (int w = 0; w < l->count; w++) {
    const int i = l->first + w;
    l->touching[w] = fits[w].touches ? l->tyre[w] : 0.0;
    l->stopped[w] = stop_travel(&m->vehicle.wheel[i], fits[w].stop);
    /* a tyre that touches brings the load as drawn, which cancels */
    l->push[w] = (fits[w].touches ? m->drawn_load.wheel[i] : -l->sprung[w]) - l->weight[w] +
                 l->touching[w] * l->pad[w] - l->spring[w] * l->offset[w] - l->side[w] * l->bar_force;
  }
  const double by_bar = l->bar, by_lean = l->lean, across = by_lean - by_bar;
  const double s00 = l->spring[0] + by_bar, s11 = l->spring[1] + by_bar;
  if (!invert(l, free, s00 + l->touching[0] - by_lean, across, s11 + l->touching[1] - by_lean)) return false;
  if (pair && !free[1]) l->push[0] -= across * l->stopped[1];
  if (pair && !free[0]) l->push[1] -= across * l->stopped[0];
  for (int w = 0; w < l->count; w++) {
    const double *give = l->give[w];
    /* by the height over a wheel that is free, by that over one at its stop */
    l->rise[w][0] = free[0] ? give[0] * s00 - give[1] * by_bar : free[w] ? -give[1] * by_lean : 0.0;
    l->rise[w][1] = free[1] ? give[1] * s11 - give[0] * by_bar : free[w] ? -give[0] * by_lean : 0.0;
    if (!free[w]) l->rise[w][w] = 1.0, l->rise[w][1 - w] = 0.0;
    l->pitched[w] = (give[0] - give[1]) * by_lean * l->ahead;
  }
  return true;
}

/* ---- the body ------------------------------------------------------------------------------------------------------------ */

/* Forces that are left on the freedoms of a body as drawn, upward, and how they fall with each. */
typedef struct equations {
  double k[4][4], left[4];
} equations;

/* What the loads of an axle's wheels as drawn leave on the freedoms, and what they and the weight that leans with the hubs take away as the body moves: a
** product of how the hubs rise by each freedom and of the arms on which they push back. */
static void add_wheels(const sy_corner_model *m, const sy_wheel_case *fits, const line *l, equations *e) {
  double rise[2][4] = {{0}}, hub[2] = {0};
  const double *const left = m->arm[l->first], *const right = m->arm[l->first + l->count - 1];
  for (int w = 0; w < l->count; w++) {
    const double *arm = m->arm[l->first + w], rate = l->touching[w];
    hub[w] = l->stopped[w] + l->give[w][0] * l->push[0] + l->give[w][1] * l->push[1];
    for (int j = 0; j < 4; j++) rise[w][j] = l->rise[w][0] * left[j] + l->rise[w][1] * right[j];
    rise[w][1] += l->pitched[w];
    if (!fits[w].touches) continue;
    const double load = m->drawn[l->first + w] + rate * (l->pad[w] - hub[w]);
    for (int i = 0; i < 4; i++) {
      const double back = rate * arm[i];
      e->left[i] += load * arm[i];
      for (int j = 0; j < 4; j++) e->k[i][j] += back * rise[w][j];
    }
  }
  if (l->lean == 0.0) return;
  const double turns = l->lean * l->track;
  for (int k = 0; k < 2; k++) {
    const double by = turns * l->turned[k];
    e->left[2 + k] += by * (hub[0] - hub[1]);
    for (int j = 0; j < 4; j++) e->k[2 + k][j] -= by * (rise[0][j] - rise[1][j]);
    e->k[2 + k][1] -= by * l->ahead;
  }
}

static void add_body(const sy_corner_model *m, const sy_corner_load *load, const sy_corner_lean *lean,
                     equations *e) {
  for (int i = 0; i < 4; i++) e->left[i] -= load->body[i];
  if (lean != NULL)
    for (int k = 0; k < 2; k++) e->k[2 + k][2 + k] -= lean->body[k];
  if (!m->rigid) {
    const double t = m->vehicle.torsion;
    e->left[2] -= m->drawn_torque, e->left[3] += m->drawn_torque;
    e->k[2][2] += t, e->k[3][3] += t;
    e->k[2][3] -= t, e->k[3][2] -= t;
    return;
  }
  e->left[2] += e->left[3]; /* one roll */
  for (int i = 0; i < 4; i++) e->k[i][2] += e->k[i][3];
  for (int j = 0; j < 3; j++) e->k[2][j] += e->k[3][j];
}

/* Without exchanging rows, which a body that is held needs none of. The equations are symmetrical but for wheels that do not stand on their
** axle line. False when it is not held. */
static bool solve_pose(const sy_corner_model *m, equations *e, double pose[4]) {
  const double nothing = 1e-13;   /* as in sy_corner_factor */
  const int n = m->rigid ? 3 : 4; /* sy_corner_freedoms; written out, the bounds show */
  double whole[4], by[4];
  for (int c = 0; c < n; c++) whole[c] = fabs(e->k[c][c]);
  for (int c = 0; c < n; c++) {
    if (!(e->k[c][c] > nothing * whole[c])) return false;
    by[c] = 1.0 / e->k[c][c];
    for (int r = c + 1; r < n; r++) {
      const double part = e->k[r][c] * by[c];
      for (int j = c + 1; j < n; j++) e->k[r][j] -= part * e->k[c][j];
      e->left[r] -= part * e->left[c];
    }
  }
  for (int r = n - 1; r >= 0; r--) {
    double sum = e->left[r];
    for (int j = r + 1; j < n; j++) sum -= e->k[r][j] * pose[j];
    pose[r] = sum * by[r];
  }
  sy_corner_unfold(m, pose);
  return true;
}

/* ---- the wheels ---------------------------------------------------------------------------------------------------------- */

/* Does the case fit the wheel? If not, which would? `stop`: N that its stop supplies. */
static bool fit_wheel(const sy_wheel *w, double load, double if_touching, double stop, double travel,
                      double enough, sy_wheel_case *fits) {
  const sy_wheel_case was = *fits;
  if (was.touches ? load < -enough : if_touching > enough) fits->touches = !was.touches;
  if (was.stop == 0)
    fits->stop = (signed char)(travel > w->bump ? 1 : travel < -w->droop ? -1 : 0); /* NaN: no stop */
  else if (stop * was.stop < -enough)
    fits->stop = 0;
  return fits->touches == was.touches && fits->stop == was.stop;
}

/* Where the wheels of an axle stand and what they carry in the case r->fits; false when it does not fit, with the next one to try. */
static bool place_wheels(const sy_corner_model *m, const line *l, sy_corner_result *r) {
  double *height = &r->height[l->first], *travel = &r->travel[l->first], push[2] = {0, 0};
  for (int w = 0; w < l->count; w++) {
    height[w] = sy_corner_rise(m, r->pose, l->first + w);
    push[w] = l->push[w] - l->touching[w] * height[w];
  }
  double over = 0.0, bar_force = l->bar_force;
  if (l->count == 2) {
    const double by = l->lean * (height[0] - height[1] + l->ahead * r->pose[1]);
    push[0] += by, push[1] -= by;
  }
  for (int w = 0; w < l->count; w++)
    travel[w] = l->stopped[w] + l->give[w][0] * push[0] + l->give[w][1] * push[1];
  if (l->count == 2) { /* what has gone sideways pushes as links do */
    over = travel[0] - travel[1];
    bar_force -= l->lean * (height[0] - height[1] + over + l->ahead * r->pose[1]);
  }
  r->bar[l->axle] = l->bar * over + (l->bar_force - l->links);
  double enough = 0.0; /* as in corner_axle.c */
  for (int w = 0; w < l->count; w++) enough += 1e-13 * (fabs(m->drawn[l->first + w]) + fabs(l->weight[w]));
  bool fit = true;
  for (int w = 0; w < l->count; w++) {
    const int i = l->first + w;
    const double on_spring = l->weight[w] + l->sprung[w] + l->spring[w] * (travel[w] + l->offset[w]) +
                             l->side[w] * (l->bar * over + bar_force);
    const double on_tyre = m->drawn[i] + l->tyre[w] * (l->pad[w] - (height[w] + travel[w]));
    /* from the softer of the two in series, as in corner_axle.c */
    const bool by_spring = r->fits[i].stop == 0 && l->spring[w] + l->bar < l->tyre[w];
    r->load[i] = !r->fits[i].touches ? 0.0 : by_spring ? on_spring : on_tyre;
    fit = fit_wheel(&m->vehicle.wheel[i], r->load[i], on_tyre, r->load[i] - on_spring, travel[w], enough,
                    &r->fits[i]) &&
          fit;
  }
  return fit;
}

static bool is_finite(const sy_corner_model *m, const sy_corner_result *r) {
  double sum = 0.0;
  for (int k = 0; k < 4; k++) sum += fabs(r->pose[k]);
  for (int i = 0; i < m->wheel_count; i++) sum += fabs(r->load[i]) + fabs(r->height[i]) + fabs(r->travel[i]);
  return sum <= DBL_MAX;
}

bool sy_corner_straight(const sy_corner_model *m, const sy_corner_load *load,
                        const sy_corner_setting *setting, const sy_corner_lean *lean, sy_corner_result *out) {
  /* A wheel that changes its case costs one, and seldom another; bent ones take some three or four tangents. */
  const int most = m->bent != 0 ? 24 : 12;
  line axle[SY_MAX_AXLES];
  sy_corner_result r;
  memset(&r, 0, sizeof r);
  const int axles = m->vehicle.axle_count;
  for (int i = 0; i < m->wheel_count; i++) r.fits[i].touches = true;
  for (int a = 0, first = 0; a < axles; first += axle[a].count, a++)
    lay_axle(m, load, setting, lean, a, first, &axle[a]);
  for (int n = 0; n < most; n++) {
    equations e;
    double from[SY_MAX_WHEELS];
    memset(&e, 0, sizeof e);
    if (m->bent != 0) memcpy(from, r.travel, sizeof from);
    for (int a = 0; a < axles; a++) {
      if (m->bent != 0) bend_axle(m, setting, from, &axle[a]);
      if (!set_case(m, &r.fits[axle[a].first], &axle[a])) return false;
      add_wheels(m, &r.fits[axle[a].first], &axle[a], &e);
    }
    add_body(m, load, lean, &e);
    if (!solve_pose(m, &e, r.pose)) return false;
    bool fit = true;
    for (int a = 0; a < axles; a++) {
      fit = place_wheels(m, &axle[a], &r) && fit;
      if (m->bent != 0) fit = is_bent_there(m, &axle[a], from, r.travel) && fit;
    }
    if (!is_finite(m, &r)) return false;
    if (!fit) continue;
    *out = r;
    return true;
  }
  return false;
}
