#include "statics/corner_straight.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "statics/corner_body.h"

/* ---- one axle ------------------------------------------------------------------------------------------------------------ */

/* An axle with what its travels follow from. A single wheel is the left one of two, of which the right one is not there. */
typedef struct line {
  int first, count;
  double bar, bar_force; /* N/m; N before anything leans, up on the left of the body */
  double spring[2], tyre[2], offset[2], pad[2];
  double weight[2], sprung[2]; /* N: of the wheel, and what its spring carries as drawn */
  double push[2];              /* N on the travels of a body as drawn */
  double lean, ahead;          /* l and x above */
  double give[2][2];           /* C */
  double rise[2][2];           /* C S: of the hubs by the body's heights */
  double links, track;
} line;

static void lay_wheel(const sy_corner_model *m, const sy_corner_load *load, const sy_corner_setting *s,
                      line *l, int w, double side) {
  const int i = l->first + w;
  l->spring[w] = m->wheel_rate[i];
  l->tyre[w] = m->tyre_rate[i];
  l->offset[w] = s->perch[i] / m->motion_ratio[i];
  l->pad[w] = s->pad[i];
  l->weight[w] = load->wheel[i];
  l->sprung[w] = m->drawn[i] - m->drawn_load.wheel[i];
  l->push[w] = m->drawn_load.wheel[i] - l->weight[w] + l->tyre[w] * l->pad[w] - l->spring[w] * l->offset[w] -
               side * l->bar_force;
}

static bool lay_single(line *l) {
  const double sum = l->spring[0] + l->tyre[0];
  l->give[0][0] = 1.0 / sum;
  l->rise[0][0] = l->spring[0] / sum;
  return sum > 0.0;
}

/* False when the axle falls over on its tyres. */
static bool lay_pair(line *l) {
  const double bar = l->bar, lean = l->lean;
  const double s00 = l->spring[0] + bar, s11 = l->spring[1] + bar;
  const double k00 = s00 + l->tyre[0] - lean, k11 = s11 + l->tyre[1] - lean, k01 = lean - bar;
  const double det = k00 * k11 - k01 * k01;
  if (!(k00 > 0.0 && det > 0.0)) return false;
  const double inverse = 1.0 / det;
  l->give[0][0] = k11 * inverse, l->give[1][1] = k00 * inverse;
  l->give[0][1] = l->give[1][0] = -k01 * inverse;
  for (int w = 0; w < 2; w++) {
    l->rise[w][0] = l->give[w][0] * s00 - l->give[w][1] * bar;
    l->rise[w][1] = l->give[w][1] * s11 - l->give[w][0] * bar;
  }
  return true;
}

static bool lay_axle(const sy_corner_model *m, const sy_corner_load *load, const sy_corner_setting *s,
                     const sy_corner_lean *lean, int axle, int first, line *l) {
  const sy_axle *a = &m->vehicle.axle[axle];
  *l = (line){.first = first, .count = a->wheels};
  if (a->wheels == 1) {
    lay_wheel(m, load, s, l, 0, 0.0);
    return lay_single(l);
  }
  const sy_contact *left = &m->wheel[first], *right = left + 1;
  l->track = left->y - right->y;
  l->bar = s->bars ? a->bar_rate : 0.0;
  l->links = load->couple[axle] / l->track;
  l->bar_force = l->bar * s->preload[axle] + l->links;
  if (lean != NULL) l->lean = lean->hubs[axle] / (l->track * l->track);
  l->ahead = left->x - right->x;
  lay_wheel(m, load, s, l, 0, 1.0);
  lay_wheel(m, load, s, l, 1, -1.0);
  return lay_pair(l);
}

/* ---- the body ------------------------------------------------------------------------------------------------------------ */

/* Forces that are left on the freedoms of a body as drawn, upward, and how they fall with each. */
typedef struct equations {
  double k[4][4], left[4];
} equations;

/* What of the hubs' rises goes onto the freedoms: springs push with the tyres' load, and what leans turns the body. */
static void press_freedoms(const sy_corner_model *m, const line *l, const double turned[2], const double hub[2],
                           double turns_by, double out[4]) {
  for (int w = 0; w < l->count; w++) {
    const double load = -l->tyre[w] * hub[w], *arm = m->arm[l->first + w];
    for (int i = 0; i < 4; i++) out[i] += load * arm[i];
  }
  out[2] += turns_by * turned[0];
  out[3] += turns_by * turned[1];
}

static void add_line(const sy_corner_model *m, int axle, const line *l, equations *e) {
  double turned[2] = {0, 0}; /* how much of what leans with the hubs turns which half of the body */
  if (l->lean != 0.0) {
    turned[0] = sy_corner_links(&m->vehicle, axle);
    turned[1] = 1.0 - turned[0];
  }
  const double turns = l->lean * l->track;
  const bool pair = l->count == 2;
  double hub[2] = {0, 0};
  for (int w = 0; w < l->count; w++) {
    hub[w] = l->give[w][0] * l->push[0] + l->give[w][1] * l->push[1] - l->pad[w];
    for (int i = 0; i < 4; i++) e->left[i] += m->drawn[l->first + w] * m->arm[l->first + w][i];
  }
  /* pads raise the ground: what counts for the load is the rise over them, for the lean the rise itself */
  press_freedoms(m, l, turned, hub, pair ? turns * (hub[0] + l->pad[0] - hub[1] - l->pad[1]) : 0.0, e->left);
  for (int j = 0; j < 4; j++) {
    const double *left = m->arm[l->first], *right = m->arm[l->first + l->count - 1];
    const double pitched = j == 1 ? l->ahead : 0.0;
    for (int w = 0; w < l->count; w++) {
      hub[w] = l->rise[w][0] * left[j];
      if (pair)
        hub[w] += l->rise[w][1] * right[j] + (l->give[w][0] - l->give[w][1]) * l->lean * pitched;
    }
    double by[4] = {0, 0, 0, 0};
    press_freedoms(m, l, turned, hub, pair ? turns * (hub[0] - hub[1] + pitched) : 0.0, by);
    for (int i = 0; i < 4; i++) e->k[i][j] -= by[i];
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
  const double nothing = 1e-13; /* as in sy_corner_factor */
  const int n = sy_corner_freedoms(m);
  double part[4][4];
  for (int c = 0; c < n; c++) {
    double whole = e->k[c][c];
    for (int r = 0; r < c; r++) whole += fabs(part[c][r] * e->k[r][c]);
    if (!(e->k[c][c] > nothing * whole)) return false;
    for (int r = c + 1; r < n; r++) {
      part[r][c] = e->k[r][c] / e->k[c][c];
      for (int j = c + 1; j < n; j++) e->k[r][j] -= part[r][c] * e->k[c][j];
      e->left[r] -= part[r][c] * e->left[c];
    }
  }
  for (int r = n - 1; r >= 0; r--) {
    double sum = e->left[r];
    for (int j = r + 1; j < n; j++) sum -= e->k[r][j] * pose[j];
    pose[r] = sum / e->k[r][r];
  }
  sy_corner_unfold(m, pose);
  return true;
}

/* ---- the wheels ---------------------------------------------------------------------------------------------------------- */

static bool within_stops(const sy_wheel *w, double travel) {
  return !(travel > w->bump) && !(travel < -w->droop); /* NaN: none */
}

/* Where the wheels of an axle stand and what they carry; false when one lifts or ends at a stop. */
static bool place_wheels(const sy_corner_model *m, const line *l, int axle, sy_corner_result *r) {
  double push[2] = {0, 0}, *height = &r->height[l->first], *travel = &r->travel[l->first];
  for (int w = 0; w < l->count; w++) {
    height[w] = sy_corner_rise(m, r->pose, l->first + w);
    push[w] = l->push[w] - l->tyre[w] * height[w];
  }
  double over = 0.0, links = l->bar_force; /* what has gone sideways pushes as links do */
  if (l->count == 2) {
    const double by = l->lean * (height[0] - height[1] + l->ahead * r->pose[1]);
    push[0] += by;
    push[1] -= by;
  }
  for (int w = 0; w < l->count; w++) travel[w] = l->give[w][0] * push[0] + l->give[w][1] * push[1];
  if (l->count == 2) {
    over = travel[0] - travel[1];
    links -= l->lean * (height[0] - height[1] + over + l->ahead * r->pose[1]);
  }
  r->bar[axle] = l->count == 2 ? l->bar * over + (l->bar_force - l->links) : 0.0;
  bool free = true;
  for (int w = 0; w < l->count; w++) {
    const int i = l->first + w;
    const double side = l->count == 1 ? 0.0 : 1.0 - 2.0 * w;
    /* from the softer of the two in series, as in corner_axle.c */
    r->load[i] = l->spring[w] + l->bar < l->tyre[w]
                     ? l->weight[w] + l->sprung[w] + l->spring[w] * (travel[w] + l->offset[w]) +
                           side * (l->bar * over + links)
                     : m->drawn[i] + l->tyre[w] * (l->pad[w] - (height[w] + travel[w]));
    r->fits[i] = (sy_wheel_case){true, 0};
    free = free && r->load[i] > 0.0 && within_stops(&m->vehicle.wheel[i], travel[w]);
  }
  return free;
}

bool sy_corner_straight(const sy_corner_model *m, const sy_corner_load *load, const sy_corner_setting *setting,
                        const sy_corner_lean *lean, sy_corner_result *out) {
  if (m->bent != 0) return false;
  line axle[SY_MAX_AXLES];
  equations e = {.left = {0, 0, 0, 0}};
  sy_corner_result r;
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += axle[a].count, a++) {
    if (!lay_axle(m, load, setting, lean, a, first, &axle[a])) return false;
    add_line(m, a, &axle[a], &e);
  }
  add_body(m, load, lean, &e);
  if (!solve_pose(m, &e, r.pose)) return false;
  for (int a = 0; a < m->vehicle.axle_count; a++)
    if (!place_wheels(m, &axle[a], a, &r)) return false;
  double sum = 0.0; /* finite when all of them are */
  for (int k = 0; k < 4; k++) sum += fabs(r.pose[k]);
  for (int i = 0; i < m->wheel_count; i++) sum += r.load[i] + fabs(r.height[i]) + fabs(r.travel[i]);
  if (!(sum <= DBL_MAX)) return false;
  /* behind what is there all is 0 */
  memset(out, 0, sizeof *out);
  for (int i = 0; i < m->wheel_count; i++) {
    out->load[i] = r.load[i], out->height[i] = r.height[i], out->travel[i] = r.travel[i];
    out->fits[i] = r.fits[i];
  }
  for (int a = 0; a < m->vehicle.axle_count; a++) out->bar[a] = r.bar[a];
  memcpy(out->pose, r.pose, sizeof out->pose);
  return true;
}
