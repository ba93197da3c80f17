#include "mass/tank.h"

#include <float.h>

#include "base/units.h"
#include "mass/solids.h"
#include "mesh_tools.h"
#include "reference_data.h"

static sy_tank a_box(double length, double width, double height) {
  sy_tank t = sy_tank_default(SY_TANK_BOX);
  t.size = (sy_vec3){length, width, height};
  return t;
}

static sy_tank a_cylinder(double diameter, double length, sy_vec3 axis) {
  sy_tank t = sy_tank_default(SY_TANK_CYLINDER);
  t.diameter = diameter;
  t.length = length;
  t.axis = axis;
  return t;
}

static sy_liquid liquid(const sy_tank *t, double volume, sy_vec3 up) {
  sy_liquid out;
  sy_error err = {.status = SY_OK};
  must(sy_tank_liquid(t, volume, up, &out, &err), &err);
  return out;
}

static bool holds(const sy_tank *t, sy_vec3 point) {
  bool out = false;
  sy_error err = {.status = SY_OK};
  must(sy_tank_holds(t, point, &out, &err), &err);
  return out;
}

static sy_mesh *a_wedge(void) {
  const body b = {.corner = {{0, 0, 0},
                             {0.7, 0, 0},
                             {0.6, 0.4, 0},
                             {0, 0.5, 0},
                             {0.1, 0.1, 0.3},
                             {0.5, 0.1, 0.35},
                             {0.05, 0.3, 0.25}},
                  .face = {{0, 2, 1},
                           {0, 3, 2},
                           {0, 1, 5},
                           {0, 5, 4},
                           {1, 2, 5},
                           {2, 6, 5},
                           {2, 3, 6},
                           {3, 0, 4},
                           {3, 4, 6},
                           {4, 5, 6}},
                  .corners = 7,
                  .faces = 10};
  sy_mesh *mesh = mesh_of(&b);
  assert_int_equal(sy_mesh_check(mesh, NULL), SY_OK);
  return mesh;
}

/* tests/reference/cylinder_partial_fill.csv: volume and centroid height of a lying cylinder by depth, from the closed forms
** of a circle's segment, A = R^2 (p - sin p cos p) and 2/3 R sin^3 p / (p - sin p cos p), printed to nine digits. */
static void lying_cylinder_matches_the_table_of_depths(void **state) {
  (void)state;
  const table t = table_read("tests/reference/cylinder_partial_fill.csv");
  const sy_tank tank = a_cylinder(2, 5, (sy_vec3){0, -3, 0});
  double full;
  assert_int_equal(sy_tank_capacity(&tank, &full, NULL), SY_OK);
  assert_near(full, 15.707963267948966, 1e-14); /* 5 pi */
  for (size_t i = 0; i < t.rows; i++) {
    const double depth = t.cell[i][0] * 2, fraction = t.cell[i][1], height = t.cell[i][2] * 2;
    sy_liquid w;
    assert_int_equal(sy_tank_below(&tank, (sy_vec3){0.3, 0.2, depth - 1}, (sy_vec3){0, 0, 1}, &w, NULL),
                     SY_OK);
    assert_near(w.volume / full, fraction, 1e-9);
    assert_near(w.centroid.z + 1, height, 2e-9);
    assert_near(w.depth, depth, 1e-15);
    w = liquid(&tank, fraction * full, (sy_vec3){0, 0, 9.81});
    assert_near(w.depth, depth,
                i + 1 == t.rows ? 1e-5 : 2e-8); /* the level feels the ninth digit, at the brim its root */
    assert_near(w.centroid.y, 0, 1e-14);
  }
}

/* Half full, the surface is the rectangle through the axis, the centroid 4 R / 3 pi below it. */
static void half_full_cylinder_has_the_rectangle_for_surface(void **state) {
  (void)state;
  const sy_tank tank = a_cylinder(0.3, 0.9, (sy_vec3){1, 0, 0});
  const sy_liquid w = liquid(&tank, SY_PI / 8 * 0.09 * 0.9, (sy_vec3){0, 0, 1});
  assert_near(w.level, 0, 1e-15);
  assert_near(w.centroid.z, -4 * 0.15 / (3 * SY_PI), 1e-15);
  assert_near(w.area, 0.27, 1e-15);
  assert_near(w.surface_second.xx, 0.3 * 0.9 * 0.9 * 0.9 / 12, 1e-15);
  assert_near(w.surface_second.yy, 0.9 * 0.3 * 0.3 * 0.3 / 12, 1e-15);
  assert_near(w.surface_second.xy, 0, 1e-15);
}

/* Standing, it is a cylinder as high as the liquid: whatever small angle it leans by, down to none. */
static void standing_cylinder_is_the_limit_of_a_leaning_one(void **state) {
  (void)state;
  const sy_tank tank = a_cylinder(0.3, 0.9, (sy_vec3){0, 0, 1});
  const double area = SY_PI / 4 * 0.09;
  for (double lean = 0; lean < 1e-3; lean = lean == 0 ? 1e-20 : lean * 100) {
    const sy_liquid w = liquid(&tank, area * 0.31, (sy_vec3){lean, 0, 1});
    const double tol = 1e-14 + lean; /* the lean itself moves things by some of it */
    assert_near(w.level, 0.31 - 0.45, tol);
    assert_near(w.centroid.z, 0.155 - 0.45, tol);
    assert_near(w.centroid.x, -lean * 0.15 * 0.15 / 4 / 0.31, 1e-14 + lean * 1e-5); /* -I/V lean */
    assert_near(w.area, area, tol);
    assert_near(w.surface_second.xx, area * 0.0225 / 4, tol);
    assert_near(w.surface_second.yy, area * 0.0225 / 4, tol);
    assert_near(w.inertia.zz, area * 0.31 * 0.0225 / 2, tol);
    assert_near(w.inertia.xx, area * 0.31 * (3 * 0.0225 + 0.31 * 0.31) / 12, tol);
  }
}

/* Leaning by a slope t with floor and roof out of reach, the liquid of a standing cylinder lies R^2 t / (4 h) down the slope and R^2 t^2 / (8 h)
** higher than level, at h / 2: moments of the wedges over a disc. K. Rawson, E. Tupper, Basic Ship Theory, ch. 3 (I / V, from memory). */
static void leaning_cylinder_holds_its_liquid_down_the_slope(void **state) {
  (void)state;
  const sy_tank tank = a_cylinder(0.17, 0.4, (sy_vec3){0, 0, -3});
  const double r = 0.085, h = 0.21;
  for (double t = 0.1; t < 2.2; t += 0.3) {
    const sy_liquid w = liquid(&tank, SY_PI * r * r * h, (sy_vec3){0.6 * t, -0.8 * t, 1});
    const double out = -r * r * t / (4 * h), up = h / 2 + r * r * t * t / (8 * h) - 0.2;
    assert_near(w.centroid.x, 0.6 * out, 1e-16);
    assert_near(w.centroid.y, -0.8 * out, 1e-16);
    assert_near(w.centroid.z, up, 1e-15);
    assert_near(w.area, SY_PI * r * r * sqrt(1 + t * t), 1e-15);
    assert_near(w.surface.z, h - 0.2, 1e-15);
  }
}

/* A level is found by the volume alone; added up by stations, what lies below it is the same. */
static void cylinder_filled_to_a_level_holds_what_it_was_filled_with(void **state) {
  (void)state;
  const sy_tank tank = a_cylinder(0.28, 0.45, (sy_vec3){0.2, -0.1, 0.7});
  double full;
  assert_int_equal(sy_tank_capacity(&tank, &full, NULL), SY_OK);
  for (double part = 0.03; part < 1; part += 0.07)
    for (double lean = -3.1; lean < 3.2; lean += 0.37) {
      const sy_vec3 up = {cos(lean), 0.3, sin(lean)};
      const sy_liquid w = liquid(&tank, part * full, up);
      sy_liquid below;
      const sy_vec3 surface = sy_vec3_scale(w.level / sy_vec3_length(up), up);
      assert_int_equal(sy_tank_below(&tank, surface, up, &below, NULL), SY_OK);
      assert_near(below.volume, part * full, 1e-14 * full / part); /* a low fill is a difference of much */
      assert_near(below.area, w.area, 1e-12);
    }
}

/* A box leaning until its floor is half bare holds a wedge: half the box, centroid at a third of floor and wall. */
static void box_that_leans_to_its_edge_holds_a_wedge(void **state) {
  (void)state;
  const sy_tank tank = a_box(0.42, 0.3, 0.32);
  const double full = 0.42 * 0.3 * 0.32;
  const sy_liquid w = liquid(&tank, full / 2, (sy_vec3){0.32, 0, 0.42}); /* the surface is the diagonal */
  assert_near(w.level, 0, 1e-15);
  assert_near(w.centroid.x, -0.21 + 0.14, 1e-15);
  assert_near(w.centroid.y, 0, 1e-16);
  assert_near(w.centroid.z, -0.16 + 0.32 / 3, 1e-15);
  assert_near(w.area, 0.3 * sqrt(0.42 * 0.42 + 0.32 * 0.32), 1e-15);
  const sy_liquid level = liquid(&tank, full / 4, (sy_vec3){0, 0, 2});
  assert_near(level.depth, 0.08, 1e-15);
  assert_near(level.centroid.z, -0.12, 1e-15);
  assert_near(level.surface_second.xx, 0.3 * 0.42 * 0.42 * 0.42 / 12, 1e-16);
  assert_near(level.surface_second.yy, 0.42 * 0.3 * 0.3 * 0.3 / 12, 1e-16);
}

/* A cap of a sphere of radius R and depth h: pi h^2 (3 R - h) / 3, centre 3 (2R - h)^2 / (4 (3R - h)) from the middle.
** Source  M. Abramowitz, I. Stegun, Handbook of Mathematical Functions has the volume; the centre is ours, by integration. */
static void sphere_holds_a_cap(void **state) {
  (void)state;
  sy_tank tank = sy_tank_default(SY_TANK_ELLIPSOID);
  tank.size = (sy_vec3){0.5, 0.5, 0.5};
  const double r = 0.25, h = 0.07;
  const sy_vec3 up = {0.48, -0.6, 0.64};
  const sy_liquid w = liquid(&tank, SY_PI * h * h * (3 * r - h) / 3, up);
  assert_near(w.depth, h, 1e-15);
  assert_near(sy_vec3_dot(w.centroid, up), -3 * (2 * r - h) * (2 * r - h) / (4 * (3 * r - h)), 1e-14);
  assert_near(w.area, SY_PI * h * (2 * r - h), 1e-15);
  assert_near(sy_vec3_length(sy_vec3_cross(w.surface, up)), 0, 1e-15);
}

/* The tanks of every kind, at any lean and fill: what must hold for each. */
enum { KINDS = 6 };

static void tanks_of_every_kind(sy_tank tanks[KINDS], sy_mesh *mesh) {
  tanks[0] = a_box(0.42, 0.3, 0.32);
  tanks[1] = a_cylinder(0.3, 0.9, (sy_vec3){1, 0, 0});
  tanks[2] = a_cylinder(0.5, 0.11, (sy_vec3){0.2, -0.3, 0.7});
  tanks[3] = sy_tank_default(SY_TANK_ELLIPSOID);
  tanks[3].size = (sy_vec3){0.5, 0.3, 0.2};
  tanks[4] = sy_tank_default(SY_TANK_MESH);
  tanks[4].mesh = mesh;
  tanks[5] = a_cylinder(0.2, 1.4, (sy_vec3){0, 0, -2});
}

static sy_vec3 random_up(dice *d) {
  return (sy_vec3){dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)};
}

/* I / V: K. J. Rawson, E. C. Tupper, Basic Ship Theory, ch. 3 (from memory). Second differences of the centroid against the
** surface's second moments; the third order is left, one part in 1e6 or so of a step of 1e-3. */
static void slight_lean_moves_the_centroid_by_i_over_v(void **state) {
  (void)state;
  dice d = {5};
  sy_mesh *mesh = a_wedge();
  sy_tank tanks[KINDS];
  tanks_of_every_kind(tanks, mesh);
  for (int i = 0; i < 600; i++) {
    const sy_tank *t = &tanks[i % KINDS];
    double full;
    assert_int_equal(sy_tank_capacity(t, &full, NULL), SY_OK);
    sy_vec3 up = random_up(&d);
    up = sy_vec3_scale(1 / sy_vec3_length(up), up);
    const double volume = full * dice_between(&d, 0.02, 0.98);
    sy_vec3 turn = sy_vec3_cross(up, random_up(&d));
    turn = sy_vec3_scale(1e-4 / sy_vec3_length(turn), turn);
    const sy_liquid w = liquid(t, volume, up);
    const sy_liquid a = liquid(t, volume, sy_vec3_add(up, turn)),
                    b = liquid(t, volume, sy_vec3_sub(up, turn));
    const sy_sym3 s = w.surface_second;
    const sy_vec3 want = {-(s.xx * turn.x + s.xy * turn.y + s.xz * turn.z) / volume,
                          -(s.xy * turn.x + s.yy * turn.y + s.yz * turn.z) / volume,
                          -(s.xz * turn.x + s.yz * turn.y + s.zz * turn.z) / volume};
    const sy_vec3 moved = sy_vec3_scale(0.5, sy_vec3_sub(a.centroid, b.centroid));
    /* a corner or an edge that the surface passes bends the law: one step then counts in part only */
    assert_near(sy_vec3_length(sy_vec3_sub(moved, want)), 0, 2e-3 * sy_vec3_length(want) + 1e-13);
  }
  sy_mesh_free(mesh);
}

/* What is under the surface and what is over it make the full tank: volume, centre and inertia. */
static void liquid_and_what_is_left_of_the_tank_make_it_whole(void **state) {
  (void)state;
  dice d = {9};
  sy_mesh *mesh = a_wedge();
  sy_tank tanks[KINDS];
  tanks_of_every_kind(tanks, mesh);
  for (int i = 0; i < 600; i++) {
    const sy_tank *t = &tanks[i % KINDS];
    double full;
    assert_int_equal(sy_tank_capacity(t, &full, NULL), SY_OK);
    const sy_vec3 up = random_up(&d);
    const double volume = full * dice_between(&d, 0.001, 0.999);
    const sy_liquid w = liquid(t, volume, up), over = liquid(t, full - volume, sy_vec3_scale(-1, up));
    const sy_liquid all = liquid(t, full, up);
    const double size = cbrt(full), tol = 1e-11; /* the level is good to the rounding of a volume */
    assert_near(w.level, -over.level, tol * size);
    assert_near(w.area, over.area, tol * size * size * 10);
    assert_near(sy_vec3_length(sy_vec3_sub(w.surface, over.surface)), 0, 10 * tol * size);
    assert_near(sy_vec3_dot(w.surface, up) / sy_vec3_length(up), w.level, tol);
    const sy_massprops parts[2] = {{w.volume, w.centroid, w.inertia},
                                   {over.volume, over.centroid, over.inertia}};
    sy_massprops whole;
    assert_int_equal(sy_massprops_combine(parts, 2, &whole, NULL), SY_OK);
    assert_near(sy_vec3_length(sy_vec3_sub(whole.cg, all.centroid)), 0, tol * size);
    assert_near(whole.inertia.xx, all.inertia.xx, tol * full * size * size * 10);
    assert_near(whole.inertia.yz, all.inertia.yz, tol * full * size * size * 10);
    assert_near(all.area, 0, 0); /* brim-full: nothing can move */
    sy_liquid again;
    assert_int_equal(sy_tank_below(t, w.surface, up, &again, NULL), SY_OK);
    assert_near(again.volume, volume, tol * full);
    assert_near(again.depth, w.depth, tol * size);
  }
  sy_mesh_free(mesh);
}

static void assert_same_tensor(sy_sym3 a, sy_sym3 b, double within) {
  assert_near(a.xx, b.xx, within);
  assert_near(a.yy, b.yy, within);
  assert_near(a.zz, b.zz, within);
  assert_near(a.xy, b.xy, within);
  assert_near(a.xz, b.xz, within);
  assert_near(a.yz, b.yz, within);
}

/* A box of twelve triangles is the box, to the rounding of litres and of figures of 0.001 m^5 and 0.01 m^4. */
static void mesh_of_a_box_holds_what_the_box_holds(void **state) {
  (void)state;
  dice d = {13};
  body b = {.corners = 0};
  add_box(&b, (double[3]){-0.21, -0.15, -0.16}, (double[3]){0.21, 0.15, 0.16}, false);
  sy_mesh *mesh = mesh_of(&b);
  sy_tank box = a_box(0.42, 0.3, 0.32), same = sy_tank_default(SY_TANK_MESH);
  same.mesh = mesh;
  for (int i = 0; i < 100; i++) {
    const sy_vec3 up = i % 2 ? random_up(&d) : (sy_vec3){0, i % 4 ? 1 : 0, 1};
    const double volume = dice_between(&d, 0, 0.42 * 0.3 * 0.32);
    const sy_liquid p = liquid(&box, volume, up), q = liquid(&same, volume, up);
    assert_near(p.level, q.level, 1e-14);
    assert_near(sy_vec3_length(sy_vec3_sub(p.centroid, q.centroid)), 0, 1e-13);
    assert_same_tensor(p.inertia, q.inertia, 1e-15);
    assert_near(p.area, q.area, 1e-13);
    assert_same_tensor(p.surface_second, q.surface_second, 1e-14);
  }
  sy_mesh_free(mesh);
}

static void empty_tank_has_no_centroid_and_a_full_one_no_surface(void **state) {
  (void)state;
  const sy_tank tank = a_box(1, 2, 3);
  sy_liquid w = liquid(&tank, 0, (sy_vec3){0, 0, 1});
  assert_true(isnan(w.centroid.x) && isnan(w.centroid.y) && isnan(w.centroid.z) && isnan(w.surface.x));
  assert_near(w.depth, 0, 0);
  assert_near(w.area, 0, 0);
  w = liquid(&tank, 6 * (1 + 1e-12), (sy_vec3){0, 0, 1}); /* a sum of fills may round */
  assert_near(w.depth, 3, 0);
  assert_near(w.centroid.z, 0, 1e-16);
  assert_near(w.area, 0, 0);
  assert_int_equal(sy_tank_below(&tank, (sy_vec3){0, 0, -2}, (sy_vec3){0, 0, 1}, &w, NULL), SY_OK);
  assert_near(w.volume, 0, 0);
  assert_true(isnan(w.centroid.z));
  assert_int_equal(sy_tank_below(&tank, (sy_vec3){0, 0, 2}, (sy_vec3){0, 0, 1}, &w, NULL), SY_OK);
  assert_near(w.volume, 6, 1e-15);
}

static void assert_refused(const sy_tank *t, double volume, sy_vec3 up, sy_status status, const char *field,
                           const char *says) {
  sy_liquid w = {.volume = 5};
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_tank_liquid(t, volume, up, &w, &err), status);
  assert_string_equal(err.field, field);
  assert_non_null(strstr(err.message, says));
  assert_near(w.volume, 5, 0);
}

static void what_no_tank_can_hold_is_refused(void **state) {
  (void)state;
  const sy_vec3 up = {0, 0, 1};
  sy_tank t = a_box(0.42, 0.3, 0.32);
  assert_refused(&t, 0.041, up, SY_RANGE, "volume", "is 41 litres, the tank holds 40.32");
  assert_refused(&t, -1e-3, up, SY_RANGE, "volume", "is -1 litres, must be >= 0");
  assert_refused(&t, (double)NAN, up, SY_RANGE, "volume", "must be >= 0");
  assert_refused(&t, 0.01, (sy_vec3){0, 0, 0}, SY_RANGE, "up", "is not a direction");
  assert_refused(&t, 0.01, (sy_vec3){0, (double)NAN, 0}, SY_RANGE, "up", "is not a direction");
  t.size.y = 0;
  assert_refused(&t, 0.01, up, SY_RANGE, "width", "is 0 m");
  t = sy_tank_default(SY_TANK_BOX);
  assert_refused(&t, 0.01, up, SY_RANGE, "length", "is nan m");
  t = sy_tank_default(SY_TANK_CYLINDER);
  assert_refused(&t, 0.01, up, SY_RANGE, "diameter", "is nan m");
  t = a_cylinder(1, 1, (sy_vec3){0, 0, 0});
  assert_refused(&t, 0.01, up, SY_RANGE, "axis", "is not a direction");
  t = sy_tank_default(SY_TANK_MESH);
  assert_refused(&t, 0.01, up, SY_MISSING, "mesh", "is missing");
  sy_liquid w;
  t = a_box(1, 1, 1);
  assert_int_equal(sy_tank_below(&t, (sy_vec3){(double)NAN, 0, 0}, up, &w, NULL), SY_RANGE);
}

/* By the definition of each body: a point is inside where it keeps to the body's inequalities, at any side of the wall. */
static void tank_holds_what_lies_inside_its_wall(void **state) {
  (void)state;
  const double beyond = 1e-5; /* m, more than the wall's breadth */
  dice d = {29};
  body b = {.corners = 0};
  add_box(&b, (double[3]){-0.21, -0.15, -0.16}, (double[3]){0.21, 0.15, 0.16}, false);
  add_box(&b, (double[3]){-0.05, -0.05, -0.05}, (double[3]){0.05, 0.05, 0.05},
          true); /* a well for the pump */
  sy_mesh *mesh = mesh_of(&b);
  sy_tank t = sy_tank_default(SY_TANK_MESH);
  t.mesh = mesh;
  for (int i = 0; i < 500; i++) {
    const sy_vec3 p = {dice_between(&d, -0.3, 0.3), dice_between(&d, -0.2, 0.2), dice_between(&d, -0.2, 0.2)};
    const bool in_box = fabs(p.x) < 0.21 && fabs(p.y) < 0.15 && fabs(p.z) < 0.16;
    const bool in_well = fabs(p.x) < 0.05 && fabs(p.y) < 0.05 && fabs(p.z) < 0.05;
    assert_int_equal(holds(&t, p), in_box && !in_well);
  }
  for (int i = 0; i < 27; i++) { /* middles, edges and corners of the outer wall, and just beyond it */
    static const double sides[3] = {-1, 0, 1};
    const sy_vec3 side = {sides[i % 3], sides[i / 3 % 3], sides[i / 9]};
    if (i == 13) continue; /* the middle of the tank */
    const sy_vec3 p = {0.21 * side.x, 0.15 * side.y, 0.16 * side.z};
    const sy_tank box = a_box(0.42, 0.3, 0.32);
    assert_true(holds(&t, p) && holds(&box, p));
    assert_false(holds(&t, sy_vec3_muladd(p, beyond, side)));
    assert_false(holds(&box, sy_vec3_muladd(p, beyond, side)));
  }
  sy_mesh_free(mesh);
  t = a_cylinder(0.3, 0.9,
                 (sy_vec3){0.6, 0, 0.8}); /* a direction that is exact enough, its normal (0.8, 0, -0.6) */
  assert_true(holds(&t, (sy_vec3){0.45 * 0.6 + 0.15 * 0.8, 0, 0.45 * 0.8 - 0.15 * 0.6}));
  assert_false(holds(&t, (sy_vec3){(0.45 + beyond) * 0.6, 0, (0.45 + beyond) * 0.8}));
  assert_false(holds(&t, (sy_vec3){0.3 * 0.6, 0.15 + beyond, 0.3 * 0.8}));
  t = sy_tank_default(SY_TANK_ELLIPSOID);
  t.size = (sy_vec3){0.5, 0.3, 0.2};
  assert_true(holds(&t, (sy_vec3){0.25 * 0.6, 0.15 * 0.8, 0}));
  assert_false(holds(&t, (sy_vec3){0.25 * 0.6 + beyond, 0.15 * 0.8, 0}));
  assert_false(holds(&t, (sy_vec3){0, 0, -0.1 - beyond}));
  bool out = true;
  assert_int_equal(sy_tank_holds(&t, (sy_vec3){(double)NAN, 0, 0}, &out, NULL), SY_RANGE);
  t.size.x = -1;
  assert_int_equal(sy_tank_holds(&t, (sy_vec3){0, 0, 0}, &out, NULL), SY_RANGE);
  t = sy_tank_default(SY_TANK_MESH);
  assert_int_equal(sy_tank_holds(&t, (sy_vec3){0, 0, 0}, &out, NULL), SY_MISSING);
  assert_true(out);
}

static sy_massprops shell(const sy_tank *t, double mass) {
  sy_massprops out;
  sy_error err = {.status = SY_OK};
  must(sy_tank_shell(t, mass, &out, &err), &err);
  return out;
}

/* A wall of thickness d of density 1: the outside less the inside. */
static sy_massprops wall(sy_massprops outside, sy_massprops inside) {
  return (sy_massprops){outside.mass - inside.mass, {0, 0, 0}, sy_sym3_sub(outside.inertia, inside.inertia)};
}

static sy_massprops box_wall(double l, double w, double h, double d) {
  sy_massprops out, in;
  assert_int_equal(sy_solid_box((l + d) * (w + d) * (h + d), l + d, w + d, h + d, &out, NULL), SY_OK);
  assert_int_equal(sy_solid_box((l - d) * (w - d) * (h - d), l - d, w - d, h - d, &in, NULL), SY_OK);
  return wall(out, in);
}

static sy_massprops can_wall(double diameter, double l, double d) {
  sy_massprops out, in;
  const double quarter = SY_PI / 4, a = diameter + d, b = diameter - d;
  assert_int_equal(sy_solid_cylinder(quarter * a * a * (l + d), a, l + d, &out, NULL), SY_OK);
  assert_int_equal(sy_solid_cylinder(quarter * b * b * (l - d), b, l - d, &in, NULL), SY_OK);
  return wall(out, in);
}

static void assert_shell(sy_massprops got, double mass, sy_massprops thin) {
  const double each = mass / thin.mass, tol = 1e-6 * mass; /* the wall is a thousandth thick: its square */
  assert_near(got.mass, mass, 0);
  assert_near(got.inertia.xx, each * thin.inertia.xx, tol);
  assert_near(got.inertia.yy, each * thin.inertia.yy, tol);
  assert_near(got.inertia.zz, each * thin.inertia.zz, tol);
}

/* Spherical shell 2/3 m r^2: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4. Boxes and cans as the outside less
** the inside of a thin wall, both from the same table. */
static void empty_tank_is_a_sheet_and_no_solid_block(void **state) {
  (void)state;
  sy_tank ball = sy_tank_default(SY_TANK_ELLIPSOID);
  ball.size = (sy_vec3){0.6, 0.6, 0.6};
  const sy_massprops sphere = shell(&ball, 7.5);
  assert_near(sphere.inertia.xx, 2.0 / 3 * 7.5 * 0.09, 1e-12);
  assert_near(sphere.inertia.zz, 2.0 / 3 * 7.5 * 0.09, 1e-12);
  const sy_tank box = a_box(0.42, 0.3, 0.32), can = a_cylinder(0.28, 0.7, (sy_vec3){0, 0, 2});
  assert_shell(shell(&box, 6.2), 6.2, box_wall(0.42, 0.3, 0.32, 1e-3));
  assert_shell(shell(&can, 4.1), 4.1, can_wall(0.28, 0.7, 1e-3));
  const sy_tank lying = a_cylinder(0.28, 0.7, (sy_vec3){-1, 0, 0});
  const sy_massprops turned = shell(&lying, 4.1), upright = shell(&can, 4.1);
  assert_near(turned.inertia.xx, upright.inertia.zz, 1e-15);
  assert_near(turned.inertia.zz, upright.inertia.xx, 1e-15);
}

/* A box as a mesh of its own, away from its middle, is the box. */
static void empty_tank_of_triangles_is_that_of_its_shape(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){0.1, -0.2, 0.3}, (double[3]){0.52, 0.1, 0.62}, false);
  sy_tank t = sy_tank_default(SY_TANK_MESH);
  sy_mesh *mesh = mesh_of(&b);
  t.mesh = mesh;
  const sy_tank box = a_box(0.42, 0.3, 0.32);
  const sy_massprops got = shell(&t, 6.2), want = shell(&box, 6.2);
  assert_near(got.cg.x, 0.31, 1e-15);
  assert_near(got.cg.y, -0.05, 1e-15);
  assert_near(got.cg.z, 0.46, 1e-15);
  assert_near(got.inertia.xx, want.inertia.xx, 1e-14);
  assert_near(got.inertia.yy, want.inertia.yy, 1e-14);
  assert_near(got.inertia.zz, want.inertia.zz, 1e-14);
  assert_near(got.inertia.xy, 0, 1e-14);
  sy_mesh_free(mesh);
  sy_error err;
  sy_massprops untouched = {.mass = 77};
  assert_int_equal(sy_tank_shell(&box, -1, &untouched, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
  const sy_tank none = sy_tank_default(SY_TANK_BOX);
  assert_int_equal(sy_tank_shell(&none, 1, &untouched, &err), SY_RANGE);
  assert_near(untouched.mass, 77, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(empty_tank_is_a_sheet_and_no_solid_block),
      cmocka_unit_test(empty_tank_of_triangles_is_that_of_its_shape),
      cmocka_unit_test(lying_cylinder_matches_the_table_of_depths),
      cmocka_unit_test(half_full_cylinder_has_the_rectangle_for_surface),
      cmocka_unit_test(standing_cylinder_is_the_limit_of_a_leaning_one),
      cmocka_unit_test(leaning_cylinder_holds_its_liquid_down_the_slope),
      cmocka_unit_test(cylinder_filled_to_a_level_holds_what_it_was_filled_with),
      cmocka_unit_test(box_that_leans_to_its_edge_holds_a_wedge),
      cmocka_unit_test(sphere_holds_a_cap),
      cmocka_unit_test(slight_lean_moves_the_centroid_by_i_over_v),
      cmocka_unit_test(liquid_and_what_is_left_of_the_tank_make_it_whole),
      cmocka_unit_test(mesh_of_a_box_holds_what_the_box_holds),
      cmocka_unit_test(empty_tank_has_no_centroid_and_a_full_one_no_surface),
      cmocka_unit_test(what_no_tank_can_hold_is_refused),
      cmocka_unit_test(tank_holds_what_lies_inside_its_wall),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
