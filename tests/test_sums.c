#include "mass/sums.h"

#include <float.h>

#include "dice.h"
#include "mass/ledger.h"
#include "near.h"

/* Everything here is of order 1 to 100 and goes through some tens of roundings. */
#define ROUNDINGS (64 * DBL_EPSILON)

typedef struct points {
  double m[5];
  sy_vec3 r[5];
} points;

static points random_points(dice *d) {
  points p;
  for (int i = 0; i < 5; i++) {
    p.m[i] = dice_between(d, 0.137, 23.85);
    p.r[i] = (sy_vec3){dice_between(d, -3, 1), dice_between(d, -1, 1), dice_between(d, 0, 1.5)};
  }
  return p;
}

static sy_frame random_frame(dice *d) {
  return (sy_frame){
      sy_frame_rotation(dice_between(d, -3, 3), dice_between(d, -1.5, 1.5), dice_between(d, -3, 3)),
      {dice_between(d, -2, 2), dice_between(d, -2, 2), dice_between(d, -2, 2)}};
}

/* The ten sums of mass points, by their definition. */
static sy_sums direct_sums(const points *p) {
  sy_sums s = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  for (int i = 0; i < 5; i++) {
    const double m = p->m[i], x = p->r[i].x, y = p->r[i].y, z = p->r[i].z;
    s.m += m;
    s.first = (sy_vec3){s.first.x + m * x, s.first.y + m * y, s.first.z + m * z};
    s.second = (sy_sym3){s.second.xx + m * x * x, s.second.yy + m * y * y, s.second.zz + m * z * z,
                         s.second.xy + m * x * y, s.second.xz + m * x * z, s.second.yz + m * y * z};
  }
  return s;
}

/* Mass, cg and inertia of mass points by their definition: J = sum m (|d|^2 1 - d d^T), d from the cg. Source: Meriam,
** Kraige & Bolton, Engineering Mechanics: Dynamics, App. B. */
static sy_massprops direct_body(const points *p) {
  sy_massprops b = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  for (int i = 0; i < 5; i++) b.mass += p->m[i];
  for (int i = 0; i < 5; i++) b.cg = sy_vec3_muladd(b.cg, p->m[i] / b.mass, p->r[i]);
  for (int i = 0; i < 5; i++) {
    const double m = p->m[i], x = p->r[i].x - b.cg.x, y = p->r[i].y - b.cg.y, z = p->r[i].z - b.cg.z;
    b.inertia.xx += m * (y * y + z * z);
    b.inertia.yy += m * (x * x + z * z);
    b.inertia.zz += m * (x * x + y * y);
    b.inertia.xy -= m * x * y;
    b.inertia.xz -= m * x * z;
    b.inertia.yz -= m * y * z;
  }
  return b;
}

static void assert_vec_near(sy_vec3 got, sy_vec3 want, double tol) {
  assert_near(got.x, want.x, tol);
  assert_near(got.y, want.y, tol);
  assert_near(got.z, want.z, tol);
}

static void assert_sym_near(sy_sym3 got, sy_sym3 want, double tol) {
  assert_near(got.xx, want.xx, tol);
  assert_near(got.yy, want.yy, tol);
  assert_near(got.zz, want.zz, tol);
  assert_near(got.xy, want.xy, tol);
  assert_near(got.xz, want.xz, tol);
  assert_near(got.yz, want.yz, tol);
}

static void assert_sums_near(const sy_sums *got, const sy_sums *want, double tol) {
  assert_near(got->m, want->m, tol);
  assert_vec_near(got->first, want->first, tol);
  assert_sym_near(got->second, want->second, tol);
}

static void of_a_body_made_of_points_gives_the_sums_of_the_points(void **state) {
  (void)state;
  dice d = {11};
  for (int turn = 0; turn < 200; turn++) {
    const points p = random_points(&d);
    const sy_massprops body = direct_body(&p);
    const sy_sums want = direct_sums(&p), got = sy_sums_of(&body);
    assert_sums_near(&got, &want, ROUNDINGS * 1000); /* second moments reach 5 x 24 kg x 9 m2 */
    const sy_massprops back = sy_sums_body(&want);
    assert_near(back.mass, body.mass, ROUNDINGS * 100);
    assert_vec_near(back.cg, body.cg, ROUNDINGS * 3);
    assert_sym_near(back.inertia, body.inertia, ROUNDINGS * 1000);
  }
}

static void add_and_scale_of_sums_are_those_of_the_points(void **state) {
  (void)state;
  dice d = {12};
  const points a = random_points(&d);
  points b = random_points(&d);
  const sy_sums sa = direct_sums(&a);
  sy_sums sb = direct_sums(&b);
  for (int i = 0; i < 5; i++) b.m[i] *= 0.37;
  const sy_sums want = direct_sums(&b);
  sb = sy_sums_scale(0.37, &sb);
  assert_sums_near(&sb, &want, ROUNDINGS * 1000);
  const sy_sums both = sy_sums_add(&sa, &sb);
  assert_near(both.m, sa.m + want.m, ROUNDINGS * 100);
  assert_near(both.first.y, sa.first.y + want.first.y, ROUNDINGS * 100);
  assert_near(both.second.xz, sa.second.xz + want.second.xz, ROUNDINGS * 1000);
}

static void place_gives_the_sums_of_the_placed_points(void **state) {
  (void)state;
  dice d = {13};
  for (int turn = 0; turn < 200; turn++) {
    points p = random_points(&d);
    const sy_frame f = random_frame(&d);
    const sy_sums inside = direct_sums(&p);
    for (int i = 0; i < 5; i++) p.r[i] = sy_frame_apply(&f, p.r[i]);
    const sy_sums want = direct_sums(&p), got = sy_sums_place(&inside, &f);
    assert_sums_near(&got, &want, ROUNDINGS * 3000); /* 120 kg at up to 5 m */
    const sy_frame back = sy_frame_inverse(&f);
    const sy_sums again = sy_sums_place(&got, &back);
    assert_sums_near(&again, &inside, ROUNDINGS * 10000); /* there and back: two such steps */
  }
}

static const int column[4][4] = {{0, 1, 2, 3}, {1, 4, 5, 6}, {2, 5, 7, 8}, {3, 6, 8, 9}};

/* A covariance is a sum of s w w^T; each response w turns and shifts like the moments of one kilogram. */
static void place_of_a_covariance_places_each_response(void **state) {
  (void)state;
  dice d = {14};
  for (int turn = 0; turn < 200; turn++) {
    const sy_frame f = random_frame(&d);
    sy_cov4 inside = {{0}}, want = {{0}};
    for (int n = 0; n < 6; n++) {
      double w[4], v[4];
      for (int k = 0; k < 4; k++) w[k] = dice_between(&d, -2, 2);
      const sy_vec3 turned = sy_mat3_apply(f.turn, (sy_vec3){w[1], w[2], w[3]});
      v[0] = w[0];
      v[1] = turned.x + w[0] * f.at.x;
      v[2] = turned.y + w[0] * f.at.y;
      v[3] = turned.z + w[0] * f.at.z;
      for (int i = 0; i < 4; i++)
        for (int j = i; j < 4; j++) {
          inside.c[column[i][j]] += w[i] * w[j];
          want.c[column[i][j]] += v[i] * v[j];
        }
    }
    const sy_cov4 got = sy_cov4_place(&inside, &f);
    for (int k = 0; k < 10; k++) assert_near(got.c[k], want.c[k], ROUNDINGS * 300); /* 6 x (2 x 5)^2 */
  }
}

static double sensitivity_times(const sy_sensitivity *g, const sy_sums *s) {
  return g->m * s->m + sy_vec3_dot(g->first, s->first) + g->second.xx * s->second.xx +
         g->second.yy * s->second.yy + g->second.zz * s->second.zz +
         2 * (g->second.xy * s->second.xy + g->second.xz * s->second.xz + g->second.yz * s->second.yz);
}

static sy_sensitivity random_sensitivity(dice *d) {
  sy_sensitivity g = {.carriers = SY_ALL_CARRIERS, .flat = false};
  g.m = dice_between(d, -1, 1);
  g.first = (sy_vec3){dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)};
  g.second = (sy_sym3){dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1),
                       dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)};
  return g;
}

/* The same change of the answer, whether the change of the sums is carried outwards or the sensitivity inwards. */
static void sensitivity_inside_is_adjoint_to_place(void **state) {
  (void)state;
  dice d = {15};
  for (int turn = 0; turn < 500; turn++) {
    const points p = random_points(&d);
    const sy_frame f = random_frame(&d);
    const sy_sums inside = direct_sums(&p), outside = sy_sums_place(&inside, &f);
    sy_sensitivity g = random_sensitivity(&d);
    if (turn % 2) {
      g.flat = true;
      g.second = (sy_sym3){0, 0, 0, 0, 0, 0};
    }
    g.carriers = 5u;
    const sy_sensitivity inner = sy_sensitivity_inside(&g, &f);
    assert_true(inner.flat == g.flat && inner.carriers == g.carriers);
    assert_near(sensitivity_times(&inner, &inside), sensitivity_times(&g, &outside),
                ROUNDINGS * 20000); /* 10 x 3000 */
  }
}

static double yaw_inertia(const sy_sums *s) { return sy_sums_body(s).inertia.zz; }

/* Slope of the yaw inertia of a placed group by the chain rule against a central difference. */
static void sensitivity_inside_follows_a_finite_difference(void **state) {
  (void)state;
  dice d = {16};
  for (int turn = 0; turn < 50; turn++) {
    const points p = random_points(&d);
    const sy_frame f = random_frame(&d);
    const sy_sums inside = direct_sums(&p), outside = sy_sums_place(&inside, &f);
    const double x = outside.first.x / outside.m, y = outside.first.y / outside.m;
    /* J_zz = S_xx + S_yy - (f_x^2 + f_y^2)/m */
    const sy_sensitivity g = {x * x + y * y, {-2 * x, -2 * y, 0}, {1, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
    const sy_sensitivity inner = sy_sensitivity_inside(&g, &f);
    const double sensitivity[3] = {inner.m, inner.first.y, inner.second.xz * 2};
    for (int k = 0; k < 3; k++) {
      const double step = 1e-4;
      sy_sums up = inside, down = inside;
      *(k == 0 ? &up.m : k == 1 ? &up.first.y : &up.second.xz) += step;
      *(k == 0 ? &down.m : k == 1 ? &down.first.y : &down.second.xz) -= step;
      const sy_sums a = sy_sums_place(&up, &f), b = sy_sums_place(&down, &f);
      /* rounding: 1e3 kg m2 x 2^-52 x 10 / step = 2e-8; curvature: J''' step^2 / 6, J''' = 6 f^2/m^4 < 100 */
      assert_near(sensitivity[k], (yaw_inertia(&a) - yaw_inertia(&b)) / (2 * step), 2e-7);
    }
  }
}

/* Source  law of propagation of uncertainty, g^T C g: JCGM 100:2008, 5.2.2 eq. 13. */
static void variance_of_a_flat_sensitivity_is_the_quadratic_form(void **state) {
  (void)state;
  dice d = {17};
  for (int turn = 0; turn < 200; turn++) {
    sy_sensitivity g = random_sensitivity(&d);
    const double v[4] = {g.m, g.first.x, g.first.y, g.first.z};
    sy_cov4 c = {{0}};
    double want = 0;
    for (int n = 0; n < 6; n++) {
      double w[4], along = 0;
      for (int k = 0; k < 4; k++) {
        w[k] = dice_between(&d, -2, 2);
        along += v[k] * w[k];
      }
      want += along * along;
      for (int i = 0; i < 4; i++)
        for (int j = i; j < 4; j++) c.c[column[i][j]] += w[i] * w[j];
    }
    assert_near(sy_cov4_variance(&c, &g), want, ROUNDINGS * 100); /* 6 x 16 */
  }
}

static void variance_where_everything_cancels_is_never_negative(void **state) {
  (void)state;
  dice d = {18};
  for (int turn = 0; turn < 2000; turn++) {
    /* one error, response w; the sensitivity is made orthogonal to it */
    const double x = dice_between(&d, 0.1, 3), s = dice_between(&d, 0.01, 9);
    sy_cov4 c = {{0}};
    c.c[0] = s;
    c.c[1] = s * x;
    c.c[4] = s * x * x;
    const sy_sensitivity g = {-x / 7, {1.0 / 7, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
    const double variance = sy_cov4_variance(&c, &g);
    assert_true(variance >= 0);
    assert_near(variance, 0, ROUNDINGS * 9 * 9 / 49);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(of_a_body_made_of_points_gives_the_sums_of_the_points),
      cmocka_unit_test(add_and_scale_of_sums_are_those_of_the_points),
      cmocka_unit_test(place_gives_the_sums_of_the_placed_points),
      cmocka_unit_test(place_of_a_covariance_places_each_response),
      cmocka_unit_test(sensitivity_inside_is_adjoint_to_place),
      cmocka_unit_test(sensitivity_inside_follows_a_finite_difference),
      cmocka_unit_test(variance_of_a_flat_sensitivity_is_the_quadratic_form),
      cmocka_unit_test(variance_where_everything_cancels_is_never_negative),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
