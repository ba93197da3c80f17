#include "shop/overlaps.h"

#include "base/units.h"
#include "mesh_tools.h"

#define CLOSE 2e-7 /* m: clearance.h stops within 1e-7 */

enum { MOST_BODIES = 160 };

static sy_envelope a_box(const double size[3], sy_vec3 at) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  e.count = 8;
  for (int i = 0; i < 8; i++)
    e.point[i] = (sy_vec3){(i & 1 ? 0.5 : -0.5) * size[0], (i & 2 ? 0.5 : -0.5) * size[1],
                           (i & 4 ? 0.5 : -0.5) * size[2]};
  e.place.at = at;
  return e;
}

static sy_envelope a_ball(sy_vec3 at, double radius) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
  e.half = (sy_vec3){radius, radius, radius};
  e.place.at = at;
  return e;
}

static sy_overlaps *found_of(const sy_envelope *list, size_t count, double gap) {
  sy_overlaps *found = NULL;
  sy_error err = {.status = SY_OK};
  must(sy_overlaps_find(list, count, gap, NULL, &found, &err), &err);
  return found;
}

static sy_vec3 somewhere(dice *d, double spread) {
  return (sy_vec3){dice_between(d, -spread, spread), dice_between(d, -spread, spread),
                   dice_between(d, -spread, spread)};
}

/* Every pair of `list` against `want`, a gap worked out otherwise: below -touch they intersect, below `gap` they are near. Pairs within
** `unsure` of either bound are not asked. Counts what was found. */
typedef double (*wanted)(const sy_envelope *a, const sy_envelope *b);

static void assert_pairs(const sy_envelope *list, size_t count, double gap, wanted want, double unsure,
                         size_t seen[2]) {
  sy_overlaps *found = found_of(list, count, gap);
  size_t next = 0;
  for (size_t i = 0; i < count; i++)
    for (size_t k = i + 1; k < count; k++) {
      const double apart = want(&list[i], &list[k]);
      const sy_overlap here =
          next < sy_overlaps_count(found) ? sy_overlaps_at(found, next) : (sy_overlap){.a = count};
      const bool hit = here.a == i && here.b == k;
      if (hit) next++;
      if (apart < -unsure) {
        assert_true(hit && here.overlap);
        seen[0]++;
      } else if (apart > 1e-6 && apart < gap - 1e-6) {
        assert_true(hit && !here.overlap);
        assert_near(here.gap, apart, CLOSE);
        assert_near(sy_vec3_length(sy_vec3_sub(here.at[0], here.at[1])), apart, CLOSE);
        seen[1]++;
      } else if (apart > gap + 1e-6) {
        assert_false(hit);
      }
    }
  assert_int_equal(next, sy_overlaps_count(found)); /* in order, and nothing besides */
  sy_overlaps_free(found);
}

static double of_balls(const sy_envelope *a, const sy_envelope *b) {
  return sy_vec3_length(sy_vec3_sub(a->place.at, b->place.at)) - a->half.x - b->half.x;
}

/* Gap of boxes along the axes: by axis, the distance less both halves; what overlaps along an axis adds nothing. Below 0: how far it is
** along the axis on which they overlap least. */
static double of_boxes(const sy_envelope *a, const sy_envelope *b) {
  double sum = 0, deepest = -(double)INFINITY;
  for (int i = 0; i < 3; i++) {
    const double apart = fabs(sy_vec3_along(a->place.at, i) - sy_vec3_along(b->place.at, i)) -
                         sy_vec3_along(a->point[7], i) - sy_vec3_along(b->point[7], i);
    if (apart > 0) sum += apart * apart;
    deepest = fmax(deepest, apart);
  }
  return deepest > 0 ? sqrt(sum) : deepest;
}

/* Plane geometry. 3 mm deep is beyond touching for boxes, whatever their size. */
static void balls_and_boxes_are_found_where_geometry_has_them(void **state) {
  (void)state;
  dice d = {41};
  size_t balls[2] = {0, 0}, boxes[2] = {0, 0};
  const size_t rounds = (size_t)dice_rounds(20);
  for (size_t round = 0; round < rounds; round++) {
    sy_envelope list[MOST_BODIES];
    for (int i = 0; i < MOST_BODIES; i++) list[i] = a_ball(somewhere(&d, 1.5), dice_between(&d, 0.02, 0.3));
    assert_pairs(list, MOST_BODIES, 0.05, of_balls, 3 * SY_OVERLAPS_TOUCH, balls);
    for (int i = 0; i < MOST_BODIES; i++)
      list[i] = a_box(
          (double[3]){dice_between(&d, 0.02, 0.5), dice_between(&d, 0.02, 0.5), dice_between(&d, 0.02, 0.5)},
          somewhere(&d, 1.5));
    assert_pairs(list, MOST_BODIES, 0.03, of_boxes, 3 * SY_OVERLAPS_TOUCH, boxes);
  }
  assert_true(balls[0] > 50 * rounds && balls[1] > 25 * rounds && boxes[0] > 50 * rounds &&
              boxes[1] > 15 * rounds);
}

static sy_envelope random_body(dice *d, int kind, const sy_mesh *mesh) {
  const double a = dice_between(d, 0.05, 0.4), b = dice_between(d, 0.05, 0.4), c = dice_between(d, 0.05, 0.4);
  sy_envelope e = a_box((double[3]){a, b, c}, (sy_vec3){0, 0, 0});
  if (kind == 1) {
    e = sy_envelope_default(SY_ENVELOPE_ROUND);
    e.end[0] = (sy_vec3){-a, 0, 0}, e.end[1] = (sy_vec3){b, 0, 0};
    e.radius[0] = c, e.radius[1] = 0.5 * a;
  }
  if (kind == 2) {
    e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
    e.half = (sy_vec3){a, b, c};
  }
  if (kind == 3) {
    e.count = 2;
    e.rounding = 0.3 * c;
  }
  if (kind == 4) {
    e = sy_envelope_default(SY_ENVELOPE_MESH);
    e.mesh = mesh;
  }
  e.place =
      (sy_frame){sy_frame_rotation(dice_between(d, -3, 3), dice_between(d, -3, 3), dice_between(d, -3, 3)),
                 somewhere(d, 1.2)};
  if (dice_below(d, 8) == 0) e.sweep = somewhere(d, 0.3);
  return e;
}

/* Boxes round bodies of all kinds, turned, swept and rounded, lose no pair that clearance.h finds when each is asked about. */
static void no_pair_is_lost_among_bodies_of_all_kinds(void **state) {
  (void)state;
  dice d = {42};
  body b = {.corners = 0};
  add_box(&b, (double[3]){0, 0, 0}, (double[3]){0.5, 0.05, 0.5}, false);
  add_box(&b, (double[3]){0, 0.4, 0}, (double[3]){0.5, 0.45, 0.5}, false);
  sy_mesh *mesh = mesh_of(&b);
  size_t crossed = 0, near = 0, apart = 0;
  const size_t rounds = (size_t)dice_rounds(8);
  for (size_t round = 0; round < rounds; round++) {
    sy_envelope list[60];
    for (int i = 0; i < 60; i++) list[i] = random_body(&d, i % 5, mesh);
    sy_overlaps *found = found_of(list, 60, 0.06);
    size_t next = 0;
    for (size_t i = 0; i < 60; i++)
      for (size_t k = i + 1; k < 60; k++) {
        sy_gap g;
        sy_error err = {.status = SY_OK};
        must(sy_clearance(&list[i], &list[k], &g, &err), &err);
        if (!(g.gap < 0.06)) {
          apart++;
          continue;
        }
        assert_true(next < sy_overlaps_count(found));
        const sy_overlap hit = sy_overlaps_at(found, next++);
        assert_true(hit.a == i && hit.b == k);
        assert_true(g.overlap || !hit.overlap);
        assert_near(hit.gap, fmax(0, g.gap), 0);
        *(hit.overlap ? &crossed : &near) += 1;
      }
    assert_int_equal(next, sy_overlaps_count(found));
    sy_overlaps_free(found);
  }
  sy_mesh_free(mesh);
  assert_true(crossed > 31 * rounds && near > 12 * rounds && apart > 625 * rounds);
}

/* Face on face at figures that no double holds, in any attitude: they touch, and a tenth of a millimetre deeper they do not. */
static void bodies_drawn_face_to_face_touch(void **state) {
  (void)state;
  dice d = {43};
  for (int i = 0; i < dice_rounds(500); i++) {
    const double x = dice_between(&d, 0.03, 0.7), y = dice_between(&d, 0.03, 0.7), in = 2 * SY_OVERLAPS_TOUCH;
    const sy_mat3 turn =
        sy_frame_rotation(dice_between(&d, -3, 3), dice_between(&d, -3, 3), dice_between(&d, -3, 3));
    sy_envelope pair[2] = {a_box((double[3]){x, y, y}, somewhere(&d, 2)),
                           a_box((double[3]){y, x, x}, (sy_vec3){0, 0, 0})};
    if (i % 2 == 1) {
      pair[1] = sy_envelope_default(SY_ENVELOPE_ROUND);
      pair[1].end[0] = (sy_vec3){-0.5 * y, 0, 0}, pair[1].end[1] = (sy_vec3){0.5 * y, 0, 0};
      pair[1].radius[0] = pair[1].radius[1] = x;
    }
    pair[0].place.turn = pair[1].place.turn = turn;
    for (int deep = 0; deep < 2; deep++) {
      const sy_vec3 along = {0.5 * (x + y) - deep * in, 0.1 * y, -0.2 * y};
      pair[1].place.at = sy_vec3_add(pair[0].place.at, sy_mat3_apply(turn, along));
      sy_overlaps *found = found_of(pair, 2, 0.001);
      assert_int_equal(sy_overlaps_count(found), 1);
      const sy_overlap hit = sy_overlaps_at(found, 0);
      assert_int_equal(hit.overlap, deep);
      assert_near(hit.gap, 0, CLOSE);
      sy_overlaps_free(found);
      found = found_of(pair, 2, 0);
      assert_int_equal(sy_overlaps_count(found), deep);
      sy_overlaps_free(found);
    }
  }
}

/* What lies wholly in a mesh meets no triangle of it, and what lies in its hollow meets nothing. */
static void what_a_mesh_holds_intersects_it(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){0, 0, 0}, (double[3]){1, 1, 1}, false);
  add_box(&b, (double[3]){0.1, 0.1, 0.1}, (double[3]){0.6, 0.9, 0.9}, true);
  sy_mesh *mesh = mesh_of(&b);
  sy_envelope list[3] = {sy_envelope_default(SY_ENVELOPE_MESH), a_ball((sy_vec3){0.8, 0.5, 0.5}, 0.05),
                         a_ball((sy_vec3){0.35, 0.5, 0.5}, 0.05)};
  list[0].mesh = mesh;
  sy_overlaps *found = found_of(list, 3, 0.01);
  assert_int_equal(sy_overlaps_count(found), 1);
  assert_true(sy_overlaps_at(found, 0).b == 1 && sy_overlaps_at(found, 0).overlap);
  sy_overlaps_free(found);
  found = found_of(list, 0, 0.01);
  assert_int_equal(sy_overlaps_count(found), 0);
  sy_overlaps_free(found);
  sy_overlaps_free(NULL);
  sy_mesh_free(mesh);
}

static void assert_refused(const sy_envelope *list, size_t count, double gap, sy_status status,
                           const char *part, const char *field) {
  sy_overlaps *found = NULL;
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_overlaps_find(list, count, gap, NULL, &found, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_null(found);
}

static void what_cannot_be_compared_is_refused(void **state) {
  (void)state;
  static sy_envelope list[700];
  for (int i = 0; i < 700; i++) list[i] = a_ball((sy_vec3){0.0001 * i, 0, 0}, 0.3);
  assert_refused(list, 3, -0.001, SY_RANGE, "overlaps", "gap");
  assert_refused(list, 3, (double)NAN, SY_RANGE, "overlaps", "gap");
  assert_refused(list, 700, 0, SY_LIMIT, "overlaps", "bodies"); /* 244650 pairs */
  list[1].half.y = -1;
  assert_refused(list, 3, 0, SY_RANGE, "body 2", "half");
  list[2] = sy_envelope_default(SY_ENVELOPE_MESH);
  list[1] = list[0];
  assert_refused(list, 3, 0, SY_MISSING, "body 3", "mesh");
}

static void memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  sy_envelope list[20];
  for (int i = 0; i < 20; i++)
    list[i] = a_ball((sy_vec3){0.01 * i, 0, 0}, 0.3); /* 190 pairs: the list grows twice */
  counted_memory m = {.live = 0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_status status = SY_LIMIT;
  for (m.refuse = 1; status != SY_OK; m.refuse++) {
    sy_overlaps *found = NULL;
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    status = sy_overlaps_find(list, 20, 0, &alloc, &found, &err);
    if (status == SY_OK) {
      assert_int_equal(sy_overlaps_count(found), 190);
      sy_overlaps_free(found);
    } else {
      assert_int_equal(status, SY_LIMIT);
      assert_string_equal(err.message, "memory is out");
      assert_null(found);
    }
    assert_int_equal(atomic_load(&m.live), 0);
  }
  assert_int_equal(m.refuse - 1, 6); /* two blocks, the list three times, and none refused */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(balls_and_boxes_are_found_where_geometry_has_them),
      cmocka_unit_test(no_pair_is_lost_among_bodies_of_all_kinds),
      cmocka_unit_test(bodies_drawn_face_to_face_touch),
      cmocka_unit_test(what_a_mesh_holds_intersects_it),
      cmocka_unit_test(what_cannot_be_compared_is_refused),
      cmocka_unit_test(memory_that_runs_out_is_reported_and_given_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
