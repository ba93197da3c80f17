#include "mass/inertia.h"

#include "mass/propagate.h"

enum { ENTRIES = 6, ANSWERS = ENTRIES + 3 };
#define MOST_COORDINATE 1e6 /* m: its square times a mass is a number with digits to spare */

/* The sensitivity of g : S, S the second moments about a point: S0 - F p^T - p F^T + m p p^T by the sums about the origin. */
static sy_sensitivity about_point(sy_sym3 g, sy_vec3 p) {
  const sy_vec3 gp = {g.xx * p.x + g.xy * p.y + g.xz * p.z, g.xy * p.x + g.yy * p.y + g.yz * p.z,
                      g.xz * p.x + g.yz * p.y + g.zz * p.z};
  return (sy_sensitivity){sy_vec3_dot(p, gp), sy_vec3_scale(-2.0, gp), g, SY_ALL_CARRIERS, false};
}

/* An axis' moment is the trace of the second moments less their share along it: g = 1 - a a^T. */
static sy_sym3 across(sy_vec3 a) {
  return (sy_sym3){1 - a.x * a.x, 1 - a.y * a.y, 1 - a.z * a.z, -a.x * a.y, -a.x * a.z, -a.y * a.z};
}

sy_status sy_ledger_inertia(const sy_ledger *ledger, const sy_vec3 *about, sy_inertia *out, sy_error *err) {
  if (about != NULL && !(sy_vec3_length(*about) <= MOST_COORDINATE))
    return sy_fail(err, SY_RANGE, "inertia", "about", "is not a point within %g m", MOST_COORDINATE);
  sy_totals t;
  sy_ledger_sums(ledger, &t);
  if (!(t.all.m > 0))
    return sy_fail(err, SY_MISSING, "inertia", "mass", "is nothing: nothing aboard has one");
  const sy_massprops body = sy_sums_body(&t.all);
  sy_inertia r = {.mass = body.mass,
                  .cg = body.cg,
                  .about = about != NULL ? *about : body.cg,
                  .parts = t.parts,
                  .points = t.points};
  r.tensor =
      sy_sym3_add(body.inertia, sy_sym3_scale(body.mass, sy_sym3_steiner(sy_vec3_sub(r.about, body.cg))));
  const sy_eigen3 principal = sy_sym3_eigen(r.tensor);
  /* xx is the second moments along y and z, a product the one across with the other sign */
  const sy_sym3 g[ENTRIES] = {{0, 1, 1, 0, 0, 0},    {1, 0, 1, 0, 0, 0},    {1, 1, 0, 0, 0, 0},
                              {0, 0, 0, -0.5, 0, 0}, {0, 0, 0, 0, -0.5, 0}, {0, 0, 0, 0, 0, -0.5}};
  sy_sensitivity by[ANSWERS];
  for (int i = 0; i < ENTRIES; i++) by[i] = about_point(g[i], r.about);
  for (int i = 0; i < 3; i++) by[ENTRIES + i] = about_point(across(principal.axis[i]), r.about);
  double variance[ANSWERS];
  const sy_term whole = {.ledger = ledger, .sign = 1, .by = by};
  const sy_status status = sy_propagate_variance(&whole, 1, ANSWERS, NULL, variance, err);
  if (status != SY_OK) return status;
  r.tensor_sd = (sy_sym3){sqrt(variance[0]), sqrt(variance[1]), sqrt(variance[2]),
                          sqrt(variance[3]), sqrt(variance[4]), sqrt(variance[5])};
  for (int i = 0; i < 3; i++) {
    r.moment[i] = principal.value[i];
    r.axis[i] = principal.axis[i];
    r.moment_sd[i] = sqrt(variance[ENTRIES + i]);
  }
  *out = r;
  return SY_OK;
}
