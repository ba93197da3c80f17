#include "statics/rake.h"

#include <math.h>

static sy_status check(const sy_rake_point p[2], double first, double last, double anchor, sy_error *err) {
  for (int i = 0; i < 2; i++) {
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "point %d of 2", i + 1);
    if (!isfinite(p[i].x) || !isfinite(p[i].z))
      return sy_fail(err, SY_RANGE, name.message, "place", "is not finite");
    if (!isfinite(p[i].height)) return sy_fail(err, SY_RANGE, name.message, "height", "is not finite");
    if (!(p[i].sd >= 0.0 && isfinite(p[i].sd)))
      return sy_fail(err, SY_RANGE, name.message, "sd", "is %g m, must be 0 or more", p[i].sd);
  }
  if (!isfinite(first) || !isfinite(last) || !isfinite(anchor))
    return sy_fail(err, SY_RANGE, "vehicle", "x", "is not finite");
  if (!(first > last))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "x", "of the first axle is not ahead of the last");
  if (!(fabs(p[0].x - p[1].x) > 1e-3 * (first - last)))
    return sy_fail(err, SY_GEOMETRY, "points", "place",
                   "lie one over the other and say nothing of the pitch");
  if (!(fabs(p[0].height - p[1].height) < hypot(p[0].x - p[1].x, p[0].z - p[1].z)))
    return sy_fail(err, SY_GEOMETRY, "points", "height", "differ by more than the points are apart");
  return SY_OK;
}

sy_status sy_rake_of(const sy_rake_point point[2], double first, double last, double anchor, sy_rake *out,
                     sy_error *err) {
  const sy_status status = check(point, first, last, anchor, err);
  if (status != SY_OK) return status;
  const int front = point[0].x > point[1].x ? 0 : 1; /* the point ahead */
  const sy_rake_point a = point[front], b = point[1 - front];
  const double apart = hypot(a.x - b.x, a.z - b.z), up = asin((a.height - b.height) / apart);
  const double pitch = atan2(a.z - b.z, a.x - b.x) - up, length = first - last;
  const double ahead = a.x - first, above = a.z - anchor, sine = sin(pitch), cosine = cos(pitch);
  sy_rake r = {.pitch = pitch};
  r.front = a.height - anchor - (above * cosine - ahead * sine);
  r.rear = r.front + length * sine;
  /* by the heights of a and b: the pitch falls with a's, the front rises with it by itself too */
  const double by_a = -1.0 / (apart * cos(up)), turn = above * sine + ahead * cosine;
  const double front_by[2] = {1.0 + turn * by_a, -turn * by_a};
  r.pitch_sd = fabs(by_a) * hypot(a.sd, b.sd);
  r.front_sd = hypot(front_by[0] * a.sd, front_by[1] * b.sd);
  r.rear_sd =
      hypot((front_by[0] + length * cosine * by_a) * a.sd, (front_by[1] - length * cosine * by_a) * b.sd);
  *out = r;
  return SY_OK;
}
