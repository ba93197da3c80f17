/* A box whose surface meets neither its floor nor its roof: a column of liquid stands over every point of the floor. */
#include "mass/tank_cut.h"

/* Along one pair of faces and across: the box, and the plane z = rise + a x + b y over its middle. */
typedef struct columns {
  double length, width, half; /* of the floor, and half the height */
  double rise, a, b;
} columns;

static void lay(sy_sums *s, double m, const double first[3], const double second[6], int up, double sign) {
  /* first: x y z; second: xx yy zz xy xz yz, where z is coordinate `up` of the tank times `sign` and x y z turn to the right */
  double f[3], d[3], off[3]; /* off[k] is the moment of the two others */
  const int i = (up + 1) % 3, j = (up + 2) % 3;
  f[i] = first[0];
  f[j] = first[1];
  f[up] = sign * first[2];
  d[i] = second[0];
  d[j] = second[1];
  d[up] = second[2];
  off[up] = second[3];
  off[j] = sign * second[4];
  off[i] = sign * second[5];
  s->m = m;
  s->first = (sy_vec3){f[0], f[1], f[2]};
  s->second = (sy_sym3){d[0], d[1], d[2], off[2], off[1], off[0]};
}

/* Integrals of a prism with a slanting roof: over the floor the odd powers of x and y come to nothing, x^2 to length^2 / 12. */
static tank_cut cut_columns(const columns *c, double steep, int up, double sign) {
  const double area = c->length * c->width, h = c->half, z = c->rise;
  const double xx = c->length * c->length / 12, yy = c->width * c->width / 12;
  const double spread = c->a * c->a * xx + c->b * c->b * yy; /* of the roof's height about z */
  const double squares = z * z + spread, cubes = z * z * z + 3 * z * spread;
  tank_cut out;
  lay(&out.wet, area * (z + h), (double[3]){area * c->a * xx, area * c->b * yy, area * (squares - h * h) / 2},
      (double[6]){area * xx * (z + h), area * yy * (z + h), area * (cubes + h * h * h) / 3, 0,
                  area * z * c->a * xx, area * z * c->b * yy},
      up, sign);
  const double open = area / steep;
  lay(&out.open, open, (double[3]){0, 0, open * z},
      (double[6]){open * xx, open * yy, open * squares, 0, open * c->a * xx, open * c->b * yy}, up, sign);
  return out;
}

bool sy_tank_cut_box(const sy_tank *tank, sy_vec3 up, double level, tank_cut *out) {
  const double u[3] = {up.x, up.y, up.z}, size[3] = {tank->size.x, tank->size.y, tank->size.z};
  for (int k = 0; k < 3; k++) {
    const int i = (k + 1) % 3, j = (k + 2) % 3;
    const double steep = fabs(u[k]);
    if (steep < 0.1) continue; /* no pair of faces for floor and roof: and what follows divides by it */
    const columns c = {size[i], size[j], 0.5 * size[k], level / steep, -u[i] / steep, -u[j] / steep};
    if (fabs(c.rise) + 0.5 * (fabs(c.a) * c.length + fabs(c.b) * c.width) > c.half) continue;
    *out = cut_columns(&c, steep, k, u[k] < 0 ? -1.0 : 1.0);
    return true;
  }
  return false;
}
