#include "statics/corner_body.h"

#include <math.h>
#include <string.h>

double sy_corner_nearness(const sy_vehicle *v, double x) {
  return (x - v->axle[v->axle_count - 1].x) / sy_vehicle_wheelbase(v);
}

double sy_corner_links(const sy_vehicle *v, int axle) {
  const double x = v->axle[axle].x, c = sy_corner_nearness(v, x);
  const sy_wheel *w = &v->wheel[sy_vehicle_first_wheel(v, axle)];
  if (v->axle[axle].wheels == 1 || (w[0].x == x && w[1].x == x)) return c;
  const double left = sy_corner_nearness(v, w[0].x) - c, right = sy_corner_nearness(v, w[1].x) - c;
  return c + (w[0].y * left - w[1].y * right) / (w[0].y - w[1].y);
}

/* Outside is a line through two wheels with all others on one side and the point on it or beyond. */
bool sy_corner_stands(const sy_corner_model *m, const sy_corner_load *load) {
  const double x = -load->body[1] / load->body[0], y = (load->body[2] + load->body[3]) / load->body[0];
  for (int i = 0; i < m->wheel_count; i++)
    for (int j = 0; j < m->wheel_count; j++) {
      if (i == j) continue;
      const sy_contact *p = &m->wheel[i], *q = &m->wheel[j];
      const double dx = q->x - p->x, dy = q->y - p->y;
      bool edge = true;
      for (int k = 0; k < m->wheel_count; k++)
        edge = edge && dx * (m->wheel[k].y - p->y) - dy * (m->wheel[k].x - p->x) >= 0.0;
      if (edge && !(dx * (y - p->y) - dy * (x - p->x) > 0.0)) return false;
    }
  return true;
}

sy_status sy_corner_check_load(const sy_vehicle *v, const sy_corner_load *load, sy_error *err) {
  double sum = 0.0; /* of what is finite it is: loads are far below the largest number */
  for (int k = 0; k < 4; k++) sum += load->body[k];
  for (int a = 0, i = 0; a < v->axle_count; a++) {
    sum += load->couple[a];
    for (int w = 0; w < v->axle[a].wheels; w++, i++) sum += load->wheel[i];
  }
  return isfinite(sum) ? SY_OK : sy_fail(err, SY_RANGE, "vehicle", "load", "is not finite");
}

sy_corner_load sy_corner_press(const sy_corner_model *m, const sy_corner_load *load,
                               const sy_corner_setting *s) {
  sy_corner_load sum = *load;
  for (int a = 0; a < m->vehicle.axle_count; a++) {
    sum.body[0] += s->downforce[a];
    sum.body[1] -= s->downforce[a] * m->vehicle.axle[a].x;
  }
  return sum;
}

sy_axle_springs sy_corner_axle(const sy_corner_model *m, const sy_corner_load *load,
                               const sy_corner_setting *s, int axle, int first) {
  const sy_axle *a = &m->vehicle.axle[axle];
  sy_axle_springs out;
  memset(&out, 0, sizeof out);
  out.count = a->wheels;
  if (a->wheels == 2) {
    out.bar_rate = s->bars ? a->bar_rate : 0.0;
    out.links = load->couple[axle] / sy_vehicle_track(&m->vehicle, axle);
    out.bar_force = out.bar_rate * s->preload[axle] + out.links;
  }
  for (int k = 0; k < a->wheels; k++) {
    const int i = first + k;
    const sy_wheel *w = &m->vehicle.wheel[i];
    out.wheel[k] = (sy_axle_wheel){.drawn = m->drawn[i],
                                   .drawn_weight = m->drawn_load.wheel[i],
                                   .tyre_rate = m->tyre_rate[i],
                                   .wheel_rate = m->wheel_rate[i],
                                   .weight = load->wheel[i],
                                   .pad = s->pad[i],
                                   .offset = s->perch[i] / m->motion_ratio[i],
                                   .ratio = m->motion_ratio[i],
                                   .bump = isnan(w->bump) ? (double)INFINITY : w->bump,
                                   .droop = isnan(w->droop) ? (double)INFINITY : w->droop,
                                   .bar_sign = m->wheel[i].side};
    if (m->bent >> i & 1u) out.wheel[k].bent = w, out.wheel[k].perch = s->perch[i];
  }
  if (m->bent != 0) sy_axle_bend(&out, (const double[2]){0, 0}, 0);
  return out;
}

int sy_corner_freedoms(const sy_corner_model *m) { return m->rigid ? 3 : 4; }

void sy_corner_fold(const sy_corner_model *m, const double from[4], double to[4]) {
  memcpy(to, from, 4 * sizeof *to);
  if (!m->rigid) return;
  to[2] = from[2] + from[3];
  to[3] = 0.0;
}

void sy_corner_unfold(const sy_corner_model *m, double pose[4]) {
  if (m->rigid) pose[3] = pose[2];
}

double sy_corner_rise(const sy_corner_model *m, const double pose[4], int i) {
  const double *a = m->arm[i];
  return a[0] * pose[0] + a[1] * pose[1] + a[2] * pose[2] + a[3] * pose[3];
}

/* Cholesky factor of the leading n x n of k in place (lower triangle); false when it is not clearly positive definite. */
bool sy_corner_factor(double k[4][4], int n) {
  /* what is left of a pivot below this part of it is rounding: 4 additions of entries of that size, with room */
  const double nothing = 1e-13;
  for (int i = 0; i < n; i++) {
    const double whole = k[i][i];
    for (int j = 0; j <= i; j++) {
      double sum = k[i][j];
      for (int l = 0; l < j; l++) sum -= k[i][l] * k[j][l];
      if (i != j)
        k[i][j] = sum / k[j][j];
      else if (!(sum > nothing * whole))
        return false;
      else
        k[i][i] = sqrt(sum);
    }
  }
  return true;
}

void sy_corner_substitute(double k[4][4], int n, double b[4]) {
  for (int i = 0; i < n; i++) {
    for (int j = 0; j < i; j++) b[i] -= k[i][j] * b[j];
    b[i] /= k[i][i];
  }
  for (int i = n - 1; i >= 0; i--) {
    for (int j = i + 1; j < n; j++) b[i] -= k[j][i] * b[j];
    b[i] /= k[i][i];
  }
}

void sy_corner_add_axle(const sy_corner_model *m, const sy_axle_sensitivities *s, int first, int count,
                        double k[4][4]) {
  const int n = sy_corner_freedoms(m);
  double arm[2][4];
  for (int w = 0; w < count; w++) sy_corner_fold(m, m->arm[first + w], arm[w]);
  for (int w = 0; w < count; w++)
    for (int v = 0; v < count; v++)
      for (int i = 0; i < n; i++)
        for (int j = 0; j <= i; j++) k[i][j] += arm[w][i] * s->stiffness[w][v] * arm[v][j];
}

void sy_corner_add_torsion(const sy_corner_model *m, double k[4][4]) {
  if (m->rigid) return;
  const double t = m->vehicle.torsion;
  k[2][2] += t;
  k[3][3] += t;
  k[3][2] -= t;
}

void sy_corner_stiffness(const sy_corner_model *m, const sy_axle_springs *axles, const sy_wheel_case *fits,
                         double k[4][4]) {
  memset(k, 0, 16 * sizeof(double));
  sy_corner_add_torsion(m, k);
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += axles[a].count, a++) {
    sy_axle_sensitivities s;
    sy_axle_sensitivity(&axles[a], fits + first, &s);
    sy_corner_add_axle(m, &s, first, axles[a].count, k);
  }
}
