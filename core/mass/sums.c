#include "mass/sums.h"

/* a b^T + b a^T, upper triangle */
static sy_sym3 outer_both(sy_vec3 a, sy_vec3 b) {
  return (sy_sym3){2 * a.x * b.x,         2 * a.y * b.y,         2 * a.z * b.z,
                   a.x * b.y + a.y * b.x, a.x * b.z + a.z * b.x, a.y * b.z + a.z * b.y};
}

static sy_sym3 outer(double s, sy_vec3 a) {
  return (sy_sym3){s * a.x * a.x, s * a.y * a.y, s * a.z * a.z, s * a.x * a.y, s * a.x * a.z, s * a.y * a.z};
}

/* J = trace(S) 1 - S and, the same way round, S = trace(J)/2 1 - J */
static sy_sym3 trace_minus(double trace, sy_sym3 a) {
  return (sy_sym3){trace - a.xx, trace - a.yy, trace - a.zz, -a.xy, -a.xz, -a.yz};
}

sy_sums sy_sums_of(const sy_massprops *body) {
  const sy_sym3 own =
      trace_minus(0.5 * (body->inertia.xx + body->inertia.yy + body->inertia.zz), body->inertia);
  return (sy_sums){body->mass, sy_vec3_scale(body->mass, body->cg),
                   sy_sym3_add(own, outer(body->mass, body->cg))};
}

sy_massprops sy_sums_body(const sy_sums *s) {
  const sy_vec3 cg = sy_vec3_scale(1.0 / s->m, s->first);
  const sy_sym3 about = sy_sym3_sub(s->second, outer(s->m, cg));
  return (sy_massprops){s->m, cg, trace_minus(about.xx + about.yy + about.zz, about)};
}

sy_sums sy_sums_scale(double factor, const sy_sums *s) {
  return (sy_sums){factor * s->m, sy_vec3_scale(factor, s->first), sy_sym3_scale(factor, s->second)};
}

sy_sums sy_sums_add(const sy_sums *a, const sy_sums *b) {
  return (sy_sums){a->m + b->m, sy_vec3_add(a->first, b->first), sy_sym3_add(a->second, b->second)};
}

/* S' = R S R^T + (R f) t^T + t (R f)^T + m t t^T */
bool sy_sums_any(const sy_sums *s) {
  return s->m != 0.0 || s->first.x != 0.0 || s->first.y != 0.0 || s->first.z != 0.0 || s->second.xx != 0.0 ||
         s->second.yy != 0.0 || s->second.zz != 0.0 || s->second.xy != 0.0 || s->second.xz != 0.0 ||
         s->second.yz != 0.0;
}

sy_sums sy_sums_place(const sy_sums *s, const sy_frame *frame) {
  const sy_vec3 turned = sy_mat3_apply(frame->turn, s->first);
  sy_sym3 second = sy_sym3_turn(frame->turn, s->second);
  second = sy_sym3_add(second, outer_both(turned, frame->at));
  second = sy_sym3_add(second, outer(s->m, frame->at));
  return (sy_sums){s->m, sy_vec3_muladd(turned, s->m, frame->at), second};
}

static void transfer_matrix(const sy_frame *frame, double t[4][4]) {
  const double shift[3] = {frame->at.x, frame->at.y, frame->at.z};
  t[0][0] = 1;
  for (int i = 0; i < 3; i++) {
    t[0][i + 1] = 0;
    t[i + 1][0] = shift[i];
    for (int j = 0; j < 3; j++) t[i + 1][j + 1] = frame->turn.m[i][j];
  }
}

sy_cov4 sy_cov4_place(const sy_cov4 *c, const sy_frame *frame) {
  static const int at[4][4] = {{0, 1, 2, 3}, {1, 4, 5, 6}, {2, 5, 7, 8}, {3, 6, 8, 9}};
  double t[4][4], half[4][4]; /* half = T C */
  transfer_matrix(frame, t);
  for (int i = 0; i < 4; i++)
    for (int j = 0; j < 4; j++) {
      half[i][j] = 0;
      for (int k = 0; k < 4; k++) half[i][j] += t[i][k] * c->c[at[k][j]];
    }
  sy_cov4 out;
  for (int i = 0; i < 4; i++)
    for (int j = i; j < 4; j++) {
      double sum = 0;
      for (int k = 0; k < 4; k++) sum += half[i][k] * t[j][k];
      out.c[at[i][j]] = sum;
    }
  return out;
}

/* m r' = R f + m t and S' above, read backwards: the derivative goes through the transposed map. */
sy_sensitivity sy_sensitivity_inside(const sy_sensitivity *g, const sy_frame *frame) {
  const sy_vec3 t = frame->at;
  const sy_vec3 gt = {g->second.xx * t.x + g->second.xy * t.y + g->second.xz * t.z,
                      g->second.xy * t.x + g->second.yy * t.y + g->second.yz * t.z,
                      g->second.xz * t.x + g->second.yz * t.y + g->second.zz * t.z};
  sy_sensitivity inner = *g;
  inner.m = g->m + sy_vec3_dot(g->first, t) + sy_vec3_dot(t, gt);
  inner.first = sy_vec3_muladd(g->first, 2.0, gt);
  if (sy_mat3_is_identity(&frame->turn))
    return inner; /* most groups, and every pair: the same numbers, sooner */
  const sy_mat3 back = sy_mat3_transpose(frame->turn);
  inner.first = sy_mat3_apply(back, inner.first);
  if (!g->flat) inner.second = sy_sym3_turn(back, g->second);
  return inner;
}

double sy_cov4_variance(const sy_cov4 *c, const sy_sensitivity *g) {
  const double v[4] = {g->m, g->first.x, g->first.y, g->first.z};
  const double *k = c->c;
  const double diagonal = v[0] * v[0] * k[0] + v[1] * v[1] * k[4] + v[2] * v[2] * k[7] + v[3] * v[3] * k[9];
  const double crossed = v[0] * (v[1] * k[1] + v[2] * k[2] + v[3] * k[3]) +
                         v[1] * (v[2] * k[5] + v[3] * k[6]) + v[2] * v[3] * k[8];
  const double variance = diagonal + 2.0 * crossed;
  return variance > 0 ? variance : 0; /* rounding may leave a tiny negative where everything cancels */
}

double sy_cov4_covariance(const sy_cov4 *c, const sy_sensitivity *g, const sy_sensitivity *h) {
  static const int at[4][4] = {{0, 1, 2, 3}, {1, 4, 5, 6}, {2, 5, 7, 8}, {3, 6, 8, 9}};
  const double v[4] = {g->m, g->first.x, g->first.y, g->first.z};
  const double w[4] = {h->m, h->first.x, h->first.y, h->first.z};
  double sum = 0;
  for (int i = 0; i < 4; i++)
    for (int j = 0; j < 4; j++) sum += v[i] * c->c[at[i][j]] * w[j];
  return sum;
}
