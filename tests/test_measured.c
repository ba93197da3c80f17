/* Ledgers that records correct. Dense posteriors of 100 random cars are in tests/reference/oracle_as_built.py; here what can be worked out by
** hand, that one record says what sy_reconcile_solve says of it, what edits keep, the refusals and the memory. */
#include "mass/measured.h"

#include <math.h>

#include "first_guess.h"
#include "ledger_tools.h"
#include "mass/whole.h"
#include "measure/reconcile.h"
#include "measure/record.h"

enum { ENGINE, DRIVER };

static sy_part uncertain(double mass, double sd, double x) {
  sy_part p = point(mass, x, 0, 0.3);
  p.mass_sd = sd;
  return p;
}

/* 100 +- 3 kg at -1 m and 50 +- 4 kg at -2 m. */
static sy_ledger *two_parts(const sy_alloc *alloc) {
  sy_error err;
  sy_ledger_builder *b = start_ledger(alloc);
  const sy_part engine = uncertain(100, 3, -1), driver = uncertain(50, 4, -2);
  assert_int_equal(sy_ledger_add_part(b, "engine", NULL, &engine, &err), SY_OK);
  assert_int_equal(sy_ledger_add_part(b, "driver", NULL, &driver, &err), SY_OK);
  return finish(b);
}

static sy_route route_of(uint32_t child) { return (sy_route){1, {child}}; }

/* The whole car on one scale. */
static sy_record weighed(const sy_ledger *ledger, double read, const double *variance) {
  sy_record r = {.ledger = ledger, .figures = 1, .readings = 1, .covariance = variance};
  r.figure[0] = (sy_record_figure){.of = {1, 0, 0, 0}, .read = read};
  r.effect[0][0] = 1;
  return r;
}

static sy_measured *measured_by(const sy_ledger *relative, const sy_record *records, size_t count) {
  sy_measured *m = NULL;
  sy_error err;
  assert_int_equal(sy_measured_new(NULL, relative, records, count, NULL, 0, &m, &err), SY_OK);
  return m;
}

static sy_ledger *corrected(const sy_measured *m, const sy_ledger *ledger) {
  sy_ledger *out = NULL;
  sy_error err;
  assert_int_equal(sy_measured_correct(m, ledger, &out, &err), SY_OK);
  return out;
}

static double mass_sd(const sy_ledger *l) {
  const sy_totals t = totals_of(l);
  return sqrt(t.cov.c[0]);
}

static double variance_of_mass_change(const sy_ledger *from, const sy_ledger *to) {
  const sy_sensitivity mass = {.m = 1, .carriers = SY_ALL_CARRIERS, .flat = true};
  const sy_term terms[2] = {{.ledger = from, .sign = -1, .by = &mass},
                            {.ledger = to, .sign = 1, .by = &mass}};
  double variance;
  assert_int_equal(sy_propagate_variance(terms, 2, 1, NULL, &variance, NULL), SY_OK);
  return variance;
}

/* ---- by hand ------------------------------------------------------------------------------------------------------------- */

/* 160 kg read where 150 are booked. The gap of 10 goes by variances, 9 and 16 of 25: 3.6 and 6.4; each mass is then uncertain by
** sqrt(9 x 16 / 25) = 2.4, oppositely, and their sum by the reading alone. Source: weighted means with a condition, JCGM 100:2008, H.1.3.4 and
** 5.2 give the rule; the numbers are ours and exact. tolerance: 1e-12 of the reading's square over 25 is what 1e-6 kg leaves. */
static void one_weighing_shares_the_gap_by_variances(void **state) {
  (void)state;
  const double variance = 1e-12;
  sy_ledger *car = two_parts(NULL), *engine_out = NULL;
  const sy_record r = weighed(car, 160, &variance);
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *built = corrected(m, car);
  assert_near(totals_of(built).all.m, 160, 1e-9);
  assert_near(totals_of(built).all.first.x, -(103.6 + 2 * 56.4), 1e-9);
  assert_near(mass_sd(built), 1e-6, 1e-12);
  const sy_route engine = route_of(ENGINE);
  assert_int_equal(sy_ledger_set_aboard(built, &engine, false, &engine_out, NULL), SY_OK);
  assert_near(totals_of(engine_out).all.m, 56.4, 1e-9);
  assert_near(mass_sd(engine_out), 2.4, 1e-9);
  assert_near(sqrt(variance_of_mass_change(built, engine_out)), 2.4, 1e-9);
  const sy_measured_fit fit = sy_measured_fit_of(m);
  assert_near(fit.chi2, 100.0 / 25.0, 1e-9);
  assert_int_equal(fit.dof, 1);
  sy_ledger_release(engine_out), sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
}

/* Two scales, one of 1 kg and one of 3: as one that reads their mean by 1 / variance, of variance 1 / (1 + 1 / 9) = 0.9. */
static void two_records_of_one_ledger_are_their_weighted_mean(void **state) {
  (void)state;
  const double fine = 1, coarse = 9, both = 0.9;
  sy_ledger *car = two_parts(NULL);
  const sy_record two[2] = {weighed(car, 160, &fine), weighed(car, 148, &coarse)},
                  one = weighed(car, (160 + 148 / 9.0) * 0.9, &both);
  sy_measured *m2 = measured_by(car, two, 2), *m1 = measured_by(car, &one, 1);
  sy_ledger *b2 = corrected(m2, car), *b1 = corrected(m1, car);
  assert_near(totals_of(b2).all.m, totals_of(b1).all.m, 1e-10);
  assert_near(mass_sd(b2), mass_sd(b1), 1e-12);
  assert_true(isnan(variance_of_mass_change(b1, b2))); /* other records: a correction, not a change */
  assert_true(isnan(variance_of_mass_change(car, b2)));
  sy_ledger_release(b2), sy_ledger_release(b1), sy_measured_release(m2), sy_measured_release(m1);
  sy_ledger_release(car);
}

/* Two pads whose errors e and f of variances 1 and 4 add up to that of the mass, which is booked to 9 + 16; beside it p e + q f was read. With
** c = m - e - f known, of variance 30 before, cov(p e + q f, c) = -(p + 4 q) and cov((m, m x, m y, m z), c) = (25, -9 - 2 x 16, 0, 0.3 x 25):
** a covariance after it is the one before less the product of these over 30. The numbers are ours and exact. */
static void a_number_beside_the_sums_goes_with_them_by_its_readings(void **state) {
  (void)state;
  const double noise[4] = {1, 0, 0, 4}, p = 0.02, q = -0.01, by[2] = {p, q}, with = p + 4 * q;
  double out[5] = {7, 7, 7, 7, 7};
  sy_error err;
  sy_ledger *car = two_parts(NULL);
  sy_record r = weighed(car, 150, noise);
  r.readings = 2, r.effect[0][1] = 1;
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *plain = corrected(m, car);
  assert_int_equal(sy_measured_beside_covariance(plain, out, &err), SY_OK);
  for (int i = 0; i < 5; i++) assert_near(out[i], 0, 0); /* nothing was read beside the sums yet */
  assert_int_equal(sy_measured_beside(m, 0, by, &err), SY_OK);
  sy_ledger *built = corrected(m, car);
  const double want[5] = {with * 25 / 30, with * -41 / 30, 0, with * 7.5 / 30,
                          p * p + 4 * q * q - with * with / 30};
  assert_int_equal(sy_measured_beside_covariance(built, out, &err), SY_OK);
  for (int i = 0; i < 5; i++) assert_near(out[i], want[i], 1e-15); /* roundings of 0.03 */
  assert_int_equal(sy_measured_beside_covariance(car, out, &err), SY_UNKNOWN);
  assert_near(out[0], want[0], 1e-15); /* untouched */
  sy_ledger_release(built), sy_ledger_release(plain), sy_measured_release(m), sy_ledger_release(car);
}

/* What is stated anew since has its own error and no correction; stated again as before it has both back. */
static void a_line_set_since_the_record_loses_its_correction(void **state) {
  (void)state;
  const double variance = 1e-12;
  sy_ledger *car = two_parts(NULL), *set = NULL;
  const sy_record r = weighed(car, 160, &variance);
  sy_measured *m = measured_by(car, &r, 1);
  const sy_part lighter = uncertain(90, 0.5, -1);
  const sy_route engine = route_of(ENGINE);
  assert_int_equal(sy_ledger_put(car, &engine, &lighter, &set, NULL), SY_OK);
  sy_ledger *built = corrected(m, set);
  assert_near(totals_of(built).all.m, 90 + 56.4, 1e-9);
  assert_near(mass_sd(built), sqrt(0.25 + 2.4 * 2.4), 1e-9);
  sy_ledger_release(built), sy_ledger_release(set), sy_measured_release(m), sy_ledger_release(car);
}

/* A scale's zero is in what was weighed on it and in what it reads later: part and car on one scale of which only the zero, 2 kg, is uncertain.
** With the engine alone on it at 100 and the car of 100 + 50 (exact) at 153, the zero is 3 of its 3 kg: the reading says 153 - zero, the
** booked car 150 - zero, so the zero cancels and nothing can be learnt of it: 3 kg stay unexplained, by the reading's own 1 kg. */
static void an_instrument_that_booked_and_read_cancels(void **state) {
  (void)state;
  const double variance = 1;
  const sy_instrument scale = {2, 0};
  sy_error err;
  sy_ledger_builder *b = sy_ledger_builder_new(NULL, NULL);
  assert_int_equal(sy_ledger_builder_instruments(b, &scale, 1, &err), SY_OK);
  sy_part engine = uncertain(100, 0.5, -1);
  const sy_part driver = point(50, -2, 0, 0.3);
  engine.instrument = 1, engine.bias_share = 1;
  assert_int_equal(sy_ledger_add_part(b, "engine", NULL, &engine, &err), SY_OK);
  assert_int_equal(sy_ledger_add_part(b, "driver", NULL, &driver, &err), SY_OK);
  sy_ledger *car = finish(b);
  sy_record_instrument read_on = {.number = 1};
  read_on.bias[0] = 1;
  sy_record r = weighed(car, 153, &variance);
  r.instruments = 1, r.instrument = &read_on;
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *built = corrected(m, car);
  assert_near(totals_of(built).all.m, 150 + 3 * 0.25 / 1.25,
              1e-9);                                            /* the engine's own error takes its share */
  assert_near(mass_sd(built), sqrt(0.25 * 1 / 1.25 + 4), 1e-9); /* the zero stays as uncertain as it was */
  sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
}

/* The same where the record is of another file's ledger and none is of this one's: the engine was weighed on the same scale in both. A reading
** that has a quarter of the zero determines it in part, and that goes into both ledgers' engine alike. */
static void an_instrument_is_the_same_in_a_ledger_that_no_record_is_of(void **state) {
  (void)state;
  const double variance = 1;
  const sy_instrument scale = {2, 0};
  const uint32_t same[SY_MAX_INSTRUMENTS] = {1};
  const sy_same_line line = {.from = route_of(ENGINE), .to = route_of(ENGINE)};
  sy_ledger *car[2];
  for (int i = 0; i < 2; i++) {
    sy_error err;
    sy_ledger_builder *b = sy_ledger_builder_new(NULL, NULL);
    assert_int_equal(sy_ledger_builder_instruments(b, &scale, 1, &err), SY_OK);
    sy_part engine = uncertain(100, 0.5, -1);
    engine.instrument = 1, engine.bias_share = 1;
    assert_int_equal(sy_ledger_add_part(b, "engine", NULL, &engine, &err), SY_OK);
    car[i] = finish(b);
  }
  sy_record_instrument read_on = {.number = 1};
  read_on.bias[0] = 0.25;
  sy_record r = weighed(car[1], 103, &variance);
  r.instruments = 1, r.instrument = &read_on;
  for (int other = 0; other < 2; other++) {
    sy_error err;
    sy_pairing *pairing = NULL;
    if (other) assert_int_equal(sy_pairing_new(NULL, car[0], car[1], &line, 1, same, &pairing, &err), SY_OK);
    sy_measured *m = NULL;
    assert_int_equal(sy_measured_new(NULL, car[1 - other], &r, 1, &pairing, other ? 1 : 0, &m, &err), SY_OK);
    sy_ledger *built = corrected(m, car[1 - other]);
    /* 100 + own + zero against 103 + zero / 4 +- 1: 3 kg shared by 0.25, 1 and (0.75 * 2)^2 = 2.25 kg2 */
    assert_near(totals_of(built).all.m, 100 + 3 * (0.25 + 0.75 * 4) / 3.5, 1e-9);
    sy_ledger_release(built), sy_measured_release(m);
  }
  sy_ledger_release(car[0]), sy_ledger_release(car[1]);
}

/* ---- against the fit of one record ------------------------------------------------------------------------------------------------- */

static void one_record_says_what_reconcile_says_of(unsigned own) {
  sy_ledger *car = first_guess(NULL, 0.01, false);
  static sy_reconcile_line line[64];
  static double memory[16384], room[SY_RECORD_READINGS * SY_RECORD_READINGS];
  const double load[4] = {163.1, 170.1, 215.7, 231.6}, sd = 0.3;
  double covariance[16] = {0};
  sy_reconcile p = {.line = line, .supports = 4, .lateral = true, .height = 0.351, .height_sd = 0.004};
  for (int i = 0; i < 4; i++) {
    p.support[i] =
        (sy_reconcile_support){i < 2 ? 0 : -FIRST_GUESS_WHEELBASE, i % 2 ? -0.75 : 0.75, load[i], sd, i / 2};
    covariance[5 * i] = sd * sd;
    p.x_sd[i] = 0.002 * (i + 1), p.y_sd[i] = 0.001 * (i + 2);
  }
  p.own_x = p.own_y = own;
  p.place_sd[0] = 0.002, p.track_sd[1] = 0.003;
  p.lines = sy_reconcile_lines(car, line, 64);
  sy_reconciled want;
  sy_error err;
  assert_true(sy_reconcile_size(p.lines, SCALES) <= sizeof memory);
  assert_int_equal(sy_reconcile_solve(&p, memory, &want, &err), SY_OK);
  sy_record r;
  assert_int_equal(sy_record_loads(&p, covariance, room, &r, &err), SY_OK);
  r.ledger = car;
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *built = corrected(m, car);
  const sy_totals t = totals_of(built);
  assert_near(t.all.m, want.both.mass, 1e-9);
  assert_near(mass_sd(built), want.both.mass_sd, 1e-9);
  assert_near(t.all.first.x / t.all.m, want.both.cg[0], 1e-11);
  assert_near(t.all.first.z / t.all.m, want.both.cg[2], 1e-11);
  assert_near(sy_measured_fit_of(m).chi2, want.chi2, 1e-8);
  sy_measured_record report;
  assert_int_equal(sy_measured_record_of(m, 0, &report, &err), SY_OK);
  for (int i = 0; i < 4; i++) assert_near(load[i] + report.change[i], want.load[i], 1e-9);
  assert_near(report.figure[0].off_sd, want.missing.mass_sd, 1e-9);
  sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
}

/* Wheels of which none, some and all state their places for themselves. */
static void one_record_says_what_reconcile_says(void **state) {
  (void)state;
  one_record_says_what_reconcile_says_of(0);
  one_record_says_what_reconcile_says_of(0x4);
  one_record_says_what_reconcile_says_of(0xF);
}

/* 150 kg +- 5 booked; 156 and 158 read, with variances of their own of 0.25 and 1 and one error of 2 kg in both. By hand, with S = {{29.25, 29},
** {29, 30}} of determinant 36.5: S^-1 (6, 8) = (-52, 60) / 36.5, so the mass moves by 25 x 8 / 36.5, its variance is 25 - 625 x 1.25 / 36.5,
** and the error in both has a mean of 4 x 8 / 36.5. Source: conditioned least squares, as measured.h; the numbers are ours and exact. */
static void an_error_of_two_records_is_one(void **state) {
  (void)state;
  const double first[4] = {0.25, 0, 0, 4}, second[4] = {1, 0, 0, 4};
  sy_ledger *car = two_parts(NULL);
  sy_record records[2] = {weighed(car, 156, first), weighed(car, 158, second)};
  for (int i = 0; i < 2; i++) records[i].readings = 2, records[i].effect[0][1] = 1, records[i].common[1] = 7;
  sy_measured *m = measured_by(car, records, 2);
  sy_ledger *built = corrected(m, car);
  assert_near(totals_of(built).all.m, 150 + 25 * 8 / 36.5, 1e-11);
  assert_near(mass_sd(built), sqrt(25 - 625 * 1.25 / 36.5), 1e-11);
  assert_near(sy_measured_fit_of(m).chi2, (6 * -52 + 8 * 60) / 36.5, 1e-11);
  sy_measured_record report;
  sy_error err;
  for (size_t i = 0; i < 2; i++) {
    assert_int_equal(sy_measured_record_of(m, i, &report, &err), SY_OK);
    assert_near(report.change[0], i == 0 ? 0.25 * 52 / 36.5 : -60 / 36.5, 1e-11);
    assert_near(report.change[1], -4 * 8 / 36.5, 1e-11);
  }
  sy_ledger_release(built), sy_measured_release(m);
  records[1].common[1] = 8; /* two errors: S has 25 beside its diagonal */
  m = measured_by(car, records, 2);
  built = corrected(m, car);
  assert_near(totals_of(built).all.m, 150 + 25 * ((30 - 25) * 6 + (29.25 - 25) * 8) / (29.25 * 30 - 625),
              1e-11);
  sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
}

/* An answer that rests on an error of the readings: the mass less it, which is what the scales say but for what they have of their own. By hand: booked
** with a variance of 25 + 4 and read with 0.25, and 1, beside; a change between two cars in which it counts alike is the mass's own. Source: as
** above; the numbers are ours and exact. */
static void an_answer_may_rest_on_an_error_of_the_readings(void **state) {
  (void)state;
  const double own[2][4] = {{0.25, 0, 0, 4}, {1, 0, 0, 4}}, less[2] = {-1, 0}, more[2] = {-2.5, 0};
  const sy_sensitivity none = {.carriers = SY_ALL_CARRIERS, .flat = true},
                       mass = {.m = 1, .carriers = SY_ALL_CARRIERS, .flat = true}, by[2] = {mass, none};
  for (size_t count = 1; count <= 2; count++) {
    sy_ledger *car = two_parts(NULL);
    sy_record records[2] = {weighed(car, 156, own[0]), weighed(car, 158, own[1])};
    for (int i = 0; i < 2; i++)
      records[i].readings = 2, records[i].effect[0][1] = 1, records[i].common[1] = 7;
    sy_measured *m = measured_by(car, records, count);
    sy_ledger *built = corrected(m, car);
    const sy_term terms[4] = {{.ledger = built, .sign = 1, .by = by},
                              {.sign = 1, .error = 7, .by_error = less},
                              {.sign = -1, .error = 7, .by_error = more},
                              {.sign = 1, .error = 7, .by_error = more}};
    double variance[2], covariance[4];
    sy_error err;
    const double expected = 1 / (1.0 / 29 + 4 + (count == 2 ? 1 : 0));
    must(sy_propagate_variance(terms, 2, 2, NULL, variance, &err), &err);
    assert_near(variance[0], expected, 1e-13);
    assert_near(variance[1], 0, 0);
    must(sy_propagate_covariance(terms, 4, 2, NULL, covariance, &err), &err);
    assert_near(covariance[0], expected, 1e-13);
    assert_near(covariance[1], 0, 0);
    if (count == 1) assert_near(sy_measured_error(m, 7), -4 * 6 / 29.25, 1e-12);
    assert_true(sy_measured_reads(m, 7) && !sy_measured_reads(m, 8) && !sy_measured_reads(m, 0));
    assert_near(sy_measured_error(m, 8), 0, 0);
    const sy_term unread[2] = {terms[0], {.sign = 1, .error = 8, .by_error = less}},
                  unmeasured[2] = {{.ledger = car, .sign = 1, .by = by}, terms[1]};
    assert_int_equal(sy_propagate_variance(unread, 2, 2, NULL, variance, &err), SY_UNKNOWN);
    assert_int_equal(sy_propagate_covariance(unmeasured, 2, 2, NULL, covariance, &err), SY_UNKNOWN);
    sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
  }
}

/* ---- refusals ---------------------------------------------------------------------------------------------------------------------- */

static void refused(const sy_ledger *relative, const sy_record *records, size_t count, sy_status status,
                    const char *part) {
  sy_measured *const untouched = (sy_measured *)(uintptr_t)relative, *out = untouched;
  sy_error err;
  assert_int_equal(sy_measured_new(NULL, relative, records, count, NULL, 0, &out, &err), status);
  assert_string_equal(err.part, part);
  assert_ptr_equal(out, untouched);
}

static void wrong_records_are_refused(void **state) {
  (void)state;
  const double variance = 1, twice[4] = {1, 1, 1, 1};
  sy_ledger *car = two_parts(NULL), *other = two_parts(NULL);
  const sy_record good = weighed(car, 160, &variance);
  refused(car, &good, 0, SY_MISSING, "records");
  sy_record r = good;
  r.figures = 0;
  refused(car, &r, 1, SY_MISSING, "record 1");
  r = good, r.figure[0].read = (double)NAN;
  refused(car, &r, 1, SY_RANGE, "record 1");
  const sy_record elsewhere[2] = {good, weighed(other, 160, &variance)};
  refused(car, elsewhere, 2, SY_UNKNOWN, "record 2");
  sy_record_instrument none = {.number = SCALES + 1};
  r = good, r.instruments = 1, r.instrument = &none;
  refused(car, &r, 1, SY_UNKNOWN, "record 1");
  r = good, r.figures = r.readings = 2, r.covariance = twice,
  r.figure[1] = r.figure[0]; /* one figure twice, read alike */
  r.effect[1][1] = 1;
  refused(car, &r, 1, SY_GEOMETRY, "records");
  sy_measured *m = measured_by(car, &good, 1);
  sy_ledger *built = corrected(m, car), *again = NULL;
  r = good, r.ledger = built;
  refused(car, &r, 1, SY_CLASH, "record 1");
  assert_int_equal(sy_measured_correct(m, built, &again, NULL), SY_CLASH);
  assert_int_equal(sy_measured_correct(m, other, &again, NULL), SY_UNKNOWN);
  sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(other), sy_ledger_release(car);
}

static void exact_lines_cannot_be_corrected(void **state) {
  (void)state;
  const double variance = 1;
  sy_error err;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part part = point(100, -1, 0, 0.3);
  assert_int_equal(sy_ledger_add_part(b, "engine", NULL, &part, &err), SY_OK);
  sy_ledger *car = finish(b);
  const sy_record r = weighed(car, 101, &variance);
  refused(car, &r, 1, SY_CLASH, "ledger");
  sy_ledger_release(car);
}

/* The two parts in a group inside another, and that group as it counts at 151 +- 1 kg. */
typedef struct weighed_group {
  sy_ledger *pieces, *longer, *counted;
  sy_route line;
  sy_weighed_whole whole;
} weighed_group;

static weighed_group make_weighed_group(const sy_alloc *alloc) {
  weighed_group w = {.line = route3(0, 0, 2), .whole = sy_weighed_whole_default()};
  sy_error err;
  sy_ledger_builder *b = start_ledger(alloc);
  const sy_part engine = uncertain(100, 3, -1), driver = uncertain(50, 4, -2), none = sy_part_default();
  const sy_group group = sy_group_default();
  const sy_route inner = route2(0, 0);
  open_group(b, "front", &group);
  open_group(b, "inner", &group);
  add(b, "engine", &engine);
  add(b, "driver", &driver);
  close_group(b);
  close_group(b);
  w.pieces = finish(b);
  b = sy_ledger_builder_new(alloc, w.pieces);
  add(b, "unaccounted", &none);
  must(sy_ledger_append(w.pieces, &inner, b, &w.longer, &err), &err);
  sy_ledger_builder_free(b);
  w.whole.mass = 151, w.whole.mass_sd = 1;
  must(sy_ledger_count_whole(w.pieces, w.longer, &w.line, &w.whole, &w.counted, &err), &err);
  return w;
}

static sy_ledger *aboard(const sy_ledger *from, const sy_route *route, bool is) {
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_set_aboard(from, route, is, &out, &err), &err);
  return out;
}

/* 160 +- 1 kg read where the group counts as 151 +- 1: half the gap is the weighing's, and nothing of it the pieces', which the group does
** not stand on. So without the engine it is 155.5 - 100, as uncertain as both together; and without the line the sum of the pieces again. */
static void a_group_that_counts_as_weighed_is_corrected_by_its_weighing(void **state) {
  (void)state;
  const double variance = 1;
  weighed_group w = make_weighed_group(NULL);
  const sy_record r = weighed(w.counted, 160, &variance);
  sy_measured *m = measured_by(w.pieces, &r, 1);
  const sy_route engine = route3(0, 0, 0);
  sy_ledger *built = corrected(m, w.counted), *engine_out = aboard(built, &engine, false),
            *line_out = aboard(built, &w.line, false), *back = aboard(line_out, &w.line, true);
  assert_near(totals_of(built).all.m, 155.5, 1e-9);
  assert_near(totals_of(built).all.first.x, -155.5 * 200 / 150, 1e-9);
  assert_near(mass_sd(built), sqrt(0.5), 1e-9);
  assert_near(totals_of(engine_out).all.m, 55.5, 1e-9);
  assert_near(mass_sd(engine_out), sqrt(0.5 + 9), 1e-9);
  assert_near(totals_of(line_out).all.m, 150, 1e-9);
  assert_near(mass_sd(line_out), 5, 1e-9);
  assert_near(totals_of(back).all.m, 155.5, 1e-9);
  assert_near(mass_sd(back), sqrt(0.5), 1e-9);
  sy_ledger_release(back), sy_ledger_release(line_out), sy_ledger_release(engine_out);
  sy_ledger_release(built), sy_measured_release(m);
  sy_ledger_release(w.counted), sy_ledger_release(w.longer), sy_ledger_release(w.pieces);
}

/* 55 +- 1 kg read without the engine, where 151 - 100 are booked: the gap of 4 goes by variances, 1, 9 and the scale's 1 of 11, to the
** weighing and against the engine. The ledger with the engine has its own part of that; one that never counted as weighed the engine's. */
static void a_piece_that_was_out_shares_the_gap_with_the_weighing(void **state) {
  (void)state;
  const double variance = 1;
  weighed_group w = make_weighed_group(NULL);
  const sy_route engine = route3(0, 0, 0);
  sy_ledger *out = aboard(w.counted, &engine, false);
  const sy_record r = weighed(out, 55, &variance);
  sy_measured *m = measured_by(w.counted, &r, 1);
  sy_ledger *built = corrected(m, w.counted), *built_out = corrected(m, out),
            *pieces = corrected(m, w.longer);
  assert_near(totals_of(built).all.m, 151 + 4.0 / 11, 1e-9);
  assert_near(mass_sd(built), sqrt(1 - 1.0 / 11), 1e-9);
  assert_near(totals_of(built_out).all.m, 51 + 40.0 / 11, 1e-9);
  assert_near(mass_sd(built_out), sqrt(10.0 / 11), 1e-9);
  assert_near(totals_of(pieces).all.m, 150 - 36.0 / 11, 1e-9);
  assert_near(variance_of_mass_change(built, built_out), 9 - 81.0 / 11, 1e-9); /* the engine alone */
  sy_ledger_release(pieces), sy_ledger_release(built_out), sy_ledger_release(built), sy_measured_release(m);
  sy_ledger_release(out), sy_ledger_release(w.counted), sy_ledger_release(w.longer);
  sy_ledger_release(w.pieces);
}

static void a_corrected_ledger_is_not_one_to_weigh_a_group_on(void **state) {
  (void)state;
  const double variance = 1;
  sy_error err;
  weighed_group w = make_weighed_group(NULL);
  const sy_record r = weighed(w.pieces, 160, &variance);
  sy_measured *m = measured_by(w.pieces, &r, 1);
  sy_ledger *built = corrected(m, w.longer), *untouched = w.pieces, *out = untouched;
  assert_near(totals_of(built).all.m, 150 + 10.0 * 25 / 26, 1e-9); /* its share of the gap, by variances */
  assert_int_equal(sy_ledger_count_whole(w.pieces, built, &w.line, &w.whole, &out, &err), SY_CLASH);
  assert_int_equal(sy_ledger_count_whole(built, w.longer, &w.line, &w.whole, &out, &err), SY_CLASH);
  assert_ptr_equal(out, untouched);
  sy_ledger_release(built), sy_measured_release(m);
  sy_ledger_release(w.counted), sy_ledger_release(w.longer), sy_ledger_release(w.pieces);
}

/* A part of 2 +- 2 kg that must take away 6: its corrected mass is below nothing. The record fits badly, and says so; the car can still be
** asked and edited. */
static void a_correction_may_leave_less_than_nothing(void **state) {
  (void)state;
  const double variance = 1e-6;
  sy_error err;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part heavy = point(100, -1, 0, 0.3), light = uncertain(2, 2, -2);
  assert_int_equal(sy_ledger_add_part(b, "engine", NULL, &heavy, &err), SY_OK);
  assert_int_equal(sy_ledger_add_part(b, "loom", NULL, &light, &err), SY_OK);
  sy_ledger *car = finish(b), *moved = NULL;
  const sy_record r = weighed(car, 96, &variance);
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *built = corrected(m, car);
  const sy_route loom = route_of(1);
  assert_int_equal(sy_ledger_shift(built, &loom, (sy_vec3){0.1, 0, 0}, &moved, &err), SY_OK);
  assert_near(totals_of(moved).all.m, 96, 1e-5);
  assert_true(sy_measured_fit_of(m).p < 0.01);
  sy_ledger_release(moved), sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(car);
}

/* ---- memory ------------------------------------------------------------------------------------------------------------------------- */

static void every_request_can_fail(counted_memory *mem, const sy_alloc *alloc, const sy_ledger *car) {
  const double variance = 0.09, read = totals_of(car).all.m + 1;
  const sy_record records[2] = {weighed(car, read, &variance), weighed(car, read - 0.5, &variance)};
  const size_t live = atomic_load(&mem->live);
  for (size_t refused_call = 1;; refused_call++) {
    sy_measured *m = NULL;
    sy_ledger *built = NULL;
    sy_error err;
    atomic_store(&mem->calls, 0);
    mem->refuse = refused_call;
    sy_status status = sy_measured_new(alloc, car, records, 2, NULL, 0, &m, &err);
    if (status == SY_OK) status = sy_measured_correct(m, car, &built, &err);
    mem->refuse = 0;
    if (status != SY_OK) {
      assert_int_equal(status, SY_LIMIT);
      assert_string_equal(err.message, "memory is out");
      assert_null(built);
    }
    sy_ledger_release(built), sy_measured_release(m);
    assert_int_equal(atomic_load(&mem->live), live);
    if (status == SY_OK) break;
    refused_call += refused_call / 8; /* a thousand requests, most of them of one kind */
  }
}

static void every_request_for_memory_can_fail(void **state) {
  (void)state;
  counted_memory mem = {0};
  const sy_alloc alloc = counting_alloc(&mem);
  sy_ledger_builder *b = start_ledger(&alloc);
  dice d = {12};
  add_random_items(b, &d, 40, 2);
  sy_ledger *car = finish(b);
  every_request_can_fail(&mem, &alloc, car);
  sy_ledger_release(car);
  weighed_group w = make_weighed_group(&alloc);
  every_request_can_fail(&mem, &alloc, w.counted);
  sy_ledger_release(w.counted), sy_ledger_release(w.longer), sy_ledger_release(w.pieces);
  assert_int_equal(atomic_load(&mem.live), 0);
}

/* A ledger keeps its records alive, and they theirs. */
static void a_corrected_ledger_outlives_its_owners(void **state) {
  (void)state;
  const double variance = 1e-12;
  sy_ledger *car = two_parts(NULL);
  const sy_record r = weighed(car, 160, &variance);
  sy_measured *m = measured_by(car, &r, 1);
  sy_ledger *built = corrected(m, car);
  sy_measured_release(m), sy_ledger_release(car);
  assert_near(mass_sd(built), 1e-6, 1e-12);
  assert_non_null(sy_ledger_measured(built));
  sy_ledger_release(built);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_weighing_shares_the_gap_by_variances),
      cmocka_unit_test(two_records_of_one_ledger_are_their_weighted_mean),
      cmocka_unit_test(a_number_beside_the_sums_goes_with_them_by_its_readings),
      cmocka_unit_test(a_line_set_since_the_record_loses_its_correction),
      cmocka_unit_test(an_instrument_that_booked_and_read_cancels),
      cmocka_unit_test(an_instrument_is_the_same_in_a_ledger_that_no_record_is_of),
      cmocka_unit_test(one_record_says_what_reconcile_says),
      cmocka_unit_test(an_error_of_two_records_is_one),
      cmocka_unit_test(an_answer_may_rest_on_an_error_of_the_readings),
      cmocka_unit_test(wrong_records_are_refused),
      cmocka_unit_test(exact_lines_cannot_be_corrected),
      cmocka_unit_test(a_group_that_counts_as_weighed_is_corrected_by_its_weighing),
      cmocka_unit_test(a_piece_that_was_out_shares_the_gap_with_the_weighing),
      cmocka_unit_test(a_corrected_ledger_is_not_one_to_weigh_a_group_on),
      cmocka_unit_test(a_correction_may_leave_less_than_nothing),
      cmocka_unit_test(every_request_for_memory_can_fail),
      cmocka_unit_test(a_corrected_ledger_outlives_its_owners),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
