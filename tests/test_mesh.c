#include "mass/mesh.h"

#include <float.h>

#include "mass/solids.h"
#include "mesh_tools.h"

static char text[MOST_TEXT];

static sy_status read_bytes(const char *bytes, size_t size, sy_mesh **out, sy_error *err) {
  const sy_alloc alloc = sy_alloc_default();
  *err = (sy_error){.status = SY_OK};
  return sy_mesh_read(bytes, size, &alloc, out, err);
}

static void assert_refused(const char *bytes, size_t size, sy_status status, const char *part,
                           const char *says) {
  sy_error err;
  sy_mesh *out = NULL;
  assert_int_equal(read_bytes(bytes, size, &out, &err), status);
  assert_null(out);
  if (strstr(err.message, says) == NULL) print_error("\"%s\" does not say \"%s\"\n", err.message, says);
  assert_non_null(strstr(err.message, says));
  assert_string_equal(err.part, part);
}

static void refuse_text(const char *bytes, const char *part, const char *says) {
  assert_refused(bytes, strlen(bytes), SY_CONTENT, part, says);
}

static void assert_check(const body *b, const char *says, size_t inward) {
  sy_error err = {.status = SY_OK};
  sy_mesh *mesh = mesh_of(b);
  const sy_status status = sy_mesh_check(mesh, &err);
  assert_int_equal(status, says == NULL ? SY_OK : SY_GEOMETRY);
  if (says != NULL && strstr(err.message, says) == NULL)
    print_error("\"%s\" does not say \"%s\"\n", err.message, says);
  if (says != NULL) assert_non_null(strstr(err.message, says));
  assert_int_equal(sy_mesh_describe(mesh)->inward, inward);
  sy_mesh_free(mesh);
}

/* F. Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms of its vertex coordinates, Journal of
** Mathematics and Statistics 1 (2005) 8-11, the numerical example: volume 1873.233236, centroid (15.92492, 0.78281,
** 3.72962), moments 43520.33257, 194711.28938, 191168.76173, products (minus the integral) with b' and c' of its matrix (2)
** put right: yz -4417.66150, xz 46343.16662, xy -11996.20119. Its vertices are printed to five decimals, which the moments
** feel at 2e-8; centroid x comes out as 15.92495 from them. */
static void tetrahedron_is_that_of_the_paper(void **state) {
  (void)state;
  const body b = {
      .corner = {{8.33220, -11.86875, 0.93355}, {0.75523, 5, 16.37072}, {52.61236, 5, -5.38580}, {2, 5, 3}},
      .face = {{0, 1, 2}, {0, 3, 1}, {0, 2, 3}, {1, 3, 2}},
      .corners = 4,
      .faces = 4};
  sy_mesh *mesh = mesh_of(&b);
  sy_mesh_turn_outward(mesh);
  const sy_sums s = sy_mesh_sums(mesh);
  assert_near(s.m, 1873.233236, 1e-7 * 1873);
  sy_massprops p;
  assert_int_equal(sy_mesh_massprops(mesh, s.m, &p, NULL), SY_OK);
  assert_near(p.cg.x, 15.92492, 5e-5);
  assert_near(p.cg.y, 0.78281, 5e-6); /* half of the last printed digit */
  assert_near(p.cg.z, 3.72962, 5e-6);
  const double tol = 1e-7 * 194711;
  assert_near(p.inertia.xx, 43520.33257, tol);
  assert_near(p.inertia.yy, 194711.28938, tol);
  assert_near(p.inertia.zz, 191168.76173, tol);
  assert_near(p.inertia.yz, -4417.66150, tol);
  assert_near(p.inertia.xz, 46343.16662, tol);
  assert_near(p.inertia.xy, -11996.20119, tol);
  sy_mesh_free(mesh);
}

static void assert_box(const sy_mesh *mesh) {
  const sy_mesh_about *about = sy_mesh_describe(mesh);
  assert_int_equal(about->triangles, 12);
  assert_int_equal(about->vertices, 8);
  assert_int_equal(about->shells, 1);
  sy_massprops p, want;
  assert_int_equal(sy_mesh_massprops(mesh, 7.3, &p, NULL), SY_OK);
  assert_int_equal(sy_solid_box(7.3, 2, 0.75, 3.5, &want, NULL),
                   SY_OK);                               /* whose formula is Meriam & Kraige's table D/4 */
  const double tol = 32 * DBL_EPSILON * want.inertia.yy; /* a few roundings of each of twelve terms */
  assert_near(p.mass, 7.3, 0);
  assert_near(p.cg.x, 0.5, tol);
  assert_near(p.cg.y, 0.625, tol);
  assert_near(p.cg.z, 2.75, tol);
  assert_near(p.inertia.xx, want.inertia.xx, tol);
  assert_near(p.inertia.yy, want.inertia.yy, tol);
  assert_near(p.inertia.zz, want.inertia.zz, tol);
  assert_near(p.inertia.xy, 0, tol);
  assert_near(p.inertia.xz, 0, tol);
  assert_near(p.inertia.yz, 0, tol);
}

static void box_is_the_same_in_every_format(void **state) {
  (void)state;
  const body b = one_box();
  size_t (*const write[])(const body *, char *) = {as_binary, as_stl_text, as_obj};
  for (int i = 0; i < 3; i++) {
    sy_error err;
    sy_mesh *mesh = NULL;
    const size_t size = write[i](&b, text);
    must(read_bytes(text, size, &mesh, &err), &err);
    assert_int_equal(sy_mesh_describe(mesh)->format, i);
    assert_box(mesh);
    sy_mesh_free(mesh);
  }
  sy_massprops p;
  assert_int_equal(sy_mesh_body_of_stl(text, as_binary(&b, text), &p, NULL), SY_OK);
  assert_near(p.mass, 2 * 0.75 * 3.5, 1e-14);
  assert_near(p.cg.z, 2.75, 1e-14);
  assert_near(p.inertia.yy, p.mass * (4 + 12.25) / 12, 1e-13);
}

/* 1 km away in a file in mm: the moments about the centre of gravity keep their digits. */
static void box_far_from_its_origin_loses_nothing(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){1e6, -1e6, 1e6}, (double[3]){1e6 + 3, -1e6 + 5, 1e6 + 7}, false);
  sy_mesh *mesh = mesh_of(&b);
  sy_massprops p;
  assert_int_equal(sy_mesh_massprops(mesh, 12, &p, NULL), SY_OK);
  assert_near(p.inertia.xx, 74, 1e-12);
  assert_near(p.inertia.yy, 58, 1e-12);
  assert_near(p.inertia.xy, 0, 1e-12);
  sy_mesh_scale(mesh, 1e-3);
  assert_int_equal(sy_mesh_massprops(mesh, 12, &p, NULL), SY_OK);
  assert_near(p.inertia.xx, 74e-6, 1e-13); /* corners at 1e3 are kept to 1e-13 */
  assert_near(p.cg.y, -999.9975, 1e-12);
  sy_mesh_free(mesh);
}

/* A hollow box is the outer less the inner one; its inner faces look inward and are right to. */
static void cavity_is_taken_out_and_a_body_in_it_comes_back(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){0, 0, 0}, (double[3]){4, 4, 4}, false);
  add_box(&b, (double[3]){0.5, 1, 1}, (double[3]){3, 3, 3}, true);
  add_box(&b, (double[3]){1, 1.5, 1.5}, (double[3]){2, 2, 2}, false);
  assert_check(&b, NULL, 0);
  sy_mesh *mesh = mesh_of(&b);
  assert_int_equal(sy_mesh_describe(mesh)->shells, 3);
  assert_int_equal(sy_mesh_describe(mesh)->cavities, 1);
  assert_near(sy_mesh_sums(mesh).m, 64 - 10 + 0.25, 1e-13);
  sy_mesh_free(mesh);
  for (size_t i = 12; i < 24; i++) { /* the cavity written like a body */
    const uint32_t corner = b.face[i][0];
    b.face[i][0] = b.face[i][1];
    b.face[i][1] = corner;
  }
  assert_check(&b, "12 of 36 triangles that look the wrong way", 12);
  mesh = mesh_of(&b);
  sy_mesh_turn_outward(mesh);
  assert_int_equal(sy_mesh_check(mesh, NULL), SY_OK);
  assert_near(sy_mesh_sums(mesh).m, 64 - 10 + 0.25, 1e-13);
  sy_mesh_free(mesh);
}

/* Beside one another, also face to face: neither lies in the other. */
static void boxes_side_by_side_are_two_bodies(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){0, 0, 0}, (double[3]){1, 1, 1}, false);
  add_box(&b, (double[3]){1, 0.25, 0.25}, (double[3]){2, 0.75, 0.75}, false);
  assert_check(&b, NULL, 0);
  body edge = {.corners = 0}; /* one common edge, of four faces */
  add_box(&edge, (double[3]){0, 0, 0}, (double[3]){1, 1, 1}, false);
  add_box(&edge, (double[3]){1, 1, 0}, (double[3]){2, 2, 1}, false);
  assert_check(&edge, NULL, 0);
}

static void wrong_surfaces_are_reported(void **state) {
  (void)state;
  body b = one_box();
  b.faces = 11;
  assert_check(&b, "open: 3 of its edges belong to one triangle only", 0);
  b = one_box();
  for (size_t i = 0; i < b.faces; i++) {
    const uint32_t corner = b.face[i][0];
    b.face[i][0] = b.face[i][1];
    b.face[i][1] = corner;
  }
  assert_check(&b, "inside out: all of its 12 triangles look inward", 12);
  b = one_box();
  b.face[7][0] = 7, b.face[7][1] = 2, b.face[7][2] = 3;
  assert_check(&b, "1 of 12 triangles that look the wrong way", 1);
  b = one_box(); /* a fin of two triangles, back to back, stands on one edge */
  b.corner[8][0] = 5, b.corner[8][1] = 0, b.corner[8][2] = 9, b.corners = 9;
  b.face[12][0] = 0, b.face[12][1] = 1, b.face[12][2] = 8;
  b.face[13][0] = 1, b.face[13][1] = 0, b.face[13][2] = 8, b.faces = 14;
  assert_check(&b, NULL, 0); /* closed: it encloses nothing more */
  b.faces = 13;
  assert_check(&b, "open: 2 of its edges", 0);
  body flat = {
      .corner = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, .face = {{0, 1, 2}, {0, 2, 1}}, .corners = 3, .faces = 2};
  assert_check(&flat, "encloses nothing: its volume is 0", 0);
}

/* An export that writes every face twice has double the volume and no hole; one face written twice has none either. */
static void triangles_that_stand_twice_are_refused(void **state) {
  (void)state;
  body b = one_box();
  for (size_t i = 0; i < 12; i++)
    for (size_t k = 0; k < 3; k++) b.face[12 + i][k] = b.face[i][(k + i) % 3]; /* any corner may come first */
  b.faces = 24;
  assert_check(&b, "has 12 of 24 triangles that stand there twice", 0);
  b.faces = 13;
  assert_check(&b, "has 1 of 13 triangles that stand there twice", 0);
  for (int k = 0; k < 3; k++) b.face[13][k] = b.face[14][k] = b.face[0][k];
  b.faces = 15; /* one of them four times */
  assert_check(&b, "has 3 of 15 triangles that stand there twice", 0);
  body wall = {.corners = 0}; /* two boxes with a whole face in common: each has it, turned its own way */
  add_box(&wall, (double[3]){0, 0, 0}, (double[3]){1, 1, 1}, false);
  add_box(&wall, (double[3]){1, 0, 0}, (double[3]){2, 1, 1}, false);
  sy_mesh *mesh = mesh_of(&wall);
  assert_int_equal(sy_mesh_describe(mesh)->twice, 0);
  sy_mesh_free(mesh);
}

/* The projective plane in six corners: every edge has two faces, and no side is the inner one.
** W. Kuehnel, Tight Polyhedral Submanifolds and Tight Triangulations (1995): RP^2_6, its ten triangles (from memory). */
static void surface_without_inside_is_refused(void **state) {
  (void)state;
  const body b = {
      .corner = {{0, 0, 0}, {1, 0.1, 0}, {0.2, 1, 0.3}, {0.1, 0.4, 1}, {1, 1.2, 0.7}, {0.3, 0.9, 1.4}},
      .face = {{0, 1, 2},
               {0, 2, 3},
               {0, 3, 4},
               {0, 4, 5},
               {0, 5, 1},
               {1, 2, 4},
               {2, 3, 5},
               {3, 4, 1},
               {4, 5, 2},
               {5, 1, 3}},
      .corners = 6,
      .faces = 10};
  sy_mesh *mesh = mesh_of(&b);
  sy_error err;
  assert_int_equal(sy_mesh_describe(mesh)->open_edges, 0);
  assert_true(sy_mesh_describe(mesh)->twisted > 0);
  assert_int_equal(sy_mesh_check(mesh, &err), SY_GEOMETRY);
  assert_non_null(strstr(err.message, "has no inner side"));
  sy_mesh_free(mesh);
}

static void bytes_that_are_no_mesh_are_refused(void **state) {
  (void)state;
  static char big[84];
  const body b = one_box();
  size_t size = as_binary(&b, text);
  assert_refused(text, 0, SY_CONTENT, "mesh", "is empty");
  assert_refused(text, size - 1, SY_CONTENT, "mesh",
                 "is cut off, or no STL: it says it has 12 triangles, its bytes hold 11");
  assert_refused(text, size + 7, SY_CONTENT, "mesh", "7 bytes stand behind the last");
  refuse_text("\1\2\3", "mesh", "neither text nor a binary STL");
  const float nan = NAN;
  memcpy(text + 84 + 50 * 4 + 12, &nan, 4);
  assert_refused(text, size, SY_CONTENT, "triangle 5", "has a coordinate of nan");
  memset(big + 80, 0xff, 4);
  assert_refused(big, 84, SY_CONTENT, "mesh", "it says it has 4294967295 triangles, its bytes hold 0");
  memset(big + 80, 0, 4);
  assert_refused(big, 84, SY_CONTENT, "mesh", "has no triangles");
  size = as_stl_text(&b, text);
  assert_refused(text, size - 14, SY_CONTENT, "mesh", "cut off: endsolid is missing");
  assert_refused(text, size / 2, SY_CONTENT, "line 43", "should stand");
  refuse_text("solid\nfacet normal 0 0 1 outer loop\nvertex 0 0 zero", "line 3", "\"zero\" where a number");
  refuse_text("solid\nvertex 1 2 3", "line 2", "\"vertex\" where facet or endsolid");
  refuse_text("solid\nfacet normal 0 0 1 outer loop\nvertex 0 0 2e9", "line 3", "coordinate of 2000000000");
  refuse_text("solid\nendsolid\n", "mesh", "has no triangles");
  refuse_text("v 1 2 3\nf 1 1 1\n", "mesh", "has no triangles but such that");
  refuse_text("v 1 2 3\nf 1 2 3\n", "line 2", "names corner 2, 1 stand before it");
  refuse_text("v 1 2 3\nf 1 -2 1\n", "line 2", "names corner -2");
  refuse_text("v 1 2 3\nf 1 one 1\n", "line 2", "\"one\" where the number of a corner");
  refuse_text("v 1 2\nf 1 1 1\n", "line 1", "ends where a number should stand");
  refuse_text("v 1 2 3\nf 1\n", "line 2", "three corners");
  refuse_text("v 1 2 3\nsurf 0 1\n", "line 2", "curved ones are not read");
  refuse_text("some text\n", "mesh", "neither STL nor OBJ");
  sy_massprops p;
  assert_int_equal(sy_mesh_body_of_stl(text, size, &p, NULL), SY_CONTENT);
}

static void masses_that_are_none_are_refused(void **state) {
  (void)state;
  const body b = one_box();
  sy_mesh *mesh = mesh_of(&b);
  sy_massprops p = {.mass = 5};
  assert_int_equal(sy_mesh_massprops(mesh, -1, &p, NULL), SY_RANGE);
  assert_int_equal(sy_mesh_massprops(mesh, (double)NAN, &p, NULL), SY_RANGE);
  assert_near(p.mass, 5, 0);
  sy_mesh_free(mesh);
  sy_mesh_free(NULL);
}

static void memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  body b = one_box();
  add_box(&b, (double[3]){0, 0.5, 2}, (double[3]){1, 0.75, 3}, true);
  size_t (*const write[])(const body *, char *) = {as_binary, as_stl_text, as_obj};
  for (int i = 0; i < 3; i++) {
    const size_t size = write[i](&b, text);
    counted_memory m = {.live = 0};
    const sy_alloc alloc = counting_alloc(&m);
    sy_status status = SY_LIMIT;
    for (m.refuse = 1; status != SY_OK; m.refuse++) {
      sy_mesh *mesh = NULL;
      sy_error err = {.status = SY_OK};
      atomic_store(&m.calls, 0);
      status = sy_mesh_read(text, size, &alloc, &mesh, &err);
      if (status == SY_OK) {
        assert_true(atomic_load(&m.calls) == m.refuse - 1);
        sy_mesh_free(mesh);
      } else {
        assert_int_equal(status, SY_LIMIT);
        assert_string_equal(err.message, "memory is out");
        assert_null(mesh);
      }
      assert_int_equal(atomic_load(&m.live), 0);
    }
    assert_true(m.refuse > 5);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(tetrahedron_is_that_of_the_paper),
      cmocka_unit_test(box_is_the_same_in_every_format),
      cmocka_unit_test(box_far_from_its_origin_loses_nothing),
      cmocka_unit_test(cavity_is_taken_out_and_a_body_in_it_comes_back),
      cmocka_unit_test(boxes_side_by_side_are_two_bodies),
      cmocka_unit_test(wrong_surfaces_are_reported),
      cmocka_unit_test(triangles_that_stand_twice_are_refused),
      cmocka_unit_test(surface_without_inside_is_refused),
      cmocka_unit_test(bytes_that_are_no_mesh_are_refused),
      cmocka_unit_test(masses_that_are_none_are_refused),
      cmocka_unit_test(memory_that_runs_out_is_reported_and_given_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
