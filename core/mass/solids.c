#include "mass/solids.h"

#include "base/units.h"

/* One solid being checked: `status` keeps the first thing found wrong. */
typedef struct check {
  const char *solid;
  sy_error *err;
  sy_status status;
} check;

static check begin(const char *solid, double mass, sy_error *err) {
  check c = {solid, err, SY_OK};
  if (!(mass >= 0.0 && isfinite(mass)))
    c.status = sy_fail(err, SY_RANGE, solid, "mass", "is %g kg, must be >= 0 and finite", mass);
  return c;
}

static void size(check *c, const char *field, double value) {
  if (c->status == SY_OK && !(value > 0.0 && isfinite(value)))
    c->status = sy_fail(c->err, SY_RANGE, c->solid, field, "is %g m, must be > 0 and finite", value);
}

/* 0 is a solid body; as wide as the outside would be nothing. */
static void inner(check *c, double inner_diameter, double outer_diameter) {
  if (c->status != SY_OK) return;
  if (!(inner_diameter >= 0.0))
    c->status =
        sy_fail(c->err, SY_RANGE, c->solid, "inner_diameter", "is %g m, must be >= 0", inner_diameter);
  else if (!(inner_diameter < outer_diameter))
    c->status =
        sy_fail(c->err, SY_RANGE, c->solid, "inner_diameter",
                "is %g m, must be less than the outer diameter of %g m", inner_diameter, outer_diameter);
}

static sy_status publish(const check *c, double mass, double ix, double iy, double iz, sy_massprops *out) {
  if (c->status != SY_OK) return c->status;
  const sy_massprops body = {mass, {0.0, 0.0, 0.0}, {ix, iy, iz, 0.0, 0.0, 0.0}};
  if (!sy_sym3_finite(body.inertia))
    return sy_fail(c->err, SY_RANGE, c->solid, "inertia", "is too large for a number");
  *out = body;
  return SY_OK;
}

sy_status sy_solid_box(double mass, double length, double width, double height, sy_massprops *out,
                       sy_error *err) {
  check c = begin("box", mass, err);
  size(&c, "length", length);
  size(&c, "width", width);
  size(&c, "height", height);
  const double l2 = length * length, w2 = width * width, h2 = height * height;
  return publish(&c, mass, mass * (w2 + h2) / 12, mass * (l2 + h2) / 12, mass * (l2 + w2) / 12, out);
}

/* I_z = m (R^2 + r^2) / 2,  I_x = I_y = m (3 (R^2 + r^2) + l^2) / 12 */
static sy_status round_bar(const check *c, double mass, double outer, double hole, double length,
                           sy_massprops *out) {
  const double r2 = (outer * outer + hole * hole) / 4; /* R^2 + r^2 from diameters */
  const double across = mass * (3 * r2 + length * length) / 12;
  return publish(c, mass, across, across, mass * r2 / 2, out);
}

sy_status sy_solid_cylinder(double mass, double diameter, double length, sy_massprops *out, sy_error *err) {
  check c = begin("cylinder", mass, err);
  size(&c, "diameter", diameter);
  size(&c, "length", length);
  return round_bar(&c, mass, diameter, 0.0, length, out);
}

sy_status sy_solid_hollow_cylinder(double mass, double outer_diameter, double inner_diameter, double length,
                                   sy_massprops *out, sy_error *err) {
  check c = begin("hollow cylinder", mass, err);
  size(&c, "outer_diameter", outer_diameter);
  inner(&c, inner_diameter, outer_diameter);
  size(&c, "length", length);
  return round_bar(&c, mass, outer_diameter, inner_diameter, length, out);
}

sy_status sy_solid_tube(double mass, double outer_diameter, double wall, double length, sy_massprops *out,
                        sy_error *err) {
  check c = begin("tube", mass, err);
  size(&c, "outer_diameter", outer_diameter);
  size(&c, "wall", wall);
  if (c.status == SY_OK && !(2 * wall <= outer_diameter))
    c.status = sy_fail(err, SY_RANGE, "tube", "wall", "is %g m, more than half the outer diameter of %g m",
                       wall, outer_diameter);
  size(&c, "length", length);
  return round_bar(&c, mass, outer_diameter, outer_diameter - 2 * wall, length, out);
}

sy_status sy_solid_sphere(double mass, double diameter, sy_massprops *out, sy_error *err) {
  check c = begin("sphere", mass, err);
  size(&c, "diameter", diameter);
  const double i = mass * diameter * diameter / 10; /* 2/5 m r^2 */
  return publish(&c, mass, i, i, i, out);
}

/* 2/5 m (R^5 - r^5) / (R^3 - r^3) with R - r divided out, so that thin shells keep their digits. */
sy_status sy_solid_hollow_sphere(double mass, double outer_diameter, double inner_diameter, sy_massprops *out,
                                 sy_error *err) {
  check c = begin("hollow sphere", mass, err);
  size(&c, "outer_diameter", outer_diameter);
  inner(&c, inner_diameter, outer_diameter);
  const double q = inner_diameter / outer_diameter;
  const double shape = (1 + q * (1 + q * (1 + q * (1 + q)))) / (1 + q * (1 + q));
  const double i = mass * outer_diameter * outer_diameter * shape / 10;
  return publish(&c, mass, i, i, i, out);
}

sy_status sy_solid_ellipsoid(double mass, double length, double width, double height, sy_massprops *out,
                             sy_error *err) {
  check c = begin("ellipsoid", mass, err);
  size(&c, "length", length);
  size(&c, "width", width);
  size(&c, "height", height);
  const double l2 = length * length, w2 = width * width,
               h2 = height * height; /* of full axes: 4 x semi-axes */
  return publish(&c, mass, mass * (w2 + h2) / 20, mass * (l2 + h2) / 20, mass * (l2 + w2) / 20, out);
}

/* I_z = 3/10 m r^2,  I_x = I_y = m (3/20 r^2 + 3/80 h^2) about the cg */
sy_status sy_solid_cone(double mass, double diameter, double height, sy_massprops *out, sy_error *err) {
  check c = begin("cone", mass, err);
  size(&c, "diameter", diameter);
  size(&c, "height", height);
  const double d2 = diameter * diameter;
  const double across = 3 * mass * (d2 + height * height) / 80;
  return publish(&c, mass, across, across, 3 * mass * d2 / 40, out);
}

sy_status sy_solid_rod(double mass, double length, sy_massprops *out, sy_error *err) {
  check c = begin("rod", mass, err);
  size(&c, "length", length);
  const double across = mass * length * length / 12;
  return publish(&c, mass, across, across, 0.0, out);
}

sy_status sy_solid_plate(double mass, double length, double width, sy_massprops *out, sy_error *err) {
  check c = begin("plate", mass, err);
  size(&c, "length", length);
  size(&c, "width", width);
  const double ix = mass * width * width / 12, iy = mass * length * length / 12;
  return publish(&c, mass, ix, iy, ix + iy, out);
}

/* 2/5 m r^2 */
sy_sym3 sy_solid_usual(double mass) {
  const double r = cbrt(3.0 * mass / (4.0 * SY_PI * SY_USUAL_DENSITY)), j = 0.4 * mass * r * r;
  return (sy_sym3){j, j, j, 0, 0, 0};
}
