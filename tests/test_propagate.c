/* Standard uncertainties from the ledger: of an answer, and of the change of an answer between two ledgers. */
#include <float.h>

#include "first_guess.h"
#include "ledger_tools.h"

/* ---- sensitivities of a few answers, by their formulas ----------------------------------------------------------------- */

static sy_sensitivity flat(double m, double x, double y, double z) {
  return (sy_sensitivity){m, {x, y, z}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
}

static sy_sensitivity sensitivity_of_mass(void) { return flat(1, 0, 0, 0); }

/* x = f_x/m: dx = (df_x - x dm)/m */
static sy_sensitivity sensitivity_of_x(const sy_totals *t) {
  return flat(-t->all.first.x / (t->all.m * t->all.m), 1 / t->all.m, 0, 0);
}

static sy_sensitivity sensitivity_of_y(const sy_totals *t) {
  return flat(-t->all.first.y / (t->all.m * t->all.m), 0, 1 / t->all.m, 0);
}

/* kg on the front axle = m + f_x/L (x is negative behind the front axle) */
static sy_sensitivity sensitivity_of_front(double wheelbase) { return flat(1, 1 / wheelbase, 0, 0); }

/* front / m = 1 + x/L */
static sy_sensitivity sensitivity_of_front_share(const sy_totals *t, double wheelbase) {
  sy_sensitivity g = sensitivity_of_x(t);
  g.m /= wheelbase;
  g.first.x /= wheelbase;
  return g;
}

/* J_zz = S_xx + S_yy - (f_x^2 + f_y^2)/m */
static sy_sensitivity sensitivity_of_yaw_inertia(const sy_totals *t) {
  const double x = t->all.first.x / t->all.m, y = t->all.first.y / t->all.m;
  return (sy_sensitivity){x * x + y * y, {-2 * x, -2 * y, 0}, {1, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
}

static double sd_of(const sy_ledger *ledger, sy_sensitivity sensitivity) {
  double variance;
  ledger_variance(ledger, &sensitivity, 1, &variance);
  return sqrt(variance);
}

static double sd_of_change(const sy_ledger *from, const sy_ledger *to, sy_sensitivity sensitivity_from,
                           sy_sensitivity sensitivity_to) {
  double variance;
  change_variance(from, to, &sensitivity_from, &sensitivity_to, 1, &variance);
  return sqrt(variance);
}

/* Roundings of a variance that is a sum of some tens of squares of like size; its root has half of that. */
#define RELATIVE (256 * DBL_EPSILON)

static sy_part uncertain(double mass, double mass_sd, sy_vec3 cg, sy_vec3 cg_sd) {
  sy_part p = point(mass, cg.x, cg.y, cg.z);
  p.mass_sd = mass_sd;
  p.cg_sd = cg_sd;
  p.cg_stated = p.cg;
  return p;
}

static sy_ledger *edited(sy_ledger *ledger, sy_status status, const sy_error *err, sy_ledger *next) {
  must(status, err);
  sy_ledger_release(ledger);
  return next;
}

static sy_ledger *shifted(const sy_ledger *ledger, sy_route route, sy_vec3 by) {
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_shift(ledger, &route, by, &out, &err), &err);
  return out;
}

static sy_ledger *with_part(const sy_ledger *ledger, sy_route route, const sy_part *part) {
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_put(ledger, &route, part, &out, &err), &err);
  return out;
}

static sy_ledger *without(const sy_ledger *ledger, sy_route route) {
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_set_aboard(ledger, &route, false, &out, &err), &err);
  return out;
}

static const sy_part *part_at(const sy_ledger *ledger, sy_route route) {
  sy_item item;
  sy_error err;
  must(sy_ledger_item(ledger, &route, &item, &err), &err);
  return item.part;
}

/* ---- of one ledger ---------------------------------------------------------------------------------------------------- */

/* JCGM 101:2008, 9.2: the sum of four independent quantities of standard uncertainty 1 has 2 (remembered). */
static void variance_of_independent_masses_adds(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  for (int i = 0; i < 4; i++) {
    const sy_part part = uncertain(23.85, 1, (sy_vec3){-0.7 * i, 0.1, 0.3}, (sy_vec3){0.002, 0, 0});
    add(b, "part", &part);
  }
  sy_ledger *ledger = finish(b);
  assert_near(sd_of(ledger, sensitivity_of_mass()), 2, 2 * RELATIVE);
  sy_ledger_release(ledger);
}

/* JCGM 100:2008, 5.2.2, example: ten resistors of 1000 ohm compared with one standard of u = 100 mohm have together
** 1 ohm, not 0.32 ohm: their errors are one (remembered). Ten pieces of one booked line are the same case. */
static void variance_of_ten_pieces_with_one_error_adds_linearly(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part part = uncertain(1000, 0.1, (sy_vec3){-1, 0.1, 0.3}, (sy_vec3){0, 0, 0});
  part.count = 10;
  add(b, "standard", &part);
  sy_ledger *ledger = finish(b);
  assert_near(sd_of(ledger, sensitivity_of_mass()), 1, RELATIVE);
  sy_ledger_release(ledger);
}

/* u^2(x) = sum ((x_i - x)/M u(m_i))^2 + (m_i/M u(x_i))^2: JCGM 100:2008, 5.1.2 eq. 10 with the derivatives of
** x = sum m_i x_i / M. */
static void variance_of_the_first_guess_is_the_worked_one(void **state) {
  (void)state;
  const double x_sd[2] = {0, 0.015}, worked_share[2] = {0.00388, 0.00433};
  for (int k = 0; k < 2; k++) {
    sy_ledger *ledger = first_guess(NULL, x_sd[k], false);
    const sy_totals t = totals_of(ledger);
    const double mass = t.all.m, x = t.all.first.x / mass;
    double variance = 0;
    for (size_t i = 0; i < FIRST_LINES; i++) {
      const first_line line = first_guess_line(i);
      variance += pow((-line.back / 1000 - x) / mass * line.sd, 2) + pow(line.mass / mass * x_sd[k], 2);
    }
    assert_near(sd_of(ledger, sensitivity_of_x(&t)), sqrt(variance), RELATIVE * sqrt(variance));
    assert_near(sd_of(ledger, sensitivity_of_mass()), 13.775, 0.0005); /* half a unit of the last digit */
    assert_near(sd_of(ledger, sensitivity_of_front_share(&t, FIRST_GUESS_WHEELBASE)), worked_share[k],
                0.000005);
    sy_ledger_release(ledger);
  }
}

/* One part at (x, y) with uncertainty of its x, beside a fixed one: J = m M/(m + M) r^2, r the distance. */
static void variance_of_the_yaw_inertia_of_two_points_is_the_closed_form(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part fixed = point(78, -1.02, 0, 0.36);
  const sy_part loose = uncertain(12, 0.4, (sy_vec3){-0.6, 0.25, 0.25}, (sy_vec3){0.015, 0.007, 0.1});
  add(b, "fixed", &fixed);
  add(b, "loose", &loose);
  sy_ledger *ledger = finish(b);
  const sy_totals t = totals_of(ledger);
  const double m = 12, big = 78, dx = -0.6 + 1.02, dy = 0.25, r2 = dx * dx + dy * dy;
  const double by_mass = big * big / ((m + big) * (m + big)) * r2, reduced = m * big / (m + big);
  const double want =
      sqrt(pow(by_mass * 0.4, 2) + pow(2 * reduced * dx * 0.015, 2) + pow(2 * reduced * dy * 0.007, 2));
  /* the sensitivity is a difference of second moments twenty times as large as its effect */
  assert_near(sd_of(ledger, sensitivity_of_yaw_inertia(&t)), want, 20 * RELATIVE * want);
  sy_ledger_release(ledger);
}

/* A shape scales with its mass: I = m k^2, so u(I) = k^2 u(m). A stated inertia does not. */
static void variance_of_a_solid_s_own_inertia_grows_with_its_mass(void **state) {
  (void)state;
  for (int solid = 0; solid < 2; solid++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_part part = uncertain(96.2, 1.5, (sy_vec3){0, 0, 0}, (sy_vec3){0, 0, 0});
    part.inertia = (sy_sym3){4.1, 3.3, 5.7, 0.3, -0.2, 0.1};
    part.flags = solid ? SY_PART_SOLID : 0;
    add(b, "engine", &part);
    sy_ledger *ledger = finish(b);
    const sy_totals t = totals_of(ledger);
    assert_near(sd_of(ledger, sensitivity_of_yaw_inertia(&t)), solid ? 5.7 / 96.2 * 1.5 : 0, RELATIVE);
    const sy_sensitivity product = {
        0, {0, 0, 0}, {0, 0, 0, 0, -0.5, 0}, SY_ALL_CARRIERS, false}; /* J_xz = -S_xz */
    assert_near(sd_of(ledger, product), solid ? 0.2 / 96.2 * 1.5 : 0, RELATIVE);
    sy_ledger_release(ledger);
  }
}

/* The 4 x 4 covariance at the root and the walk over the parts are two ways to one number. */
static void variance_from_the_root_is_the_variance_of_the_walk(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 200; seed++) {
    dice d = {seed};
    sy_ledger *ledger = random_ledger(&d, 20);
    const sy_totals t = totals_of(ledger);
    if (t.all.m > 0) {
      sy_sensitivity at_root[4] = {sensitivity_of_mass(), sensitivity_of_x(&t), sensitivity_of_y(&t),
                                   sensitivity_of_front(2.45)};
      double flat_variance[4], walked[4];
      ledger_variance(ledger, at_root, 4, flat_variance);
      for (int i = 0; i < 4; i++) at_root[i].flat = false;
      ledger_variance(ledger, at_root, 4, walked);
      for (int i = 0; i < 4; i++) {
        /* g C g is a difference of terms of size u^2(m) x^2/m^2 with |x| to 10 m; the walk has no such difference */
        const double scale = i == 0 || i == 3
                                 ? t.cov.c[0] * 20 + t.cov.c[4]
                                 : 100 * (t.cov.c[0] + t.cov.c[4] + t.cov.c[7]) / (t.all.m * t.all.m);
        assert_near(flat_variance[i], walked[i], RELATIVE * scale);
      }
    }
    sy_ledger_release(ledger);
  }
}

static void variance_in_many_answers_is_the_same_as_one_by_one(void **state) {
  (void)state;
  enum { ANSWERS = 19 }; /* more than one block */
  dice d = {5};
  sy_ledger *ledger = random_ledger(&d, 30);
  sy_sensitivity sensitivities[ANSWERS];
  double together[ANSWERS];
  for (int i = 0; i < ANSWERS; i++) {
    const bool is_flat = i % 3 == 0;
    const double q = is_flat ? 0 : 1;
    sensitivities[i] = (sy_sensitivity){dice_between(&d, -1, 1),
                                        {dice_between(&d, -1, 1), dice_between(&d, -1, 1), 0.3},
                                        {q, q * dice_between(&d, -1, 1), 0, q * 0.3, 0, q * -0.2},
                                        i % 4 ? SY_ALL_CARRIERS : 1u,
                                        is_flat};
  }
  ledger_variance(ledger, sensitivities, ANSWERS, together);
  for (int i = 0; i < ANSWERS; i++) {
    const double one = pow(sd_of(ledger, sensitivities[i]), 2);
    assert_near(together[i], one,
                RELATIVE * one * 100); /* one by one the root's short cut is taken for flat ones */
  }
  sy_ledger_release(ledger);
}

/* Half of a part that an axle carries errs half as much, and the two halves are one error. */
static void variance_by_carrier_counts_the_carried_fraction(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part links = uncertain(14, 2, (sy_vec3){-0.06, 0, 0.33}, (sy_vec3){0.01, 0, 0});
  links.unsprung = (sy_unsprung){{0.3, 0.2}, {SY_CARRIER_AXLE, SY_CARRIER_WHEEL + 1}, 2};
  add(b, "links", &links);
  sy_ledger *ledger = finish(b);
  const struct {
    unsigned carriers;
    double fraction;
  } cases[] = {{1u << SY_CARRIER_BODY, 0.5},
               {1u << SY_CARRIER_AXLE, 0.3},
               {1u << SY_CARRIER_AXLE | 1u << (SY_CARRIER_WHEEL + 1), 0.5},
               {1u << (SY_CARRIER_WHEEL + 2), 0},
               {SY_ALL_CARRIERS, 1}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_sensitivity mass = sensitivity_of_mass(), moment = flat(0, 1, 0, 0);
    mass.carriers = moment.carriers = cases[i].carriers;
    assert_near(sd_of(ledger, mass), cases[i].fraction * 2, RELATIVE);
    /* u^2(m x) = (x u(m))^2 + (m u(x))^2 */
    assert_near(sd_of(ledger, moment), cases[i].fraction * hypot(0.06 * 2, 14 * 0.01), RELATIVE);
  }
  sy_ledger_release(ledger);
}

/* Errors of a place are stated in the group's directions: in a group turned by a right angle x becomes y. */
static void variance_in_a_turned_group_follows_its_directions(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_group group = sy_group_default();
  group.frame =
      (sy_frame){sy_frame_rotation(0, 0, acos(-1) / 2), {-1.3, 0.2, 0.1}}; /* x forward turns to y left */
  const sy_part part = uncertain(20, 0, (sy_vec3){0.3, 0.1, 0}, (sy_vec3){0.012, 0, 0});
  open_group(b, "turned", &group);
  add(b, "part", &part);
  close_group(b);
  sy_ledger *ledger = finish(b);
  assert_near(sd_of(ledger, flat(0, 0, 1, 0)), 20 * 0.012, RELATIVE);
  assert_near(sd_of(ledger, flat(0, 1, 0, 0)), 0, 20 * 0.012 * RELATIVE);
  sy_ledger_release(ledger);
}

/* ---- pairs ------------------------------------------------------------------------------------------------------------ */

static sy_ledger *corner_pair(const sy_frame *frame, sy_vec3 normal, sy_part left) {
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part tub = point(78, -1.02, 0, 0.36);
  sy_group group = sy_group_default();
  group.frame = *frame;
  group.twin_normal = normal;
  add(b, "tub", &tub);
  add_pair(b, "corner", &group, &left);
  return finish(b);
}

static sy_ledger *plain_pair(void) {
  const sy_frame here = sy_frame_identity();
  const sy_part left = uncertain(27.4, 0.5, (sy_vec3){-2.4, 0.725, 0.285}, (sy_vec3){0.01, 0.004, 0.002});
  return corner_pair(&here, (sy_vec3){0, 1, 0}, left);
}

static void variance_of_a_pair_is_of_one_error_mirrored(void **state) {
  (void)state;
  sy_ledger *ledger = plain_pair();
  assert_near(sd_of(ledger, sensitivity_of_mass()), 2 * 0.5, RELATIVE);
  /* m y: mirrored errors of y cancel, and so does the mass */
  assert_near(sd_of(ledger, flat(0, 0, 1, 0)), 0, 27.4 * 0.004 * 2 * RELATIVE);
  /* m x: u^2 = (2 x u(m))^2 + (2 m u(x))^2 */
  assert_near(sd_of(ledger, flat(0, 1, 0, 0)), hypot(2 * 2.4 * 0.5, 2 * 27.4 * 0.01), 5 * RELATIVE);
  /* m y^2: both sides go out together: (2 y^2 u(m))^2 + (4 m y u(y))^2 */
  const sy_sensitivity out = {0, {0, 0, 0}, {0, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
  assert_near(sd_of(ledger, out), hypot(2 * 0.725 * 0.725 * 0.5, 4 * 27.4 * 0.725 * 0.004), 5 * RELATIVE);
  sy_ledger_release(ledger);
}

/* ---- tanks ------------------------------------------------------------------------------------------------------------ */

/* 5 kg empty, holding `volume` m^3 of 745 kg/m^3, the liquid's middle and its surface above the tank's. */
static sy_part tank_with(double volume, const sy_fill *errors, sy_fill *fill) {
  const double liquid = 745 * volume, mass = 5 + liquid, up = 2 * volume, middle = 0.3;
  sy_part p = point(mass, -1.2, 0.4, middle + up * liquid / mass);
  *fill = *errors;
  fill->dry = 5;
  fill->density = 745;
  fill->volume = volume;
  fill->dry_arm = (sy_vec3){0, 0, middle - p.cg.z};
  fill->liquid_arm = (sy_vec3){0, 0, middle + up - p.cg.z};
  fill->surface_arm = (sy_vec3){0, 0, middle + 2 * up - p.cg.z};
  p.fill = fill;
  return p;
}

static sy_sensitivity sensitivity_of_fz(void) { return flat(0, 0, 0, 1); }

/* m z = 5 z_dry + 745 V z_liquid, with z_liquid = 0.3 + 2 V: each derivative by hand. */
static void variance_of_a_tank_has_each_error_where_it_acts(void **state) {
  (void)state;
  const double V = 0.04, sd = 0.37;
  const struct {
    sy_fill errors;
    double mass, fz; /* of one standard uncertainty */
  } cases[] = {
      {{.dry_sd = sd}, sd, sd * 0.3},
      {{.density_sd = sd}, sd * V, sd * V * (0.3 + 2 * V)},
      {{.volume_sd = sd * 1e-3}, 0.745 * sd, 0.745 * sd * (0.3 + 4 * V)},
      {{.share_sd = 0.15}, 0.15 * (5 + 745 * V), 0.15 * (5 * 0.3 + 745 * V * (0.3 + 2 * V))},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_fill fill;
    const sy_part tank = tank_with(V, &cases[i].errors, &fill);
    add(b, "fuel", &tank);
    sy_ledger *ledger = finish(b);
    assert_near(sd_of(ledger, sensitivity_of_mass()), cases[i].mass,
                1e-12); /* exact.h keeps 3e-24 of a square */
    assert_near(sd_of(ledger, sensitivity_of_fz()), cases[i].fz,
                2e-11); /* places are kept to 1e-12 m: half of that, times 35 kg */
    assert_near(sy_part_mass_sd(&tank), cases[i].mass, 1e-12);
    sy_ledger_release(ledger);
  }
}

static void change_of_a_fill_keeps_the_errors_of_the_line(void **state) {
  (void)state;
  const sy_fill errors = {.dry_sd = 3, .density_sd = 10, .volume_sd = 2e-3};
  sy_fill full, low;
  sy_part tank = tank_with(0.04, &errors, &full), left = tank_with(0.01, &errors, &low);
  sy_ledger_builder *b = start_ledger(NULL);
  add(b, "fuel", &tank);
  add_pair(b, "side tank", &(sy_group){.frame = {.turn = sy_mat3_identity()}}, &tank);
  sy_ledger *from = finish(b), *to = NULL, *half = NULL, *pair = NULL;
  const sy_route one = route1(0), sides[2] = {route2(1, 0), route2(1, 1)};
  sy_error err;
  must(sy_ledger_put(from, &one, &left, &to, &err), &err);
  const sy_sensitivity mass = sensitivity_of_mass();
  const double volumes = 745 * 2e-3 * sqrt(2); /* 40 litres and 10 are two readings */
  assert_near(sd_of_change(from, to, mass, mass), hypot(0.03 * 10, volumes), 1e-12);
  must(sy_ledger_put(from, &sides[0], &left, &half, &err), &err);
  must(sy_ledger_put(half, &sides[1], &left, &pair, &err), &err);
  assert_near(sd_of_change(from, pair, mass, mass), 2 * hypot(0.03 * 10, volumes), 1e-12);
  assert_near(sd_of(from, mass), hypot(hypot(3, 0.4), 1.49) * sqrt(1 + 4), 1e-12);
  low.dry_sd = 2; /* another statement of the dry mass */
  sy_ledger *other = NULL;
  must(sy_ledger_put(from, &one, &left, &other, &err), &err);
  assert_near(sd_of_change(from, other, mass, mass), hypot(hypot(0.3, volumes), hypot(3, 2)), 1e-12);
  sy_ledger_release(from);
  sy_ledger_release(to);
  sy_ledger_release(half);
  sy_ledger_release(pair);
  sy_ledger_release(other);
}

/* Turned by a quarter the liquid's error is ahead of the tank's, and the answer along x is what it was along z. */
static void turn_of_a_tank_takes_the_places_of_its_errors_along(void **state) {
  (void)state;
  const sy_fill errors = {.dry_sd = 3, .density_sd = 10, .volume_sd = 2e-3};
  sy_fill fill;
  sy_part tank = tank_with(0.04, &errors, &fill);
  sy_ledger_builder *b = start_ledger(NULL);
  add(b, "fuel", &tank);
  sy_ledger *start = finish(b), *turned = NULL;
  const sy_route route = route1(0);
  sy_error err;
  must(sy_ledger_turn(start, &route, sy_frame_rotation(0, 90 * 3.14159265358979323846 / 180, 0),
                      (sy_vec3){0, 0, 0}, &turned, &err),
       &err);
  assert_near(sd_of(turned, flat(0, 1, 0, 0)), sd_of(start, sensitivity_of_fz()), 1e-12);
  sy_ledger_release(start);
  sy_ledger_release(turned);
}

static void tank_with_a_fill_out_of_range_is_refused(void **state) {
  (void)state;
  for (int k = 0; k < 3; k++) {
    sy_fill errors = {.dry_sd = k == 0 ? -1 : 0, .share_sd = k == 1 ? (double)NAN : 0}, fill;
    sy_part tank = tank_with(0.04, &errors, &fill);
    if (k == 2) fill.surface_arm.y = (double)INFINITY;
    sy_ledger_builder *b = start_ledger(NULL);
    sy_error err;
    assert_int_equal(sy_ledger_add_part(b, "fuel", NULL, &tank, &err), SY_RANGE);
    assert_string_equal(err.part, "fuel");
    assert_string_equal(err.field, "fill");
    sy_ledger_builder_free(b);
  }
}

/* ---- pairs ------------------------------------------------------------------------------------------------------------ */

static void variance_of_a_pair_with_one_side_removed_is_of_the_other(void **state) {
  (void)state;
  sy_ledger *both = plain_pair();
  for (uint32_t side = 0; side < 2; side++) {
    sy_ledger *one = without(both, route2(1, side));
    assert_near(sd_of(one, sensitivity_of_mass()), 0.5, RELATIVE);
    assert_near(sd_of(one, flat(0, 0, 1, 0)), hypot(0.725 * 0.5, 27.4 * 0.004), RELATIVE);
    assert_near(sd_of_change(both, one, sensitivity_of_mass(), sensitivity_of_mass()), 0.5, RELATIVE);
    sy_ledger_release(one);
  }
  sy_ledger_release(both);
}

static void variance_of_a_pair_set_apart_is_of_two_errors(void **state) {
  (void)state;
  sy_ledger *both = plain_pair();
  sy_part right = *part_at(both, route2(1, 1));
  right.mass_sd = 0.3;
  sy_ledger *apart = with_part(both, route2(1, 1), &right);
  assert_near(sd_of(apart, sensitivity_of_mass()), hypot(0.5, 0.3), RELATIVE);
  /* the places still share theirs: in m y they cancel, the masses do not */
  assert_near(sd_of(apart, flat(0, 0, 1, 0)), 0.725 * hypot(0.5, 0.3), RELATIVE);
  /* what the change rests on: the old and the new statement of the right one, and nothing of the left */
  assert_near(sd_of_change(both, apart, sensitivity_of_mass(), sensitivity_of_mass()), hypot(0.5, 0.3),
              RELATIVE);
  sy_ledger_release(apart);
  right.mass_sd = 0.5;
  right.cg_stated = (sy_vec3){9, 9, 9};
  apart = with_part(both, route2(1, 1), &right);
  assert_near(sd_of(apart, sensitivity_of_mass()), 2 * 0.5, RELATIVE);
  assert_near(sd_of(apart, flat(0, 0, 1, 0)), sqrt(2) * 27.4 * 0.004, 5 * RELATIVE);
  sy_ledger_release(apart);
  sy_ledger_release(both);
}

/* In a pair under a turned roof the mirror plane is oblique to the directions of the errors. One side's uncertainty must not
** depend on whether the other is aboard. */
static void variance_of_an_oblique_pair_s_side_stays_when_the_other_goes(void **state) {
  (void)state;
  const double turn = 0.4;
  const sy_frame frame = {sy_frame_rotation(0, 0, turn), {-1.2, 0, 0.3}};
  const sy_vec3 normal = {sin(turn), cos(turn), 0}; /* the vehicle's y inside */
  const sy_part left = uncertain(27.4, 0, (sy_vec3){0.2, 0.5, 0}, (sy_vec3){0.01, 0.001, 0});
  sy_ledger *both = corner_pair(&frame, normal, left);
  /* the error of the left one, in the vehicle: 0.01 along (cos, sin), 0.001 along (-sin, cos); the right one's is its image */
  const double want_x = 27.4 * hypot(0.01 * cos(turn), 0.001 * sin(turn));
  const double want_y = 27.4 * hypot(0.01 * sin(turn), 0.001 * cos(turn));
  /* along x + y the sides differ: the image of an error up front and out goes up front and in */
  const double plus = cos(turn) + sin(turn), minus = cos(turn) - sin(turn);
  const double want_both[2] = {27.4 * hypot(0.01 * plus, 0.001 * minus),
                               27.4 * hypot(0.01 * minus, 0.001 * plus)};
  assert_near(sd_of(both, flat(0, 1, 0, 0)), 2 * want_x, RELATIVE);
  /* a variance that cancels leaves a few roundings of (2 m u)^2, and the root of them */
  assert_near(sd_of(both, flat(0, 0, 1, 0)), 0, sqrt(8 * DBL_EPSILON) * 2 * 27.4 * 0.01);
  for (uint32_t side = 0; side < 2; side++) {
    sy_ledger *one = without(both, route2(1, 1 - side)), *none = without(one, route2(1, side));
    const sy_sensitivity along[3] = {flat(0, 1, 0, 0), flat(0, 0, 1, 0), flat(0, 1, 1, 0)};
    const double want[3] = {want_x, want_y, want_both[side]};
    for (int k = 0; k < 3; k++) {
      sy_sensitivity walked = along[k];
      walked.flat = false; /* not from the root's covariance */
      assert_near(sd_of(one, along[k]), want[k], RELATIVE);
      assert_near(sd_of(one, walked), want[k], RELATIVE);
      assert_near(sd_of_change(none, one, walked, walked), want[k], RELATIVE);
    }
    sy_totals t; /* and so does the side's own covariance */
    sy_error err;
    const sy_route route = route2(1, side);
    must(sy_ledger_item_totals(both, &route, &t, &err), &err);
    for (int k = 0; k < 3; k++) assert_near(sqrt(sy_cov4_variance(&t.cov, &along[k])), want[k], RELATIVE);
    sy_ledger_release(none);
    sy_ledger_release(one);
  }
  /* set apart by another statement of the same size: still mirrored, no longer shared */
  sy_part right = *part_at(both, route2(1, 1));
  right.cg_stated = (sy_vec3){9, 9, 9};
  sy_ledger *apart = with_part(both, route2(1, 1), &right);
  sy_sensitivity y = flat(0, 0, 1, 0);
  assert_near(sd_of(apart, y), sqrt(2) * want_y, RELATIVE);
  y.flat = false;
  assert_near(sd_of(apart, y), sqrt(2) * want_y, RELATIVE);
  sy_ledger_release(apart);
  sy_ledger_release(both);
}

/* ---- of changes --------------------------------------------------------------------------------------------------------- */

/* A part of mass m +- u moved by d: the front load changes by m d/L, with u d/L; nothing else counts, though the load
** itself is known to 8 kg only. 230 kg moved 50 mm in the first guess: -4.69 kg +- 0.012 (standard). */
static void change_variance_of_a_moved_part_is_its_mass_s_alone(void **state) {
  (void)state;
  sy_ledger *from = first_guess(NULL, 0.015, true);
  sy_ledger *half = shifted(from, route1(FIRST_ENGINE), (sy_vec3){-0.05, 0, 0});
  sy_ledger *to = shifted(half, route1(FIRST_TRANSAXLE), (sy_vec3){-0.05, 0, 0});
  const double length = FIRST_GUESS_WHEELBASE;
  const sy_sensitivity front = sensitivity_of_front(length);
  assert_true(sd_of(from, front) > 5); /* what would hide the change */
  assert_near(sd_of_change(from, half, front, front), 0.5 * 0.05 / length, RELATIVE * 0.02);
  assert_near(sd_of_change(from, to, front, front), hypot(0.5, 0.3) * 0.05 / length, RELATIVE * 0.02);
  assert_near(sd_of_change(from, to, sensitivity_of_mass(), sensitivity_of_mass()), 0, 0); /* not one gram */
  sy_ledger_release(to);
  sy_ledger_release(half);
  sy_ledger_release(from);
}

/* A share changes by m d/(M L), whose uncertainty rests on both m and M: relative u^2 = (u(m)/m - u(m)/M)^2 + sum of the
** others' (u/M)^2. Source: JCGM 100:2008, 5.1.2. */
static void change_variance_of_a_share_knows_the_rest_of_the_car(void **state) {
  (void)state;
  sy_ledger *from = first_guess(NULL, 0, false);
  sy_ledger *to = shifted(from, route1(FIRST_ENGINE), (sy_vec3){-0.05, 0, 0});
  const sy_totals tf = totals_of(from), tt = totals_of(to);
  const double mass = tf.all.m, engine = 168, change = engine * 0.05 / (mass * FIRST_GUESS_WHEELBASE);
  double relative = 0;
  for (size_t i = 0; i < FIRST_LINES; i++) {
    const double u = first_guess_line(i).sd;
    relative += i == FIRST_ENGINE ? pow(u / engine - u / mass, 2) : pow(u / mass, 2);
  }
  assert_near(sd_of_change(from, to, sensitivity_of_front_share(&tf, FIRST_GUESS_WHEELBASE),
                           sensitivity_of_front_share(&tt, FIRST_GUESS_WHEELBASE)),
              change * sqrt(relative), 1e-12); /* effects of 1e-3 cancel to 1e-4: absolute */
  sy_ledger_release(to);
  sy_ledger_release(from);
}

static void change_variance_of_equal_content_is_exactly_nothing(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 100; seed++) {
    dice d = {seed};
    sy_ledger *from = random_ledger(&d, 20), *to = sy_ledger_share(from);
    sy_route routes[2048];
    const size_t count = all_routes(from, routes, 2048);
    assert_true(count > 0);
    for (size_t i = 0; i < 2 * count; i++) { /* everything away and back: other nodes, equal content */
      const sy_vec3 by = {i < count ? 0.1 : -0.1, i < count ? -0.03 : 0.03, 0};
      sy_ledger *next = NULL;
      sy_error err;
      const sy_status status = sy_ledger_shift(to, &routes[i % count], by, &next, &err);
      to = edited(to, status, &err, next);
    }
    const sy_totals t = totals_of(from);
    if (t.all.m > 0)
      for (int is_flat = 0; is_flat < 2; is_flat++) {
        sy_sensitivity sensitivities[4] = {sensitivity_of_mass(), sensitivity_of_x(&t),
                                           sensitivity_of_front(2.45), sensitivity_of_yaw_inertia(&t)};
        for (int i = 0; i < 4; i++) {
          sensitivities[i].flat = is_flat && i < 3;
          assert_true(sd_of_change(from, from, sensitivities[i], sensitivities[i]) == 0);
          assert_true(sd_of_change(from, to, sensitivities[i], sensitivities[i]) == 0);
        }
      }
    sy_ledger_release(to);
    sy_ledger_release(from);
  }
}

/* Two ledgers that nothing relates share no error, even where numbers are equal. */
static void change_variance_of_unrelated_ledgers_adds(void **state) {
  (void)state;
  sy_ledger *a = first_guess(NULL, 0.015, true), *b = first_guess(NULL, 0.015, true);
  const sy_sensitivity front = sensitivity_of_front(FIRST_GUESS_WHEELBASE);
  const double one = sd_of(a, front);
  assert_near(sd_of_change(a, b, front, front), sqrt(2) * one, RELATIVE * one);
  sy_ledger_release(a);
  sy_ledger_release(b);
}

/* Related ledgers, but each has its own part at the same place in the list. */
static void change_variance_of_ledgers_that_grew_apart_counts_both_new_parts(void **state) {
  (void)state;
  sy_ledger *base = first_guess(NULL, 0, false), *grown[2];
  for (int k = 0; k < 2; k++) { /* the same words, but not the same part */
    sy_ledger_builder *items = sy_ledger_builder_new(NULL, base);
    const sy_part part = uncertain(9, 0.4, (sy_vec3){-1, 0, 0.3}, (sy_vec3){0, 0, 0});
    add(items, "ballast", &part);
    const sy_route top = route0();
    sy_error err;
    must(sy_ledger_append(base, &top, items, &grown[k], &err), &err);
    sy_ledger_builder_free(items);
  }
  assert_near(sd_of_change(grown[0], grown[1], sensitivity_of_mass(), sensitivity_of_mass()), 0.4 * sqrt(2),
              RELATIVE);
  assert_near(sd_of_change(base, grown[1], sensitivity_of_mass(), sensitivity_of_mass()), 0.4, RELATIVE);
  for (int k = 0; k < 2; k++) sy_ledger_release(grown[k]);
  sy_ledger_release(base);
}

/* From 16 to 17 and 256 to 257 children the tree grows a level: the old children must still be met as the same. */
static void change_variance_across_a_new_level_meets_the_old_parts(void **state) {
  (void)state;
  for (uint32_t n = 15; n <= 257; n += n < 18 ? 1 : 239) {
    sy_ledger_builder *b = start_ledger(NULL);
    for (uint32_t i = 0; i < n; i++) {
      const sy_part part = uncertain(1 + 0.1 * i, 0.2, (sy_vec3){-0.01 * i, 0, 0.3}, (sy_vec3){0.01, 0, 0});
      add(b, "part", &part);
    }
    sy_ledger *from = finish(b), *to = NULL;
    sy_ledger_builder *items = sy_ledger_builder_new(NULL, from);
    const sy_part part = uncertain(9, 0.3, (sy_vec3){-1, 0, 0.3}, (sy_vec3){0, 0, 0});
    for (int i = 0; i < 250; i++) add(items, "more", &part);
    const sy_route top = route0();
    sy_error err;
    must(sy_ledger_append(from, &top, items, &to, &err), &err);
    sy_ledger_builder_free(items);
    for (int is_flat = 0; is_flat < 2; is_flat++) {
      sy_sensitivity mass = sensitivity_of_mass();
      mass.flat = is_flat;
      assert_near(sd_of_change(from, to, mass, mass), 0.3 * sqrt(250), 10 * RELATIVE);
      assert_near(sd_of_change(to, from, mass, mass), 0.3 * sqrt(250), 10 * RELATIVE);
    }
    sy_ledger_release(to);
    sy_ledger_release(from);
  }
}

/* A mass stated anew has a new error; the place keeps its own. */
static void change_variance_of_a_mass_stated_anew_counts_both_statements(void **state) {
  (void)state;
  sy_ledger *from = first_guess(NULL, 0.015, false);
  sy_part part = *part_at(from, route1(FIRST_ENGINE));
  part.mass = 171;
  part.mass_sd = 0.1;
  sy_ledger *to = with_part(from, route1(FIRST_ENGINE), &part);
  const sy_sensitivity mass = sensitivity_of_mass(), moment = flat(0, 1, 0, 0);
  assert_near(sd_of_change(from, to, mass, mass), hypot(0.5, 0.1), RELATIVE);
  const double want = hypot(1.81 * hypot(0.5, 0.1), (171 - 168) * 0.015);
  assert_near(sd_of_change(from, to, moment, moment), want,
              10 * RELATIVE); /* 168 and 171 x 0.015 cancel to 3 x 0.015 */
  sy_ledger_release(to);
  /* a plain new number that keeps the old uncertainty is a new statement too */
  part.mass_sd = 0.5;
  to = with_part(from, route1(FIRST_ENGINE), &part);
  assert_near(sd_of_change(from, to, mass, mass), hypot(0.5, 0.5), RELATIVE);
  sy_ledger_release(to);
  sy_ledger_release(from);
}

static void change_variance_of_a_place_stated_anew_counts_both_statements(void **state) {
  (void)state;
  sy_ledger *from = first_guess(NULL, 0.015, false);
  sy_part part = *part_at(from, route1(FIRST_ENGINE));
  part.cg.x = -1.8;
  part.cg_stated = part.cg;
  sy_ledger *to = with_part(from, route1(FIRST_ENGINE), &part);
  const sy_sensitivity moment = flat(0, 1, 0, 0);
  const double want = hypot(0.01 * 0.5, sqrt(2) * 168 * 0.015);
  assert_near(sd_of_change(from, to, moment, moment), want, RELATIVE * want);
  sy_ledger_release(to);
  /* the same statement shifted: the error goes along and cancels */
  to = shifted(from, route1(FIRST_ENGINE), (sy_vec3){0.01, 0, 0});
  assert_near(sd_of_change(from, to, moment, moment), 0.01 * 0.5, 1e-13); /* 168 x 0.015 cancels: absolute */
  sy_ledger_release(to);
  sy_ledger_release(from);
}

/* A part with uncertain x in a group that is turned about z by a small angle a: m x becomes m (x cos a - y sin a), whose error
** is m u (cos a - 1) along x. */
static void change_variance_of_a_turned_group_is_of_the_turned_errors(void **state) {
  (void)state;
  const double a = 0.3;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_group group = sy_group_default();
  group.frame.at = (sy_vec3){-1.5, 0.1, 0.3};
  const sy_part part = uncertain(20, 0, (sy_vec3){0.3, 0.1, 0}, (sy_vec3){0.012, 0, 0});
  open_group(b, "group", &group);
  add(b, "part", &part);
  close_group(b);
  sy_ledger *from = finish(b), *to = NULL;
  const sy_route route = route1(0);
  sy_error err;
  must(sy_ledger_turn(from, &route, sy_frame_rotation(0, 0, a), (sy_vec3){0, 0, 0}, &to, &err), &err);
  assert_near(sd_of_change(from, to, flat(0, 1, 0, 0), flat(0, 1, 0, 0)), 20 * 0.012 * (1 - cos(a)),
              10 * RELATIVE);
  assert_near(sd_of_change(from, to, flat(0, 0, 1, 0), flat(0, 0, 1, 0)), 20 * 0.012 * sin(a), 10 * RELATIVE);
  sy_ledger_release(to);
  sy_ledger_release(from);
}

/* Removed, alone or with its group: the answer loses that part's error and nothing else. */
static void change_variance_of_what_is_removed_is_its_own(void **state) {
  (void)state;
  sy_ledger *from = first_guess(NULL, 0.015, false), *to = without(from, route1(FIRST_DRIVER));
  const sy_sensitivity front = sensitivity_of_front(FIRST_GUESS_WHEELBASE);
  const double lever = 1 - 1.010 / FIRST_GUESS_WHEELBASE;
  const double want = hypot(lever * 0.5, 80 * 0.015 / FIRST_GUESS_WHEELBASE);
  assert_near(sd_of_change(from, to, front, front), want, RELATIVE);
  assert_near(sd_of_change(to, from, front, front), want, RELATIVE);
  sy_ledger_release(to);
  sy_ledger_release(from);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(variance_of_independent_masses_adds),
      cmocka_unit_test(variance_of_ten_pieces_with_one_error_adds_linearly),
      cmocka_unit_test(variance_of_the_first_guess_is_the_worked_one),
      cmocka_unit_test(variance_of_the_yaw_inertia_of_two_points_is_the_closed_form),
      cmocka_unit_test(variance_of_a_solid_s_own_inertia_grows_with_its_mass),
      cmocka_unit_test(variance_from_the_root_is_the_variance_of_the_walk),
      cmocka_unit_test(variance_in_many_answers_is_the_same_as_one_by_one),
      cmocka_unit_test(variance_by_carrier_counts_the_carried_fraction),
      cmocka_unit_test(variance_in_a_turned_group_follows_its_directions),
      cmocka_unit_test(variance_of_a_pair_is_of_one_error_mirrored),
      cmocka_unit_test(variance_of_a_tank_has_each_error_where_it_acts),
      cmocka_unit_test(change_of_a_fill_keeps_the_errors_of_the_line),
      cmocka_unit_test(turn_of_a_tank_takes_the_places_of_its_errors_along),
      cmocka_unit_test(tank_with_a_fill_out_of_range_is_refused),
      cmocka_unit_test(variance_of_a_pair_with_one_side_removed_is_of_the_other),
      cmocka_unit_test(variance_of_a_pair_set_apart_is_of_two_errors),
      cmocka_unit_test(variance_of_an_oblique_pair_s_side_stays_when_the_other_goes),
      cmocka_unit_test(change_variance_of_a_moved_part_is_its_mass_s_alone),
      cmocka_unit_test(change_variance_of_a_share_knows_the_rest_of_the_car),
      cmocka_unit_test(change_variance_of_equal_content_is_exactly_nothing),
      cmocka_unit_test(change_variance_of_unrelated_ledgers_adds),
      cmocka_unit_test(change_variance_of_ledgers_that_grew_apart_counts_both_new_parts),
      cmocka_unit_test(change_variance_across_a_new_level_meets_the_old_parts),
      cmocka_unit_test(change_variance_of_a_mass_stated_anew_counts_both_statements),
      cmocka_unit_test(change_variance_of_a_place_stated_anew_counts_both_statements),
      cmocka_unit_test(change_variance_of_a_turned_group_is_of_the_turned_errors),
      cmocka_unit_test(change_variance_of_what_is_removed_is_its_own),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
