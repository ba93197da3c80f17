#include <math.h>
#include <string.h>

#include "statics/corner_body.h"

typedef struct sensitivity_work {
  const sy_corner_model *m;
  double k[4][4];                  /* factored */
  double across[SY_MAX_WHEELS][4]; /* load of a wheel per unit of each freedom, folded */
} sensitivity_work;

/* What a push `force` on the freedoms moves the body by, and what that does to the loads. */
static void respond(sensitivity_work *w, const double force[4], double pose[4], double load[SY_MAX_WHEELS]) {
  double q[4];
  sy_corner_fold(w->m, force, q);
  sy_corner_substitute(w->k, sy_corner_freedoms(w->m), q);
  for (int i = 0; i < w->m->wheel_count; i++)
    load[i] = -sy_corner_dot(w->across[i], q, sy_corner_freedoms(w->m));
  sy_corner_unfold(w->m, q);
  memcpy(pose, q, 4 * sizeof *pose);
}

/* Sensitivities by a change that wheel v feels on its own axle: loads of wheels `first`.. change by direct[w] at fixed body. */
static void spread(sensitivity_work *w, int first, int count, const double direct[2], double torque,
                   double pose[4], double load[SY_MAX_WHEELS]) {
  double force[4] = {0, 0, -torque, torque};
  for (int k = 0; k < count; k++)
    for (int j = 0; j < 4; j++) force[j] += direct[k] * w->m->arm[first + k][j];
  respond(w, force, pose, load);
  for (int k = 0; k < count; k++) load[first + k] += direct[k];
}

static void wheel_sensitivities(sensitivity_work *w, const sy_axle_sensitivities *s, int first, int count,
                                int v, double ratio, sy_corner_sensitivities *out) {
  const sy_corner_model *m = w->m;
  const int j = first + v;
  double load[SY_MAX_WHEELS], pose[4];
  const double pad[2] = {s->stiffness[0][v], s->stiffness[1][v]};
  spread(w, first, count, pad, 0.0, pose, load);
  for (int i = 0; i < m->wheel_count; i++) {
    out->load_pad[i][j] = load[i];
    out->height_pad[i][j] = sy_corner_rise(m, pose, i);
  }
  for (int k = 0; k < 4; k++) out->pose_pad[k][j] = pose[k];
  const double perch[2] = {s->load_offset[0][v] / ratio, s->load_offset[1][v] / ratio};
  spread(w, first, count, perch, 0.0, pose, load);
  for (int i = 0; i < m->wheel_count; i++) {
    out->load_perch[i][j] = load[i];
    out->height_perch[i][j] = sy_corner_rise(m, pose, i);
  }
  for (int k = 0; k < 4; k++) out->pose_perch[k][j] = pose[k];
  const double drawn[2] = {s->load_drawn[0][v], s->load_drawn[1][v]};
  spread(w, first, count, drawn, m->arm[j][2], pose, load);
  for (int i = 0; i < m->wheel_count; i++) out->load_drawn[i][j] = load[i];
  for (int k = 0; k < 4; k++) out->pose_drawn[k][j] = pose[k];
}

static void body_sensitivities(sensitivity_work *w, sy_corner_sensitivities *out) {
  double load[SY_MAX_WHEELS], pose[4];
  for (int k = 0; k < 4; k++) {
    double force[4] = {0, 0, 0, 0};
    force[k] = -1.0;
    respond(w, force, pose, load);
    for (int i = 0; i < w->m->wheel_count; i++) out->load_body[i][k] = load[i];
    for (int p = 0; p < 4; p++) out->pose_body[p][k] = pose[p];
  }
  respond(w, (const double[4]){0, 0, 1, -1}, pose, load);
  for (int i = 0; i < w->m->wheel_count; i++) out->load_torque[i] = load[i];
  for (int p = 0; p < 4; p++) out->pose_torque[p] = pose[p];
}

sy_status sy_corner_sensitivity(const sy_corner_model *m, const sy_corner_setting *setting,
                                const sy_corner_result *at, sy_corner_sensitivities *out, sy_error *err) {
  static const sy_corner_load no_load;
  sy_wheel_case all[SY_MAX_WHEELS];
  double ratio[SY_MAX_WHEELS];
  for (int i = 0; i < m->wheel_count; i++) all[i] = at != NULL ? at->fits[i] : (sy_wheel_case){true, 0};
  sensitivity_work w;
  memset(&w, 0, sizeof w);
  w.m = m;
  sy_corner_add_torsion(m, w.k);
  sy_axle_sensitivities s[SY_MAX_AXLES];
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += m->vehicle.axle[a].wheels, a++) {
    const int count = m->vehicle.axle[a].wheels;
    sy_axle_springs axle = sy_corner_axle(m, &no_load, setting, a, first);
    if (m->bent != 0 && at != NULL) sy_axle_bend(&axle, at->travel + first, 0);
    for (int i = 0; i < count; i++) ratio[first + i] = axle.wheel[i].ratio;
    sy_axle_sensitivity(&axle, all + first, &s[a]);
    sy_corner_add_axle(m, &s[a], first, count, w.k);
    for (int i = 0; i < count; i++) {
      double sum[4] = {0, 0, 0, 0};
      for (int v = 0; v < count; v++)
        for (int k = 0; k < 4; k++) sum[k] += s[a].stiffness[i][v] * m->arm[first + v][k];
      sy_corner_fold(m, sum, w.across[first + i]);
    }
  }
  if (!sy_corner_factor(w.k, sy_corner_freedoms(m)))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "wheels", "that touch the ground do not hold the body");
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += m->vehicle.axle[a].wheels, a++)
    for (int v = 0; v < m->vehicle.axle[a].wheels; v++)
      wheel_sensitivities(&w, &s[a], first, m->vehicle.axle[a].wheels, v, ratio[first + v], out);
  body_sensitivities(&w, out);
  return SY_OK;
}
