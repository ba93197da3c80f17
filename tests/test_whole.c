#include "mass/whole.h"

#include "base/units.h"
#include "ledger_tools.h"
#include "mass/propagate.h"

/* kg, m and their products: sums of a dozen numbers of a size of 100, kept to 2^-78 */
#define CLOSE 1e-9

static sy_part known(double mass, double sd, double x, double y, double z) {
  sy_part p = point(mass, x, y, z);
  p.mass_sd = sd;
  p.cg_sd = (sy_vec3){0.003, 0.004, 0.005};
  return p;
}

/* An empty car but for a group of three parts, turned and away from the origin; one of them was weighed on the second scale. */
static sy_ledger *assembly(const sy_alloc *alloc) {
  sy_ledger_builder *b = start_ledger(alloc);
  sy_group g = sy_group_default();
  g.frame = (sy_frame){sy_frame_rotation(0.2, -0.3, 0.7), {-1.78, 0.04, 0.33}};
  open_group(b, "powertrain", &g);
  const sy_part engine = known(96.2, 0.7, 0.01, 0, 0.012), gears = known(52, 0.9, -0.38, 0.02, -0.045);
  sy_part pump = known(3.1, 0.2, 0.2, 0.1, 0.3);
  pump.instrument = 2, pump.bias_share = 1, pump.gain_mass = 3.1;
  add(b, "engine", &engine);
  add(b, "gears", &gears);
  add(b, "pump", &pump);
  close_group(b);
  return finish(b);
}

/* With a line at the end of the group at `group`, which is of depth 1 or more. */
static sy_ledger *with_line(const sy_ledger *ledger, const sy_alloc *alloc, sy_route group) {
  sy_ledger_builder *b = sy_ledger_builder_new(alloc, ledger);
  const sy_part line = sy_part_default();
  add(b, "unaccounted", &line);
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_append(ledger, &group, b, &out, &err), &err);
  sy_ledger_builder_free(b);
  return out;
}

static sy_weighed_whole weighed(void) {
  sy_weighed_whole w = sy_weighed_whole_default();
  w.mass = 152.4, w.mass_sd = 0.5;
  w.has_cg = true;
  w.cg = (sy_vec3){-0.11, 0.012, 0.003};
  w.cg_sd = (sy_vec3){0.001, 0.002, 0.003};
  return w;
}

static sy_ledger *counted(const sy_ledger *pieces, sy_route line, sy_weighed_whole w) {
  sy_route group = line;
  group.depth--;
  sy_ledger *longer = with_line(pieces, NULL, group), *out = NULL;
  sy_error err;
  must(sy_ledger_count_whole(pieces, longer, &line, &w, &out, &err), &err);
  sy_ledger_release(longer);
  return out;
}

static void assert_cov(const sy_cov4 *got, const sy_cov4 *want) {
  for (int i = 0; i < 10; i++) assert_near(got->c[i], want->c[i], CLOSE);
}

/* What is in the sums of a car of which all is known but (m, c) with these uncertainties, in the group's directions. */
static sy_cov4 of_weighing(const sy_weighed_whole *w, const sy_frame *frame) {
  sy_cov4 c = {{0}};
  const double m[4] = {1, w->cg.x, w->cg.y, w->cg.z}, sd[4] = {0, w->cg_sd.x, w->cg_sd.y, w->cg_sd.z};
  int at = 0;
  for (int i = 0; i < 4; i++)
    for (int k = i; k < 4; k++)
      c.c[at++] = w->mass_sd * w->mass_sd * m[i] * m[k] + (i == k && i > 0 ? pow(w->mass * sd[i], 2) : 0);
  return sy_cov4_place(&c, frame);
}

static const sy_frame *frame_of(const sy_ledger *ledger) {
  static sy_item item;
  const sy_route group = route1(0);
  assert_int_equal(sy_ledger_item(ledger, &group, &item, NULL), SY_OK);
  return &item.group->frame;
}

static void group_is_what_was_measured_of_it(void **state) {
  (void)state;
  sy_ledger *pieces = assembly(NULL);
  sy_weighed_whole w = weighed();
  w.has_inertia = true;
  w.inertia = (sy_sym3){4.1, 9.6, 8.8, 0.3, -0.2, 0.1};
  sy_ledger *car = counted(pieces, route2(0, 3), w);
  const sy_totals t = totals_of(car);
  const sy_massprops body = sy_sums_body(&t.all);
  const sy_frame *frame = frame_of(car);
  const sy_vec3 cg = sy_frame_apply(frame, w.cg);
  const sy_sym3 inertia = sy_sym3_turn(frame->turn, w.inertia);
  assert_near(body.mass, 152.4, CLOSE);
  assert_near(sy_vec3_length(sy_vec3_sub(body.cg, cg)), 0, CLOSE);
  assert_near(body.inertia.xx, inertia.xx, 1e-8);
  assert_near(body.inertia.zz, inertia.zz, 1e-8);
  assert_near(body.inertia.yz, inertia.yz, 1e-8);
  const sy_cov4 want = of_weighing(&w, frame);
  assert_cov(&t.cov, &want);
  sy_ledger_release(car);
  sy_ledger_release(pieces);
}

/* Without an inertia of its own it is that of the pieces, about another cg. */
static void inertia_stays_that_of_the_pieces(void **state) {
  (void)state;
  sy_ledger *pieces = assembly(NULL), *car = counted(pieces, route2(0, 3), weighed());
  const sy_totals before = totals_of(pieces), after = totals_of(car);
  const sy_massprops was = sy_sums_body(&before.all), is = sy_sums_body(&after.all);
  assert_near(is.inertia.xx, was.inertia.xx, 1e-8);
  assert_near(is.inertia.yy, was.inertia.yy, 1e-8);
  assert_near(is.inertia.zz, was.inertia.zz, 1e-8);
  assert_near(is.inertia.xy, was.inertia.xy, 1e-8);
  sy_ledger_release(car);
  sy_ledger_release(pieces);
}

/* A piece that goes takes along what was known of it; the line that goes leaves the pieces. */
static void errors_of_a_piece_come_back_with_it(void **state) {
  (void)state;
  sy_ledger *pieces = assembly(NULL), *car = counted(pieces, route2(0, 3), weighed()), *out = NULL;
  const sy_route gears = route2(0, 1), line = route2(0, 3), group = route1(0);
  assert_int_equal(sy_ledger_set_aboard(car, &gears, false, &out, NULL), SY_OK);
  const sy_totals t = totals_of(out);
  assert_near(t.all.m, 152.4 - 52, CLOSE);
  assert_near(t.cov.c[0], 0.5 * 0.5 + 0.9 * 0.9, CLOSE);
  sy_ledger_release(out);
  assert_int_equal(sy_ledger_set_aboard(car, &line, false, &out, NULL), SY_OK);
  const sy_totals bare = totals_of(out), first = totals_of(pieces);
  assert_near(bare.all.m, first.all.m, 0);
  assert_cov(&bare.cov, &first.cov);
  sy_ledger_release(out);
  assert_int_equal(
      sy_ledger_turn(car, &group, sy_frame_rotation(0.1, 0.4, -1), (sy_vec3){1, 2, 3}, &out, NULL), SY_OK);
  const sy_weighed_whole w = weighed();
  const sy_cov4 want = of_weighing(&w, frame_of(out));
  const sy_totals moved = totals_of(out);
  assert_cov(&moved.cov, &want);
  sy_ledger_release(out);
  sy_ledger_release(car);
  sy_ledger_release(pieces);
}

static sy_sensitivity flat_by(dice *d, bool flat) {
  sy_sensitivity g = {dice_between(d, -1, 1),
                      {dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)},
                      {0, 0, 0, 0, 0, 0},
                      SY_ALL_CARRIERS,
                      flat};
  if (!flat)
    g.second =
        (sy_sym3){dice_between(d, -1, 1), dice_between(d, -1, 1), 0.3, 0.1, dice_between(d, -1, 1), 0.2};
  return g;
}

/* The covariance that a ledger keeps and the walk over its errors are two ways to one number, also of wholes inside a whole, with pieces
** moved, turned and taken out since; a car less itself has no uncertainty, and two answers asked together are what they are alone. */
static void kept_and_walked_covariances_agree(void **state) {
  (void)state;
  dice d = {51};
  sy_ledger *pieces = assembly(NULL);
  for (int i = 0; i < 200; i++) {
    sy_weighed_whole w = weighed();
    w.has_cg = i % 3 != 0;
    w.has_inertia = i % 2 == 0;
    w.inertia = (sy_sym3){4, 9, 8, 0, 0, 0}, w.inertia_sd = (sy_sym3){0.1, 0.2, 0.3, 0.01, 0.02, 0.03};
    sy_ledger *car = counted(pieces, route2(0, 3), w);
    for (int edit = 0; edit < 4; edit++) {
      sy_ledger *next = NULL;
      const sy_route what = dice_below(&d, 3) == 0 ? route1(0) : route2(0, (uint32_t)dice_below(&d, 4));
      const sy_vec3 by = {dice_between(&d, -1, 1), dice_between(&d, -1, 1), dice_between(&d, -1, 1)};
      sy_status status = SY_OK;
      switch (dice_below(&d, 3)) {
      case 0: status = sy_ledger_shift(car, &what, by, &next, NULL); break;
      case 1:
        status = sy_ledger_turn(car, &what, sy_frame_rotation(by.x, by.y, by.z), by, &next, NULL);
        break;
      default:
        status = sy_ledger_set_aboard(car, &what, what.depth == 1 || dice_below(&d, 2) == 0, &next, NULL);
      }
      assert_int_equal(status, SY_OK);
      sy_ledger_release(car);
      car = next;
    }
    const sy_totals t = totals_of(car);
    const sy_sensitivity by[3] = {flat_by(&d, true), flat_by(&d, false), flat_by(&d, true)};
    double variance[3], alone, change[3];
    ledger_variance(car, by, 3, variance);
    ledger_variance(car, by, 1, &alone);
    change_variance(car, car, by, by, 3, change);
    const double kept = sy_cov4_variance(&t.cov, &by[0]);
    assert_near(variance[0], kept, 1e-9 * (1 + kept));
    assert_near(alone, kept, 1e-9 * (1 + kept));
    for (int k = 0; k < 3; k++) assert_near(change[k], 0, 1e-12);
    assert_true(variance[1] >= 0);
    sy_ledger_release(car);
  }
  sy_ledger_release(pieces);
}

/* A group in a group, both weighed: the outer weighing holds, and the inner one only where the inner group goes its own way. */
static void inner_weighing_counts_when_the_inner_group_moves(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_group plain = sy_group_default();
  const sy_part one = known(10, 0.3, 1, 0, 0), two = known(20, 0.4, 2, 0, 0);
  open_group(b, "outer", &plain);
  open_group(b, "inner", &plain);
  add(b, "one", &one);
  close_group(b);
  add(b, "two", &two);
  close_group(b);
  sy_ledger *parts = finish(b), *inner = NULL, *both = NULL, *out = NULL;
  sy_weighed_whole w = weighed();
  w.mass = 11, w.mass_sd = 0.1;
  inner = counted(parts, route3(0, 0, 1), w);
  w.mass = 33, w.mass_sd = 0.2;
  both = counted(inner, route2(0, 2), w);
  assert_near(totals_of(both).all.m, 33, CLOSE);
  assert_near(totals_of(both).cov.c[0], 0.2 * 0.2, CLOSE);
  const sy_route group = route2(0, 0);
  assert_int_equal(sy_ledger_set_aboard(both, &group, false, &out, NULL), SY_OK);
  assert_near(totals_of(out).all.m, 22, CLOSE);
  assert_near(totals_of(out).cov.c[0], 0.2 * 0.2 + 0.1 * 0.1, CLOSE);
  const sy_sensitivity mass = {1, {0, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  double variance;
  change_variance(both, out, &mass, &mass, 1, &variance);
  assert_near(variance, 0.1 * 0.1, CLOSE); /* what went weighs what the inner weighing said */
  sy_ledger_release(out);
  sy_ledger_release(both);
  sy_ledger_release(inner);
  sy_ledger_release(parts);
}

static void assert_refused(const sy_ledger *pieces, const sy_ledger *longer, sy_route line,
                           sy_weighed_whole w, sy_status status, const char *field) {
  sy_ledger *out = NULL;
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_ledger_count_whole(pieces, longer, &line, &w, &out, &err), status);
  assert_string_equal(err.field, field);
  assert_null(out);
}

static void what_is_no_weighing_of_the_group_is_refused(void **state) {
  (void)state;
  sy_ledger *pieces = assembly(NULL), *longer = with_line(pieces, NULL, route1(0)), *other = assembly(NULL);
  const sy_route line = route2(0, 3);
  sy_weighed_whole w = weighed();
  assert_refused(pieces, longer, line, sy_weighed_whole_default(), SY_RANGE, "mass");
  w.mass_sd = -1;
  assert_refused(pieces, longer, line, w, SY_RANGE, "mass");
  w = weighed();
  w.cg.y = (double)INFINITY;
  assert_refused(pieces, longer, line, w, SY_RANGE, "cg");
  w = weighed();
  w.has_inertia = true;
  w.inertia_sd.zz = -1;
  assert_refused(pieces, longer, line, w, SY_RANGE, "inertia");
  w = weighed();
  assert_refused(pieces, longer, route2(0, 2), w, SY_CLASH, "line"); /* not the last */
  assert_refused(longer, longer, line, w, SY_CLASH, "line");
  assert_refused(other, longer, line, w, SY_CLASH, "line");
  assert_refused(pieces, longer, route1(0), w, SY_UNKNOWN, "line");
  assert_refused(pieces, longer, route2(0, 7), w, SY_UNKNOWN, "line");
  sy_ledger *car = counted(pieces, line, w), *more = with_line(car, NULL, route1(0));
  assert_refused(car, more, route2(0, 4), w, SY_CLASH, "line"); /* it counts as weighed already */
  sy_ledger_release(more);
  sy_ledger_release(car);
  const sy_route engine = route2(0, 0), gears = route2(0, 1), pump = route2(0, 2);
  sy_ledger *a = NULL, *b = NULL, *c = NULL;
  assert_int_equal(sy_ledger_set_aboard(pieces, &engine, false, &a, NULL), SY_OK);
  assert_int_equal(sy_ledger_set_aboard(a, &gears, false, &b, NULL), SY_OK);
  assert_int_equal(sy_ledger_set_aboard(b, &pump, false, &c, NULL), SY_OK);
  assert_refused(c, longer, line, w, SY_MISSING, "pieces");
  sy_ledger_release(a);
  sy_ledger_release(b);
  sy_ledger_release(c);
  sy_ledger_release(other);
  sy_ledger_release(longer);
  sy_ledger_release(pieces);
}

static void memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  counted_memory m = {.live = 0};
  const sy_alloc alloc = counting_alloc(&m);
  const sy_route line = route2(0, 3), gears = route2(0, 1);
  const sy_weighed_whole w = weighed();
  sy_ledger *pieces = assembly(&alloc), *longer = with_line(pieces, &alloc, route1(0));
  const size_t before = atomic_load(&m.live);
  sy_status status = SY_LIMIT;
  size_t refused = 0;
  for (size_t i = 1; status != SY_OK; i++) {
    sy_ledger *out = NULL, *edited = NULL;
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    m.refuse = i;
    status = sy_ledger_count_whole(pieces, longer, &line, &w, &out, &err);
    if (status == SY_OK) status = sy_ledger_set_aboard(out, &gears, false, &edited, &err);
    if (status != SY_OK) assert_int_equal(status, SY_LIMIT);
    refused += status != SY_OK;
    sy_ledger_release(edited);
    sy_ledger_release(out);
    assert_int_equal(atomic_load(&m.live), before);
  }
  m.refuse = 0;
  assert_true(refused > 8);
  sy_ledger_release(longer);
  sy_ledger_release(pieces);
  assert_int_equal(atomic_load(&m.live), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(group_is_what_was_measured_of_it),
      cmocka_unit_test(inertia_stays_that_of_the_pieces),
      cmocka_unit_test(errors_of_a_piece_come_back_with_it),
      cmocka_unit_test(kept_and_walked_covariances_agree),
      cmocka_unit_test(inner_weighing_counts_when_the_inner_group_moves),
      cmocka_unit_test(what_is_no_weighing_of_the_group_is_refused),
      cmocka_unit_test(memory_that_runs_out_is_reported_and_given_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
