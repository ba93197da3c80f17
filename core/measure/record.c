#include "measure/record.h"

#include <math.h>
#include <string.h>

#include "statics/perches.h"

/* ---- checks --------------------------------------------------------------------------------------------------------------- */

static sy_status fail_support(size_t i, const char *field, const char *why, sy_error *err) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "support %zu", i + 1);
  return sy_fail(err, SY_RANGE, name.message, field, "%s", why);
}

/* Its square is a variance. */
static bool good_place(double sd) { return sd >= 0 && isfinite(sd * sd); }

static sy_status check_loads(const sy_reconcile *p, const double *covariance, sy_error *err) {
  if (p->supports > SY_MAX_WHEELS)
    return sy_fail(err, SY_RANGE, "supports", NULL, "are %zu, more than %d", p->supports, (int)SY_MAX_WHEELS);
  if (p->supports < (p->lateral ? 3u : 2u))
    return sy_fail(err, SY_MISSING, "supports", NULL, "are %zu: all wheels or all axles are needed",
                   p->supports);
  for (size_t i = 0; i < p->supports; i++) {
    const sy_reconcile_support *s = &p->support[i];
    if (!isfinite(s->x) || (p->lateral && !isfinite(s->y)) || s->axle < 0 || s->axle >= SY_MAX_AXLES)
      return fail_support(i, "place", "is not finite, or on no axle", err);
    if (!isfinite(s->load)) return fail_support(i, "load", "is not finite", err);
    if ((p->own_x >> i & 1u && !good_place(p->x_sd[i])) || (p->own_y >> i & 1u && !good_place(p->y_sd[i])))
      return fail_support(i, "place", "has an uncertainty below 0 or not finite", err);
    for (size_t j = 0; j < p->supports; j++)
      if (!isfinite(covariance[i * p->supports + j]))
        return fail_support(i, "covariance", "is not finite", err);
    if (!(covariance[i * p->supports + i] > 0))
      return fail_support(i, "sd", "is not above 0: no scale is exact", err);
  }
  for (int i = 0; i < SY_MAX_AXLES; i++)
    if (!good_place(p->place_sd[i]) || !good_place(p->track_sd[i]))
      return sy_fail(err, SY_RANGE, "axles", NULL, "have an uncertainty below 0 or not finite");
  if (isnan(p->height)) return SY_OK;
  if (!isfinite(p->height) || !(p->height_sd > 0 && isfinite(p->height_sd * p->height_sd)))
    return sy_fail(err, SY_RANGE, "height", NULL, "is not finite, or its uncertainty not above 0");
  return SY_OK;
}

/* ---- loads ------------------------------------------------------------------------------------------------------------------ */

/* One more reading with an error of its own, of that variance. room: covariance, SY_RECORD_READINGS wide until the end. */
static size_t add_reading(sy_record *r, double *room, double variance) {
  const size_t j = r->readings++;
  room[j * SY_RECORD_READINGS + j] = variance;
  return j;
}

/* Which way a wheel goes when its axle is wider than stated: half of it, left of its partner or right; a lone wheel stays. */
static double half_of_track(const sy_reconcile *p, size_t i) {
  for (size_t k = 0; k < p->supports; k++)
    if (k != i && p->support[k].axle == p->support[i].axle && p->support[k].y != p->support[i].y)
      return p->support[i].y > p->support[k].y ? 0.5 : -0.5;
  return 0;
}

/* The error of a place, of that number, moves figure `k` by `moment` per metre. */
static void add_place(sy_record *r, double *room, size_t k, double sd, uint32_t number, double moment) {
  if (!(sd > 0)) return;
  const size_t j = add_reading(r, room, sd * sd);
  r->effect[k][j] = moment;
  r->common[j] = number;
}

/* Where wheels stand: each axle's own errors, and those of supports whose places are stated by themselves. */
static void add_places(const sy_reconcile *p, sy_record *r, double *room) {
  for (int a = 0; a < SY_MAX_AXLES; a++) {
    double along = 0, across = 0;
    for (size_t i = 0; i < p->supports; i++) {
      if (p->support[i].axle != a) continue;
      const double load = p->support[i].load;
      if (p->own_x >> i & 1u)
        add_place(r, room, 1, p->x_sd[i], p->x_error[i], load);
      else
        along += load;
      if (p->lateral && p->own_y >> i & 1u)
        add_place(r, room, 2, p->y_sd[i], p->y_error[i], load);
      else
        across += half_of_track(p, i) * load;
    }
    add_place(r, room, 1, p->place_sd[a], p->place_error[a], along);
    if (p->lateral) add_place(r, room, 2, p->track_sd[a], p->track_error[a], across);
  }
}

/* From rows SY_RECORD_READINGS long to rows as long as there are readings. */
static void close_ranks(sy_record *r, double *room) {
  for (size_t i = 0; i < r->readings; i++)
    memmove(room + i * r->readings, room + i * SY_RECORD_READINGS, r->readings * sizeof *room);
  r->covariance = room;
}

sy_status sy_record_loads(const sy_reconcile *p, const double *covariance, double *room, sy_record *out,
                          sy_error *err) {
  const sy_status status = check_loads(p, covariance, err);
  if (status != SY_OK) return status;
  sy_record r;
  memset(&r, 0, sizeof r);
  memset(room, 0, SY_RECORD_READINGS * SY_RECORD_READINGS * sizeof *room);
  r.figures = p->lateral ? 3 : 2;
  for (size_t k = 0; k < r.figures; k++) r.figure[k].of[k] = 1;
  for (size_t i = 0; i < p->supports; i++) {
    const double row[3] = {1, p->support[i].x, p->lateral ? p->support[i].y : 0};
    for (size_t k = 0; k < r.figures; k++) {
      r.effect[k][i] = row[k];
      r.figure[k].read += row[k] * p->support[i].load;
    }
    for (size_t j = 0; j < p->supports; j++)
      room[i * SY_RECORD_READINGS + j] = covariance[i * p->supports + j];
  }
  r.readings = p->supports;
  add_places(p, &r, room);
  if (!isnan(p->height)) {
    sy_record_figure *f = &r.figure[r.figures];
    *f = (sy_record_figure){.of = {0, 0, 0, 1}, .per_mass = true, .read = p->height};
    r.effect[r.figures++][add_reading(&r, room, p->height_sd * p->height_sd)] = 1;
  }
  close_ranks(&r, room);
  for (size_t k = 0; k < r.figures; k++)
    if (!isfinite(r.figure[k].read))
      return sy_fail(err, SY_RANGE, "supports", "load", "has a moment that is too large a number");
  *out = r;
  return SY_OK;
}

/* ---- a body ---------------------------------------------------------------------------------------------------------------------- */

sy_status sy_record_body(const double q[4], const double *covariance, double *room, sy_record *out,
                         sy_error *err) {
  static const char *const names[4] = {"mass", "x", "y", "z"};
  sy_record r;
  memset(&r, 0, sizeof r);
  for (int k = 0; k < 4; k++) {
    if (k > 0 && isnan(q[k])) continue;
    if (!isfinite(q[k])) return sy_fail(err, SY_RANGE, "assembly", names[k], "is not finite");
    r.figure[r.figures].of[k] = 1;
    r.figure[r.figures].per_mass = k > 0;
    r.figure[r.figures].read = q[k];
    r.effect[r.figures][r.figures] = 1;
    r.figures++;
  }
  r.readings = r.figures;
  for (size_t i = 0; i < r.readings * r.readings; i++)
    if (!isfinite(covariance[i])) return sy_fail(err, SY_RANGE, "assembly", "covariance", "is not finite");
  memcpy(room, covariance, r.readings * r.readings * sizeof *room);
  r.covariance = room;
  *out = r;
  return SY_OK;
}

sy_status sy_record_cross_share(const double load[4], double *share, double by[4], sy_error *err) {
  const double sum = load[0] + load[1] + load[2] + load[3];
  if (!(sum > 0 && isfinite(sum))) return sy_fail(err, SY_RANGE, "loads", NULL, "add up to %g kg", sum);
  *share = sy_corner_cross(load);
  for (int i = 0; i < 4; i++) by[i] = ((i == 1 || i == 2 ? 1.0 : 0.0) - *share) / sum;
  return SY_OK;
}
