/* Errors that parts weighed on one scale share.
** Source  propagation with correlated inputs, JCGM 100:2008, 5.2.2 and its example F.1.2.3 (masses compared with one standard err
**         together); the closed forms below are that sum worked out for a total and for a difference. */
#include "ledger_tools.h"
#include "steelyard.h"

enum { LINES = 20 };
static const double bias = 0.013, gain = 0.0021;

static double line_mass(int i) { return 1.37 + 0.61 * i; }

static sy_part weighed_part(int i, uint32_t instrument) {
  sy_part p = sy_part_default();
  p.mass = line_mass(i);
  p.mass_sd = 0.004 + 0.001 * i;
  p.cg = (sy_vec3){-0.131 * i, 0.02 * i - 0.17, 0.3};
  p.instrument = instrument;
  p.bias_share = 1;
  p.gain_mass = p.mass;
  return p;
}

/* LINES parts, the odd ones in a group that is turned and shifted; the first `on_second` of them on the second scale */
static sy_ledger *weighed_ledger(int on_second) {
  const sy_alloc alloc = sy_alloc_default();
  const sy_instrument scales[2] = {{bias, gain}, {2 * bias, 0.5 * gain}};
  sy_ledger_builder *b = sy_ledger_builder_new(&alloc, NULL);
  assert_int_equal(sy_ledger_builder_instruments(b, scales, 2, NULL), SY_OK);
  for (int i = 0; i < LINES; i += 2) {
    const sy_part p = weighed_part(i, i < on_second ? 2 : 1);
    assert_int_equal(sy_ledger_add_part(b, NULL, NULL, &p, NULL), SY_OK);
  }
  sy_group g = sy_group_default();
  g.frame.turn = sy_frame_rotation(0.2, -0.4, 1.1);
  g.frame.at = (sy_vec3){-1.7, 0.23, 0.31};
  assert_int_equal(sy_ledger_open_group(b, "turned", NULL, &g, NULL), SY_OK);
  for (int i = 1; i < LINES; i += 2) {
    const sy_part p = weighed_part(i, i < on_second ? 2 : 1);
    assert_int_equal(sy_ledger_add_part(b, NULL, NULL, &p, NULL), SY_OK);
  }
  assert_int_equal(sy_ledger_close_group(b, NULL), SY_OK);
  sy_ledger *ledger = NULL;
  assert_int_equal(sy_ledger_finish(b, &ledger, NULL), SY_OK);
  sy_ledger_builder_free(b);
  return ledger;
}

static double square(double x) { return x * x; }

static const sy_sensitivity total_mass = {1, {0, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};

static void totals_of_parts_on_one_scale_err_together(void **state) {
  (void)state;
  sy_ledger *ledger = weighed_ledger(0);
  double own = 0, mass = 0;
  for (int i = 0; i < LINES; i++) {
    own += square(0.004 + 0.001 * i);
    mass += line_mass(i);
  }
  const double want = own + square(LINES * bias) + square(gain * mass);
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  assert_near(t.cov.c[0], want, 1e-13 * want); /* a few dozen roundings */
  double variance;
  ledger_variance(ledger, &total_mass, 1, &variance);
  assert_near(variance, want, 1e-13 * want);
  sy_sensitivity walked = total_mass; /* not flat: the walk over the parts must agree with the root */
  walked.flat = false;
  ledger_variance(ledger, &walked, 1, &variance);
  assert_near(variance, want, 1e-13 * want);
  sy_ledger_release(ledger);
}

static void sums_are_totals_without_uncertainties(void **state) {
  (void)state;
  sy_ledger *ledger = weighed_ledger(8);
  sy_totals t, sums;
  sy_ledger_totals(ledger, &t);
  sy_ledger_sums(ledger, &sums);
  assert_near(sums.cov.c[0], 0, 0);
  assert_true(t.cov.c[0] > 0);
  assert_near(sums.all.m, t.all.m, 0);
  assert_near(sums.all.first.x, t.all.first.x, 0);
  assert_near(sums.all.second.yz, t.all.second.yz, 0);
  assert_near(sums.carried[SY_CARRIER_BODY].m, t.carried[SY_CARRIER_BODY].m, 0);
  assert_int_equal(sums.carriers, t.carriers);
  assert_int_equal(sums.parts, t.parts);
  sy_ledger_release(ledger);
}

static void two_scales_err_apart(void **state) {
  (void)state;
  sy_ledger *ledger = weighed_ledger(8);
  double own = 0, first = 0, second = 0;
  for (int i = 0; i < LINES; i++) {
    own += square(0.004 + 0.001 * i);
    *(i < 8 ? &second : &first) += line_mass(i);
  }
  const double want =
      own + square(12 * bias) + square(gain * first) + square(8 * 2 * bias) + square(0.5 * gain * second);
  double variance;
  ledger_variance(ledger, &total_mass, 1, &variance);
  assert_near(variance, want, 1e-13 * want);
  sy_ledger_release(ledger);
}

/* The moment m x of everything: the root's covariance against the walk, in a tree with a turned group. */
static void the_root_and_the_walk_agree_on_every_moment(void **state) {
  (void)state;
  sy_ledger *ledger = weighed_ledger(5);
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  const sy_sensitivity sensitivities[3] = {{0.3, {1, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true},
                                           {-1.2, {0, 1, 0.4}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true},
                                           {0, {0.7, -2, 1}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true}};
  for (int k = 0; k < 3; k++) {
    sy_sensitivity walked = sensitivities[k];
    walked.flat = false;
    double variance;
    ledger_variance(ledger, &walked, 1, &variance);
    assert_near(sy_cov4_variance(&t.cov, &sensitivities[k]), variance, 1e-12 * variance);
  }
  sy_ledger_release(ledger);
}

/* One part moved by d: m x changes by m d, whose error is d times that of the mass alone: own, bias and gain. */
static void a_move_is_uncertain_by_one_weighing_only(void **state) {
  (void)state;
  sy_ledger *from = weighed_ledger(0), *to = NULL;
  const sy_route route = {1, {3}}; /* line 6 */
  assert_int_equal(sy_ledger_shift(from, &route, (sy_vec3){0.05, 0, 0}, &to, NULL), SY_OK);
  const sy_sensitivity moment = {0, {1, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  double variance;
  change_variance(from, to, &moment, &moment, 1, &variance);
  const double want = square(0.05) * (square(0.010) + square(bias) + square(gain * line_mass(6)));
  assert_near(variance, want, 1e-12 * want);
  change_variance(from, from, &moment, &moment, 1, &variance);
  assert_near(variance, 0, 0);
  sy_ledger_release(to);
  sy_ledger_release(from);
}

static void unrelated_ledgers_have_scales_of_their_own(void **state) {
  (void)state;
  sy_ledger *a = weighed_ledger(0), *b = weighed_ledger(0);
  double one, both;
  ledger_variance(a, &total_mass, 1, &one);
  change_variance(a, b, &total_mass, &total_mass, 1, &both);
  assert_near(both, 2 * one, 1e-12 * one);
  sy_ledger_release(a);
  sy_ledger_release(b);
}

static void an_item_alone_errs_with_its_scale_too(void **state) {
  (void)state;
  sy_ledger *ledger = weighed_ledger(0);
  const sy_route route = {1, {3}};
  sy_totals t;
  assert_int_equal(sy_ledger_item_totals(ledger, &route, &t, NULL), SY_OK);
  const double want = square(0.010) + square(bias) + square(gain * line_mass(6));
  assert_near(t.cov.c[0], want, 1e-12 * want);
  sy_ledger_release(ledger);
}

static void wrong_scales_are_refused(void **state) {
  (void)state;
  const sy_alloc alloc = sy_alloc_default();
  sy_ledger_builder *b = sy_ledger_builder_new(&alloc, NULL);
  sy_error err;
  const sy_instrument negative = {-0.01, 0};
  assert_int_equal(sy_ledger_builder_instruments(b, &negative, 1, &err), SY_RANGE);
  assert_string_equal(err.field, "instruments");
  const sy_instrument many[SY_MAX_INSTRUMENTS + 1] = {{0, 0}};
  assert_int_equal(sy_ledger_builder_instruments(b, many, SY_MAX_INSTRUMENTS + 1, &err), SY_LIMIT);
  const sy_part p = weighed_part(3, 1);
  assert_int_equal(sy_ledger_add_part(b, "bolt", NULL, &p, &err), SY_UNKNOWN);
  assert_string_equal(err.part, "bolt");
  assert_string_equal(err.field, "instrument");
  sy_part fine = p;
  fine.instrument = 0;
  assert_int_equal(sy_ledger_add_part(b, "bolt", NULL, &fine, &err), SY_OK);
  assert_int_equal(sy_ledger_builder_instruments(b, many, 1, &err), SY_CLASH);
  sy_ledger_builder_free(b);
}

/* What both cars share is met as the sums of whole branches, or part by part when the answer is said not to be flat. Slopes as of a
** share: they differ between the two, so that everything counts. The effects add up to a tenth of themselves. */
static void a_change_by_sums_is_the_change_part_by_part(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 100; seed++) {
    dice d = {seed};
    sy_ledger *from = random_ledger(&d, 40), *to = NULL;
    sy_route routes[2048];
    sy_error err;
    const size_t count = all_routes(from, routes, 2048);
    const sy_vec3 by = {0.05, -0.01, 0.02};
    must(sy_ledger_shift(from, &routes[dice_below(&d, count)], by, &to, &err), &err);
    const sy_sensitivity before = {0.011, {0.4, -0.3, 0.02}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
    sy_sensitivity after = before;
    after.m = 0.0112;
    after.first.x = 0.36;
    sy_sensitivity walked[2] = {before, after};
    walked[0].flat = walked[1].flat = false;
    double by_sums, part_by_part;
    change_variance(from, to, &before, &after, 1, &by_sums);
    change_variance(from, to, &walked[0], &walked[1], 1, &part_by_part);
    assert_near(by_sums, part_by_part, 1e-11 * part_by_part);
    sy_ledger_release(to);
    sy_ledger_release(from);
  }
}

/* Each row of a scale's sums costs a branch 128 bytes: 8 bytes a part and scale. */
static void parts_weighed_on_three_scales_take_few_bytes(void **state) {
  (void)state;
  enum { PARTS = 100000 };
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger_builder *b = start_ledger(&alloc);
  for (uint32_t i = 0; i < PARTS; i++) {
    sy_part p = point(0.137, 0.001 * (i % 1000), 0.25, 0.5);
    p.instrument = i % 2 == 0 ? i / 2 % SCALES + 1 : 0;
    p.bias_share = 1;
    p.gain_mass = p.mass;
    add(b, "bolt", &p);
  }
  sy_ledger *ledger = finish(b);
  print_message("%.1f bytes a part\n", (double)atomic_load(&m.live) / PARTS);
  assert_true(atomic_load(&m.live) <= (size_t)400 * PARTS); /* as promised for every ledger */
  sy_ledger_release(ledger);
  assert_int_equal(atomic_load(&m.live), 0);
}

static void shares_that_cannot_be_summed_are_refused(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_error err;
  sy_part p = weighed_part(3, 1);
  p.bias_share = (double)INFINITY;
  assert_int_equal(sy_ledger_add_part(b, "bolt", NULL, &p, &err), SY_RANGE);
  assert_string_equal(err.field, "instrument");
  p.bias_share = 1e15; /* above 2^40 */
  assert_int_equal(sy_ledger_add_part(b, "bolt", NULL, &p, &err), SY_RANGE);
  assert_string_equal(err.part, "bolt");
  p.bias_share = 1e10;
  must(sy_ledger_add_part(b, "bolt", NULL, &p, &err), &err);
  sy_ledger_builder_free(b);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(totals_of_parts_on_one_scale_err_together),
      cmocka_unit_test(sums_are_totals_without_uncertainties),
      cmocka_unit_test(two_scales_err_apart),
      cmocka_unit_test(the_root_and_the_walk_agree_on_every_moment),
      cmocka_unit_test(a_move_is_uncertain_by_one_weighing_only),
      cmocka_unit_test(unrelated_ledgers_have_scales_of_their_own),
      cmocka_unit_test(an_item_alone_errs_with_its_scale_too),
      cmocka_unit_test(wrong_scales_are_refused),
      cmocka_unit_test(a_change_by_sums_is_the_change_part_by_part),
      cmocka_unit_test(parts_weighed_on_three_scales_take_few_bytes),
      cmocka_unit_test(shares_that_cannot_be_summed_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
