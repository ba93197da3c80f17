#include "shop/hoist.h"

#include "base/units.h"

/* Lengths nearer to one another than this part of the longest leg are one length: a nanometre on a leg of a metre. */
#define TIGHT 1e-9

/* Directions of unit vectors nearer to a common plane than this have no leg between them that could carry. */
#define FLAT 1e-9

typedef struct search {
  const sy_sling *sling;
  sy_vec3 cg;
  double slack; /* m, lengths this near are one */
  bool found;
  sy_vec3 hook, up;
  double tension[SY_MAX_LEGS];
} search;

static sy_vec3 unit(sy_vec3 v) { return sy_vec3_scale(1 / sy_vec3_length(v), v); }

static double triple(sy_vec3 a, sy_vec3 b, sy_vec3 c) { return sy_vec3_dot(a, sy_vec3_cross(b, c)); }

/* The direction from a point to the hook: what its leg pulls along. */
static sy_vec3 pull(const sy_sling *s, int leg, sy_vec3 hook) {
  return unit(sy_vec3_sub(hook, s->point[leg]));
}

/* Tensions of the legs `leg[0..count)` that add up to a pull of 1 along `up`; false when they lie flat. */
static bool share(const sy_vec3 *e, int count, sy_vec3 up, double *tension) {
  if (count == 1) {
    tension[0] = 1;
  } else if (count == 2) {
    const double g = sy_vec3_dot(e[0], e[1]), d = 1 - g * g;
    if (!(d > FLAT * FLAT)) return false;
    const double a = sy_vec3_dot(e[0], up), b = sy_vec3_dot(e[1], up);
    tension[0] = (a - g * b) / d, tension[1] = (b - g * a) / d;
  } else {
    const double d = triple(e[0], e[1], e[2]);
    if (!(fabs(d) > FLAT)) return false;
    tension[0] = triple(up, e[1], e[2]) / d;
    tension[1] = triple(e[0], up, e[2]) / d;
    tension[2] = triple(e[0], e[1], up) / d;
  }
  return true;
}

/* Is this hook a place to rest, held by these legs alone, and nearer to how the part stands than the best so far? */
static void try_hook(search *f, sy_vec3 hook, const int *leg, int count) {
  const sy_sling *s = f->sling;
  const sy_vec3 line = sy_vec3_sub(hook, f->cg);
  if (!(sy_vec3_length(line) > f->slack)) return;
  for (int i = 0; i < s->count; i++)
    if (sy_vec3_length(sy_vec3_sub(hook, s->point[i])) > s->length[i] + f->slack) return;
  sy_vec3 e[SY_MAX_LEGS];
  double tension[SY_MAX_LEGS];
  const sy_vec3 up = unit(line);
  for (int i = 0; i < count; i++) e[i] = pull(s, leg[i], hook);
  if (!share(e, count, up, tension)) return;
  for (int i = 0; i < count; i++)
    if (!(tension[i] >= -FLAT)) return; /* it would have to push */
  if (f->found && !(up.z > f->up.z)) return;
  f->found = true, f->hook = hook, f->up = up;
  for (int i = 0; i < SY_MAX_LEGS; i++) f->tension[i] = 0;
  for (int i = 0; i < count; i++) f->tension[leg[i]] = fmax(tension[i], 0);
}

static void try_one(search *f, int a) {
  const sy_vec3 arm = sy_vec3_sub(f->sling->point[a], f->cg);
  if (!(sy_vec3_length(arm) > f->slack)) return;
  try_hook(f, sy_vec3_muladd(f->sling->point[a], f->sling->length[a], unit(arm)), &a, 1);
}

/* The place along AB, from A, that is a from A and b from B, or off it by *height; false when they do not meet. */
static bool along_base(double base, double a, double b, double slack, double *place, double *height) {
  if (!(base > slack)) return false;
  *place = (a * a - b * b + base * base) / (2 * base);
  const double h2 = (a - *place) * (a + *place);
  *height = sqrt(fmax(h2, 0));
  return h2 >= -2 * a * slack;
}

/* Two legs turn about the line between their points until the cg lies in their plane, on the other side of it than the hook. */
static void try_two(search *f, int a, int b) {
  const sy_sling *s = f->sling;
  const sy_vec3 line = sy_vec3_sub(s->point[b], s->point[a]), arm = sy_vec3_sub(f->cg, s->point[a]);
  double place, height;
  if (!along_base(sy_vec3_length(line), s->length[a], s->length[b], f->slack, &place, &height)) return;
  const sy_vec3 ex = unit(line), off = sy_vec3_muladd(arm, -sy_vec3_dot(arm, ex), ex);
  if (!(sy_vec3_length(off) > f->slack)) return;
  const sy_vec3 hook = sy_vec3_muladd(sy_vec3_muladd(s->point[a], place, ex), -height, unit(off));
  try_hook(f, hook, (const int[]){a, b}, 2);
}

/* Three spheres meet in two points, mirror images in the plane of their centres. */
static void try_three(search *f, const int leg[3]) {
  const sy_sling *s = f->sling;
  const sy_vec3 o = s->point[leg[0]], p = sy_vec3_sub(s->point[leg[1]], o),
                q = sy_vec3_sub(s->point[leg[2]], o);
  const double a = s->length[leg[0]], b = s->length[leg[1]], c = s->length[leg[2]];
  const double base = sy_vec3_length(p);
  if (!(base > f->slack)) return;
  const sy_vec3 ex = unit(p);
  const double i = sy_vec3_dot(ex, q);
  const sy_vec3 side = sy_vec3_muladd(q, -i, ex);
  const double j = sy_vec3_length(side);
  if (!(j > f->slack)) return;
  const sy_vec3 ey = unit(side), ez = sy_vec3_cross(ex, ey);
  const double x = ((a - b) * (a + b) + base * base) / (2 * base);
  const double y = ((a - c) * (a + c) + i * i + j * j) / (2 * j) - i / j * x;
  const double z2 = a * a - x * x - y * y;
  if (!(z2 >= -2 * a * f->slack)) return;
  const double z = sqrt(fmax(z2, 0));
  const sy_vec3 foot = sy_vec3_muladd(sy_vec3_muladd(o, x, ex), y, ey);
  try_hook(f, sy_vec3_muladd(foot, z, ez), leg, 3);
  try_hook(f, sy_vec3_muladd(foot, -z, ez), leg, 3);
}

/* Four tight legs: the shortest tensions with sum T e = up, T = E^T (E E^T)^-1 up. Kept when none has to push. */
static bool share_four(const sy_sling *s, sy_vec3 hook, sy_vec3 up, double tension[SY_MAX_LEGS]) {
  sy_vec3 e[SY_MAX_LEGS], row[3] = {{0, 0, 0}, {0, 0, 0}, {0, 0, 0}};
  for (int i = 0; i < s->count; i++) {
    e[i] = pull(s, i, hook);
    row[0] = sy_vec3_muladd(row[0], e[i].x, e[i]);
    row[1] = sy_vec3_muladd(row[1], e[i].y, e[i]);
    row[2] = sy_vec3_muladd(row[2], e[i].z, e[i]);
  }
  const double d = triple(row[0], row[1], row[2]);
  if (!(fabs(d) > FLAT)) return false;
  const sy_vec3 y = {triple(up, row[1], row[2]) / d, triple(row[0], up, row[2]) / d,
                     triple(row[0], row[1], up) / d};
  double t[SY_MAX_LEGS];
  for (int i = 0; i < s->count; i++) {
    t[i] = sy_vec3_dot(e[i], y);
    if (!(t[i] >= 0)) return false;
  }
  for (int i = 0; i < s->count; i++) tension[i] = t[i];
  return true;
}

static const char *const leg_name[SY_MAX_LEGS] = {"leg 1", "leg 2", "leg 3", "leg 4"};

static sy_status check(const sy_sling *s, sy_vec3 cg, sy_error *err) {
  if (s->count < 1 || s->count > SY_MAX_LEGS)
    return sy_fail(err, SY_RANGE, NULL, "legs", "are %d, one to four are possible", s->count);
  if (!sy_vec3_finite(cg)) return sy_fail(err, SY_RANGE, NULL, "cg", "is not finite");
  for (int i = 0; i < s->count; i++) {
    const char *name = leg_name[i];
    if (!sy_vec3_finite(s->point[i])) return sy_fail(err, SY_RANGE, name, "point", "is not finite");
    if (!(s->length[i] > 0 && isfinite(s->length[i])))
      return sy_fail(err, SY_RANGE, name, "length", "is %g mm, must be above 0",
                     s->length[i] / SY_MILLIMETRE);
    for (int k = 0; k < i; k++) {
      const double apart = sy_vec3_length(sy_vec3_sub(s->point[i], s->point[k]));
      if (apart < SY_HOIST_APART)
        return sy_fail(err, SY_GEOMETRY, name, "point",
                       "is %g mm from that of %s, two legs need points %g mm apart or more",
                       round(10 * apart / SY_MILLIMETRE) / 10, leg_name[k], SY_HOIST_APART / SY_MILLIMETRE);
    }
  }
  return SY_OK;
}

/* Why no rest was found. */
static sy_status refuse(const search *f, sy_error *err) {
  const sy_sling *s = f->sling;
  for (int i = 0; i < s->count; i++)
    for (int k = i + 1; k < s->count; k++) {
      const double apart = sy_vec3_length(sy_vec3_sub(s->point[i], s->point[k]));
      if (apart > s->length[i] + s->length[k])
        return sy_fail(err, SY_GEOMETRY, NULL, "legs",
                       "%d and %d are too short to meet: their points are %g mm apart", i + 1, k + 1,
                       round(10 * apart / SY_MILLIMETRE) / 10);
    }
  if (s->count == 1)
    return sy_fail(err, SY_GEOMETRY, NULL, "points", "the point is at the cg: it hangs any way round");
  if (s->count == 2)
    return sy_fail(err, SY_GEOMETRY, NULL, "points",
                   "the cg lies on the line between the points: it rolls over freely");
  return sy_fail(err, SY_GEOMETRY, NULL, "legs", "do not meet at one hook");
}

static void find(search *f) {
  const int n = f->sling->count;
  for (int a = 0; a < n; a++) {
    try_one(f, a);
    for (int b = a + 1; b < n; b++) {
      try_two(f, a, b);
      for (int c = b + 1; c < n; c++) try_three(f, (const int[]){a, b, c});
    }
  }
}

sy_status sy_hang_make(const sy_sling *sling, sy_vec3 cg, sy_hang *out, sy_error *err) {
  const sy_status status = check(sling, cg, err);
  if (status != SY_OK) return status;
  search f = {.sling = sling, .cg = cg};
  for (int i = 0; i < sling->count; i++) f.slack = fmax(f.slack, TIGHT * sling->length[i]);
  find(&f);
  if (!f.found) return refuse(&f, err);
  sy_hang hang = {.hook = f.hook, .up = f.up};
  int tight = 0;
  for (int i = 0; i < sling->count; i++) {
    const sy_vec3 line = sy_vec3_sub(f.hook, sling->point[i]);
    hang.slack[i] = sy_vec3_length(line) < sling->length[i] - 2 * f.slack;
    hang.tension[i] = f.tension[i];
    hang.angle[i] = atan2(sy_vec3_length(sy_vec3_cross(line, f.up)), sy_vec3_dot(line, f.up));
    tight += !hang.slack[i];
  }
  hang.shared = tight == SY_MAX_LEGS && share_four(sling, f.hook, f.up, hang.tension);
  hang.pitch = atan2(-f.up.x, hypot(f.up.y, f.up.z));
  hang.roll = atan2(f.up.y, f.up.z);
  hang.tilt = atan2(hypot(f.up.x, f.up.y), f.up.z);
  *out = hang;
  return SY_OK;
}
