/* Gaps between bodies that face each other squarely, where the iteration's directions run along axes and normals: against an
** alternating projection, which knows nothing of support points. From a point of one body to the nearest point of the other, and back,
** and so on: that ends at the nearest points of two convex bodies.
** Source  W. Cheney, A. A. Goldstein, Proximity maps for convex sets, Proceedings of the American Mathematical Society 10 (1959)
**         448-450 (from memory). The nearest points of a box, a round body and an ellipsoid: plane geometry, below. */
#include "shop/clearance.h"

#include <float.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

#define CLOSE 2e-7 /* m: the bracket in which the iteration stops is 1e-7 */

typedef enum kind { BOX, PLATE, CYLINDER, TUBE_LIKE, ROD, CONE, BALL, EGG, LINE, POINT, KINDS } kind;

/* A body along z of its own frame, from -below to +above: what the envelope is made from, and what is projected onto. */
typedef struct shape {
  kind kind;
  double a, b, below,
      above; /* half sizes across; a cone and a frustum: radius at the lower end a, at the upper b */
  sy_frame place;
} shape;

static sy_envelope envelope_of(const shape *s) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  switch (s->kind) {
  case BOX:
  case PLATE:
    e.count = 8;
    for (int i = 0; i < 8; i++)
      e.point[i] = (sy_vec3){i & 1 ? s->a : -s->a, i & 2 ? s->b : -s->b, i & 4 ? s->above : -s->below};
    break;
  case BALL:
  case EGG:
    e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
    e.half = (sy_vec3){s->a, s->b, s->above};
    break;
  case LINE:
  case POINT:
    e.count = s->kind == LINE ? 2 : 1;
    e.point[0] = (sy_vec3){0, 0, -s->below};
    e.point[1] = (sy_vec3){0, 0, s->above};
    break;
  default:
    e = sy_envelope_default(SY_ENVELOPE_ROUND);
    e.end[0] = (sy_vec3){0, 0, -s->below};
    e.end[1] = (sy_vec3){0, 0, s->above};
    e.radius[0] = s->a;
    e.radius[1] = s->b;
  }
  e.place = s->place;
  return e;
}

static double clamp(double x, double low, double high) { return fmin(fmax(x, low), high); }

/* In the half plane of radius and height: the nearest point of a trapezium with its long side on the axis. */
static void nearest_of_round(const shape *s, double *r, double *z) {
  const double height = s->below + s->above, slope = (s->b - s->a) / height;
  const double inside = s->a + slope * (clamp(*z, -s->below, s->above) + s->below);
  if (*z >= -s->below && *z <= s->above && *r <= inside) return;
  double best = (double)INFINITY, best_r = 0, best_z = 0;
  const double corner[4][2] = {{0, -s->below}, {s->a, -s->below}, {s->b, s->above}, {0, s->above}};
  for (int i = 0; i < 3; i++) { /* lower end, wall, upper end */
    const double dr = corner[i + 1][0] - corner[i][0], dz = corner[i + 1][1] - corner[i][1];
    const double size = dr * dr + dz * dz;
    const double t = size > 0 ? clamp(((*r - corner[i][0]) * dr + (*z - corner[i][1]) * dz) / size, 0, 1) : 0;
    const double at_r = corner[i][0] + t * dr, at_z = corner[i][1] + t * dz;
    const double apart = hypot(*r - at_r, *z - at_z);
    if (apart < best) {
      best = apart;
      best_r = at_r;
      best_z = at_z;
    }
  }
  *r = best_r;
  *z = best_z;
}

/* x_i = p_i h_i^2 / (h_i^2 + t) with t such that the point lies on the surface: t by halving. */
static sy_vec3 nearest_of_ellipsoid(const shape *s, sy_vec3 p) {
  const double h[3] = {s->a, s->b, s->above}, q[3] = {p.x, p.y, p.z};
  double low = 0, high = 0, x[3] = {p.x, p.y, p.z}, sum = 0;
  for (int i = 0; i < 3; i++) {
    sum += q[i] / h[i] * (q[i] / h[i]);
    high += fabs(q[i]) * h[i];
  }
  if (sum <= 1) return p;
  for (int step = 0; step < 200; step++) {
    const double t = 0.5 * (low + high);
    sum = 0;
    for (int i = 0; i < 3; i++) {
      x[i] = q[i] * h[i] * h[i] / (h[i] * h[i] + t);
      sum += x[i] / h[i] * (x[i] / h[i]);
    }
    if (sum > 1)
      low = t;
    else
      high = t;
  }
  return (sy_vec3){x[0], x[1], x[2]};
}

static sy_vec3 project(const shape *s, sy_vec3 outer) {
  const sy_mat3 back = sy_mat3_transpose(s->place.turn);
  sy_vec3 p = sy_mat3_apply(back, sy_vec3_sub(outer, s->place.at));
  if (s->kind == BOX || s->kind == PLATE) {
    p = (sy_vec3){clamp(p.x, -s->a, s->a), clamp(p.y, -s->b, s->b), clamp(p.z, -s->below, s->above)};
  } else if (s->kind == BALL || s->kind == EGG) {
    p = nearest_of_ellipsoid(s, p);
  } else if (s->kind == LINE || s->kind == POINT) {
    p = (sy_vec3){0, 0, clamp(p.z, -s->below, s->above)};
  } else {
    const double before = hypot(p.x, p.y);
    double r = before, z = p.z;
    nearest_of_round(s, &r, &z);
    p = before > 0 ? (sy_vec3){p.x * r / before, p.y * r / before, z} : (sy_vec3){0, 0, z};
  }
  return sy_frame_apply(&s->place, p);
}

/* Projected to and fro until it stands; faces that are parallel end in a step, others are not asked for here. */
static double apart_by_projection(const shape *a, const shape *b) {
  sy_vec3 p = a->place.at, q = b->place.at;
  for (int step = 0; step < 20000; step++) {
    const sy_vec3 next = project(b, p), back = project(a, next);
    const double moved = sy_vec3_length(sy_vec3_sub(back, p)) + sy_vec3_length(sy_vec3_sub(next, q));
    p = back;
    q = next;
    if (moved < 1e-15) break;
  }
  return sy_vec3_length(sy_vec3_sub(p, q));
}

static shape random_shape(dice *d, kind k) {
  shape s = {.kind = k, .place = sy_frame_identity()};
  s.a = dice_between(d, 0.02, 0.5);
  s.b = dice_between(d, 0.02, 0.5);
  s.below = s.above = dice_between(d, 0.02, 0.6);
  if (k == PLATE) s.below = s.above = 0;
  if (k == CYLINDER || k == TUBE_LIKE) s.b = s.a;
  if (k == ROD || k == LINE) s.a = s.b = 0;
  if (k == CONE) {
    s.b = 0;
    s.above = 3 * s.below;
  }
  if (k == BALL) s.a = s.b = s.below;
  if (k == POINT) s.a = s.b = s.below = s.above = 0;
  return s;
}

static sy_mat3 product(sy_mat3 a, sy_mat3 b) {
  const sy_frame outer = {a, {0, 0, 0}}, inner = {b, {0, 0, 0}};
  return sy_frame_compose(&outer, &inner).turn;
}

/* The six ways that z may point, turned as files turn shapes (with the residues of sines and cosines of right angles). */
static sy_mat3 facing(int way) {
  switch (way) {
  case 0: return sy_mat3_identity();
  case 1: return sy_frame_rotation(0, SY_PI / 2, 0);
  case 2: return sy_frame_rotation(0, -SY_PI / 2, 0);
  case 3: return sy_frame_rotation(SY_PI / 2, 0, 0);
  case 4: return sy_frame_rotation(-SY_PI / 2, 0, 0);
  default: return sy_frame_rotation(SY_PI, 0, 0);
  }
}

/* One on the axis of the other, end to end, at a gap known by hand; then a common turn and a place anywhere. */
static void bodies_end_to_end_are_apart_by_what_lies_between(void **state) {
  (void)state;
  dice d = {19590601};
  int wrong = 0;
  for (int first = 0; first < KINDS; first++)
    for (int second = 0; second < KINDS; second++)
      for (int way = 0; way < 6; way++)
        for (int round = 0; round < 12; round++) {
          shape a = random_shape(&d, (kind)first), b = random_shape(&d, (kind)second);
          const double gap = dice_between(&d, 0.001, 0.1);
          const sy_mat3 turn = round % 3 == 2
                                   ? sy_frame_rotation(dice_between(&d, -3, 3), dice_between(&d, -1, 1),
                                                       dice_between(&d, -3, 3))
                                   : sy_mat3_identity();
          a.place.turn = product(turn, facing(way));
          b.place.turn = a.place.turn;
          a.place.at = (sy_vec3){dice_between(&d, -4, 4), dice_between(&d, -1, 1), dice_between(&d, 0, 1)};
          b.place.at =
              sy_vec3_add(a.place.at, sy_mat3_apply(a.place.turn, (sy_vec3){0, 0, a.above + gap + b.below}));
          const sy_envelope ea = envelope_of(&a), eb = envelope_of(&b);
          sy_gap g;
          assert_int_equal(sy_clearance(&ea, &eb, &g, NULL), SY_OK);
          assert_near(apart_by_projection(&a, &b), gap, 1e-9); /* both by hand and by projection: rounding */
          wrong += !(fabs(g.gap - gap) <= CLOSE);
        }
  assert_int_equal(wrong, 0);
}

/* Off the axis but still facing: an end before another, by projection alone. */
static void ends_that_face_each_other_off_the_axis_agree_with_projection(void **state) {
  (void)state;
  dice d = {19590602};
  static const kind flat[] = {BOX, PLATE, CYLINDER, TUBE_LIKE, CONE};
  for (int first = 0; first < 5; first++)
    for (int second = 0; second < 5; second++)
      for (int way = 0; way < 6; way++)
        for (int round = 0; round < 6; round++) {
          shape a = random_shape(&d, flat[first]), b = random_shape(&d, flat[second]);
          const sy_mat3 upside_down = sy_frame_rotation(SY_PI, 0, 0);
          a.place.turn = facing(way); /* the wide end of a cone looks at the other */
          b.place.turn = product(facing(way), upside_down);
          a.place.at = (sy_vec3){dice_between(&d, -4, 4), dice_between(&d, -1, 1), dice_between(&d, 0, 1)};
          const sy_vec3 apart = {dice_between(&d, -0.02, 0.02), dice_between(&d, -0.02, 0.02),
                                 -(a.below + dice_between(&d, 0.001, 0.1) + b.below)};
          b.place.at = sy_vec3_add(a.place.at, sy_mat3_apply(a.place.turn, apart));
          const sy_envelope ea = envelope_of(&a), eb = envelope_of(&b);
          sy_gap g;
          assert_int_equal(sy_clearance(&ea, &eb, &g, NULL), SY_OK);
          assert_near(g.gap, apart_by_projection(&a, &b), CLOSE);
        }
}

/* Standing over the road: the lowest point of a body whose axis is upright is its end's height. */
static void lowest_point_of_an_upright_body_is_its_end(void **state) {
  (void)state;
  dice d = {19590603};
  for (int k = 0; k < KINDS; k++)
    for (int way = 0; way < 6; way++)
      for (int round = 0; round < 20; round++) {
        shape s = random_shape(&d, (kind)k);
        s.place.turn = facing(way);
        s.place.at = (sy_vec3){dice_between(&d, -4, 4), dice_between(&d, -1, 1), dice_between(&d, 0.3, 1)};
        const sy_envelope e = envelope_of(&s);
        const sy_vec3 axis = sy_mat3_apply(s.place.turn, (sy_vec3){0, 0, 1});
        sy_vec3 low;
        assert_int_equal(sy_envelope_reach(&e, sy_vec3_scale(-1, axis), &low, NULL), SY_OK);
        const double along = sy_vec3_dot(sy_vec3_sub(low, s.place.at), axis);
        assert_near(along, -s.below, 1e-12);
        /* of a flat end any point is the lowest: it lies in the body all the same */
        assert_near(sy_vec3_length(sy_vec3_sub(project(&s, low), low)), 0, 1e-9);
      }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(bodies_end_to_end_are_apart_by_what_lies_between),
      cmocka_unit_test(ends_that_face_each_other_off_the_axis_agree_with_projection),
      cmocka_unit_test(lowest_point_of_an_upright_body_is_its_end),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
