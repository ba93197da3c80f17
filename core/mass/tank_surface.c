/* Tanks bounded by triangles: a mesh, and a box as twelve of them. */
#include "mass/tank_cut.h"
#include "mass/tetrahedra.h"

typedef struct plane {
  sy_vec3 up;
  bool moments;   /* wanted; else volume and area alone */
  tetrahedra wet; /* from the apex */
  sy_sums open;   /* likewise */
} plane;

static void add_wet(plane *c, sy_vec3 p, sy_vec3 q, sy_vec3 r) {
  if (c->moments)
    tetrahedra_add(&c->wet, p, q, r);
  else
    c->wet.v += tetrahedra_volume(p, q, r);
}

/* The triangle apex p q of the free surface, positive when it turns counter-clockwise seen from above.
** Second moments of a triangle with one corner at 0: A/12 (p p^T + q q^T + (p + q)(p + q)^T). */
static void add_to_surface(plane *c, sy_vec3 p, sy_vec3 q) {
  const double area = 0.5 * sy_vec3_dot(c->up, sy_vec3_cross(p, q));
  const sy_vec3 sum = sy_vec3_add(p, q);
  c->open.m += area;
  if (!c->moments) return;
  c->open.first = sy_vec3_muladd(c->open.first, area / 3, sum);
  tank_add_spread(&c->open, area / 12, p);
  tank_add_spread(&c->open, area / 12, q);
  tank_add_spread(&c->open, area / 12, sum);
}

/* Where an edge meets the plane, the same from both of its faces: always reckoned from the lower end. */
static sy_vec3 crossing(sy_vec3 a, double ha, sy_vec3 b, double hb) {
  return ha < hb ? sy_vec3_muladd(a, ha / (ha - hb), sy_vec3_sub(b, a))
                 : sy_vec3_muladd(b, hb / (hb - ha), sy_vec3_sub(a, b));
}

/* Two corners below, or one: what is cut off is a triangle or a quadrangle. h are heights over the plane. */
static void add_cut_face(plane *c, const sy_vec3 p[3], const double h[3]) {
  sy_vec3 kept[4], enter = {0, 0, 0}, leave = {0, 0, 0};
  int count = 0;
  for (int i = 0; i < 3; i++) {
    const int k = (i + 1) % 3;
    if (h[i] <= 0) kept[count++] = p[i];
    if ((h[i] <= 0) == (h[k] <= 0)) continue;
    const sy_vec3 at = crossing(p[i], h[i], p[k], h[k]);
    kept[count++] = at;
    if (h[i] <= 0)
      leave = at;
    else
      enter = at;
  }
  for (int i = 2; i < count; i++) add_wet(c, kept[0], kept[i - 1], kept[i]);
  /* the wet face runs along the cut from where it leaves to where it enters again; the surface runs against it */
  if (h[0] < 0 || h[1] < 0 || h[2] < 0) add_to_surface(c, enter, leave);
}

static void add_face(plane *c, const sy_vec3 p[3]) {
  double h[3];
  for (int k = 0; k < 3; k++) h[k] = sy_vec3_dot(c->up, p[k]);
  if (h[0] > 0 && h[1] > 0 && h[2] > 0) return;
  if (h[0] > 0 || h[1] > 0 || h[2] > 0) {
    add_cut_face(c, p, h);
    return;
  }
  add_wet(c, p[0], p[1], p[2]);
  /* an edge in the plane, with the face below it, bounds the surface */
  for (int i = 0; i < 3; i++) {
    const int k = (i + 1) % 3, other = (i + 2) % 3;
    if (h[i] == 0 && h[k] == 0 && h[other] < 0) add_to_surface(c, p[k], p[i]);
  }
}

/* Corners by bits: 1 forward, 2 left, 4 up; each face twice, counter-clockwise from outside. */
static const unsigned char box_faces[12][3] = {{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6},
                                               {0, 1, 5}, {0, 5, 4}, {2, 6, 7}, {2, 7, 3},
                                               {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};

/* All faces, seen from the point of the plane over the middle. */
static void add_faces(const sy_tank *tank, sy_vec3 apex, plane *c) {
  const bool box = tank->kind == SY_TANK_BOX;
  sy_vec3 shift = apex;
  if (!box) {
    const sy_mesh_about *about = sy_mesh_describe(tank->mesh);
    shift = sy_vec3_muladd(apex, 0.5, sy_vec3_add(about->low, about->high));
  }
  const size_t faces = box ? 12 : sy_mesh_describe(tank->mesh)->triangles;
  for (size_t i = 0; i < faces; i++) {
    sy_vec3 p[3];
    if (box)
      for (int k = 0; k < 3; k++) {
        const unsigned corner = box_faces[i][k];
        p[k] = (sy_vec3){corner & 1 ? 0.5 * tank->size.x : -0.5 * tank->size.x,
                         corner & 2 ? 0.5 * tank->size.y : -0.5 * tank->size.y,
                         corner & 4 ? 0.5 * tank->size.z : -0.5 * tank->size.z};
      }
    else
      sy_mesh_triangle(tank->mesh, i, p);
    for (int k = 0; k < 3; k++) p[k] = sy_vec3_sub(p[k], shift);
    add_face(c, p);
  }
}

tank_cut sy_tank_cut_surface(const sy_tank *tank, sy_vec3 up, double level) {
  const sy_vec3 apex = sy_vec3_scale(level, up); /* from the middle */
  plane c = {.up = up, .moments = true};
  add_faces(tank, apex, &c);
  const sy_frame back = {sy_mat3_identity(), apex};
  const sy_sums wet = tetrahedra_sums(&c.wet);
  return (tank_cut){sy_sums_place(&wet, &back), sy_sums_place(&c.open, &back)};
}

tank_wet sy_tank_wet_surface(const sy_tank *tank, sy_vec3 up, double level) {
  plane c = {.up = up, .moments = false};
  add_faces(tank, sy_vec3_scale(level, up), &c);
  return (tank_wet){c.wet.v / 6, c.open.m};
}
