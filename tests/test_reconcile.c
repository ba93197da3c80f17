#include "measure/reconcile.h"

#include <stdlib.h>

#include "base/units.h"
#include "first_guess.h"
#include "numeric/stats.h"

static dice thrown = {411};
static double any(double low, double high) { return dice_between(&thrown, low, high); }
static double normal(void) { /* Box and Muller; 1 - u is never 0 */
  return sqrt(-2 * log(1 - any(0, 1))) * cos(2 * SY_PI * any(0, 1));
}

/* ---- problems ------------------------------------------------------------------------------------------------- */

enum { MOST_LINES = 400, MOST_BYTES = 400 * 600 };

typedef struct bench {
  sy_reconcile problem;
  sy_reconcile_line line[MOST_LINES];
  sy_instrument instrument[SY_MAX_INSTRUMENTS];
  double memory[MOST_BYTES / sizeof(double)];
  sy_reconciled r;
  sy_error err;
} bench;

static bench *new_bench(void) {
  bench *b = calloc(1, sizeof *b);
  assert_non_null(b);
  b->problem.line = b->line, b->problem.instrument = b->instrument;
  b->problem.height = (double)NAN;
  return b;
}

/* Four wheels; the loads are of sums (m, m x, m y), split as by level springs alike, plus `warp` along the null vector. */
static void stand_on_wheels(bench *b, const double q[3], double warp, double sd) {
  const double front = 0.75, rear = 0.74, wheelbase = FIRST_GUESS_WHEELBASE;
  const double x[4] = {0, 0, -wheelbase, -wheelbase}, y[4] = {front, -front, rear, -rear};
  const double v[4] = {rear, -rear, -front, front}; /* total and both moments of it are 0 */
  const double on_rear = -q[1] / wheelbase, on_front = q[0] - on_rear;
  b->problem.lateral = true, b->problem.supports = 4;
  /* the moment across weightd by the axles, as any split will do: what it adds along v is a warp */
  const double across_front = q[2] * 0.4, across_rear = q[2] * 0.6;
  const double load[4] = {on_front / 2 + across_front / (2 * front),
                          on_front / 2 - across_front / (2 * front), on_rear / 2 + across_rear / (2 * rear),
                          on_rear / 2 - across_rear / (2 * rear)};
  for (int i = 0; i < 4; i++)
    b->problem.support[i] = (sy_reconcile_support){x[i], y[i], load[i] + warp * v[i], sd, i / 2};
}

static void take_ledger(bench *b, const sy_ledger *ledger) {
  b->problem.lines = sy_reconcile_lines(ledger, b->line, MOST_LINES);
  assert_true(b->problem.lines <= MOST_LINES);
  b->problem.instruments = sy_ledger_instruments(ledger, b->instrument);
}

static void solve(bench *b) {
  assert_true(sy_reconcile_size(b->problem.lines, b->problem.instruments) <= sizeof b->memory);
  const sy_status status = sy_reconcile_solve(&b->problem, b->memory, &b->r, &b->err);
  if (status != SY_OK) print_error("%s\n", b->err.message);
  assert_int_equal(status, SY_OK);
}

static void sums_of(const bench *b, double q[3]) {
  q[0] = q[1] = q[2] = 0;
  for (size_t i = 0; i < b->problem.lines; i++) {
    const sy_reconcile_line *l = &b->line[i];
    q[0] += l->pieces * l->mass, q[1] += l->pieces * l->mass * l->place.x,
        q[2] += l->pieces * l->mass * l->place.y;
  }
}

static sy_reconcile_line line_at(double mass, double sd, double x) {
  return (sy_reconcile_line){
      .mass = mass, .mass_sd = sd, .pieces = 1, .place = {x, 0, 0.3}, .directions = sy_mat3_identity()};
}

/* ---- lines ---------------------------------------------------------------------------------------------------- */

/* The lines' covariance is the one the ledger keeps by other means (exact sums at its root): pairs, turned groups, counts. */
static void lines_of_random_ledgers_have_the_ledgers_own_sums_and_uncertainties(void **state) {
  (void)state;
  bench *b = new_bench();
  for (int n = 0; n < 200; n++) {
    sy_ledger *ledger = random_ledger(&thrown, 1 + dice_below(&thrown, 30));
    sy_totals t;
    sy_ledger_totals(ledger, &t);
    take_ledger(b, ledger);
    if (b->problem.lines > 0 && t.cov.c[0] > 0) {
      const double q[3] = {t.all.m, t.all.first.x, t.all.first.y};
      stand_on_wheels(b, q, 0, 0.5);
      solve(b);
      const double m = t.all.m;
      assert_near(b->r.ledger.mass, m, 1e-13 * m); /* some 100 roundings */
      assert_near(b->r.ledger.mass_sd, sqrt(t.cov.c[0]), 1e-11 * m);
      const double cg[3] = {t.all.first.x / m, t.all.first.y / m, t.all.first.z / m};
      for (int k = 0; k < 3; k++) {
        const sy_sensitivity by = {-cg[k] / m,
                                   {k == 0 ? 1 / m : 0, k == 1 ? 1 / m : 0, k == 2 ? 1 / m : 0},
                                   {0, 0, 0, 0, 0, 0},
                                   SY_ALL_CARRIERS,
                                   true};
        assert_near(b->r.ledger.cg_sd[k], sqrt(sy_cov4_variance(&t.cov, &by)), 1e-9); /* a nanometre */
      }
    }
    sy_ledger_release(ledger);
  }
  free(b);
}

/* ---- worked by hand --------------------------------------------------------------------------------------------- */

/* Two lines over two axles: each is the mean of ledger and scale weighted by 1 / sd^2, its sd the root of 1 / (sum of weights), and chi2
** adds up gap^2 / (sum of variances). J. Taylor, An Introduction to Error Analysis, 1997, 7.2 (weighted averages; from memory). */
static void two_lines_over_two_axles_are_weighted_means(void **state) {
  (void)state;
  bench *b = new_bench();
  b->line[0] = line_at(300, 6, 0), b->line[1] = line_at(420, 8, -2.45);
  b->problem.lines = 2, b->problem.supports = 2;
  b->problem.support[0] = (sy_reconcile_support){0, 0, 309, 2, 0};
  b->problem.support[1] = (sy_reconcile_support){-2.45, 0, 414, 3, 1};
  solve(b);
  const double stated[2] = {300, 420}, sd[2] = {6, 8}, read[2] = {309, 414}, read_sd[2] = {2, 3};
  double chi2 = 0, spread = 2.45 * 2.45; /* the loads are m and m x by a matrix of determinant 2.45 */
  for (int i = 0; i < 2; i++) {
    const double w = 1 / (sd[i] * sd[i]), v = 1 / (read_sd[i] * read_sd[i]),
                 mean = (w * stated[i] + v * read[i]) / (w + v);
    const double both = sd[i] * sd[i] + read_sd[i] * read_sd[i], gap = read[i] - stated[i];
    chi2 += gap * gap / both, spread *= both;
    assert_near(stated[i] + b->r.line[i].mass.change, mean, 1e-10);
    assert_near(b->r.line[i].mass.after, sqrt(1 / (w + v)), 1e-10);
    assert_near(b->r.line[i].mass.sigmas, gap / sqrt(both), 1e-10);
    assert_near(b->r.line[i].mass.alone, gap, 1e-10);
    assert_near(b->r.reading[i].sigmas, gap / sqrt(both), 1e-10);
    assert_near(b->r.load[i], mean, 1e-10);
    assert_near(b->r.reading[i].after, sqrt(1 / (w + v)), 1e-10);
  }
  assert_near(b->r.chi2, chi2, 1e-10);
  assert_near(b->r.log_det, log(spread), 1e-12);
  assert_int_equal(b->r.dof, 2);
  assert_near(b->r.p, exp(-chi2 / 2),
              1e-12); /* the tail of two degrees of freedom; Abramowitz & Stegun, 26.4.5 */
  free(b);
}

/* One line, so the height does not depend on its mass: 340 +- 10 and 350 +- 5 make 348 +- sqrt 20. */
static void a_height_is_one_value_more(void **state) {
  (void)state;
  bench *b = new_bench();
  b->line[0] = line_at(720, 5, -1.4);
  b->line[0].place.z = 0.340, b->line[0].place_sd.z = 0.010;
  b->problem.lines = 1;
  const double q[3] = {722, -722 * 1.4, 0};
  stand_on_wheels(b, q, 0, 0.5);
  b->problem.height = 0.350, b->problem.height_sd = 0.005;
  solve(b);
  assert_near(b->r.both.cg[2], 0.348, 1e-12);
  assert_near(b->r.both.cg_sd[2], sqrt(20) * 1e-3, 1e-12);
  assert_near(b->r.line[0].place[2].change, 0.008, 1e-12);
  assert_int_equal(b->r.dof, 4);
  free(b);
}

/* Two parts weighed on one scale whose zero has an sd of 1 kg, over two axles that each read 1 kg more, sd 0.5: the zero is two readings
** with weight 4 each against a prior of weight 1, (4 + 4) / 9. */
static void a_scales_zero_moves_all_it_weighed(void **state) {
  (void)state;
  bench *b = new_bench();
  b->line[0] = line_at(300, 0, 0), b->line[1] = line_at(420, 0, -2.45);
  for (int i = 0; i < 2; i++) b->line[i].instrument = 1, b->line[i].bias_share = 1;
  b->instrument[0] = (sy_instrument){1, 0};
  b->problem.lines = 2, b->problem.supports = 2, b->problem.instruments = 1;
  b->problem.support[0] = (sy_reconcile_support){0, 0, 301, 0.5, 0};
  b->problem.support[1] = (sy_reconcile_support){-2.45, 0, 421, 0.5, 1};
  solve(b);
  assert_near(b->r.bias[0].change, 8.0 / 9, 1e-12);
  assert_near(b->r.bias[0].after, 1.0 / 3, 1e-12);
  for (int i = 0; i < 2; i++) {
    assert_near(b->r.line[i].mass.change, 8.0 / 9, 1e-12);
    assert_near(b->r.line[i].mass.before, 1, 1e-15);
    assert_near(b->r.line[i].mass.after, 1.0 / 3, 1e-12);
  }
  free(b);
}

/* Read 2 mm further back with a third of the load: the axle's place is as uncertain as it is stated. */
static void the_uncertainty_of_an_axles_place_is_in_the_moment(void **state) {
  (void)state;
  bench *b = new_bench();
  b->line[0] = line_at(720, 5, -1.4);
  b->problem.lines = 1, b->problem.supports = 2;
  b->problem.support[0] = (sy_reconcile_support){0, 0, 320, 0.3, 0};
  b->problem.support[1] = (sy_reconcile_support){-2.45, 0, 400, 0.4, 1};
  b->problem.place_sd[1] = 0.002;
  solve(b);
  /* x = -2.45 R / (F + R): by F 2.45 R / m^2, by R -2.45 F / m^2, by the place R / m */
  const double m = 720, f = 2.45 * 400 / (m * m) * 0.3, r = 2.45 * 320 / (m * m) * 0.4,
               place = 400 / m * 0.002;
  assert_near(b->r.scales.cg_sd[0], sqrt(f * f + r * r + place * place), 1e-12);
  free(b);
}

static void refuse(bench *b, sy_status status, const char *part) {
  b->r.chi2 = -7;
  assert_int_equal(sy_reconcile_solve(&b->problem, b->memory, &b->r, &b->err), status);
  assert_string_equal(b->err.part, part);
  assert_near(b->r.chi2, -7, 0);
}

/* One wheel's place was taped by itself: it errs alone, along and across, and not with its axle. */
static void the_uncertainty_of_a_wheels_own_place_is_its_own(void **state) {
  (void)state;
  bench *b = new_bench();
  b->line[0] = line_at(720, 5, -1.4);
  b->problem.lines = 1, b->problem.supports = 4, b->problem.lateral = true;
  const double x[4] = {0, 0, -2.45, -2.446}, y[4] = {0.725, -0.731, 0.73, -0.724},
               load[4] = {155, 165, 205, 195};
  for (int i = 0; i < 4; i++) b->problem.support[i] = (sy_reconcile_support){x[i], y[i], load[i], 0.3, i / 2};
  solve(b);
  const double m = 720, *cg_sd = b->r.scales.cg_sd, along = cg_sd[0], across = cg_sd[1];
  b->problem.own_x = 1u << 3, b->problem.x_sd[3] = 0.003;
  b->problem.own_y = 1u << 3, b->problem.y_sd[3] = 0.002;
  b->problem.place_sd[1] = 0.001, b->problem.track_sd[1] = 0.004;
  solve(b);
  /* the left rear alone goes with the axle's place, and half of the track */
  assert_near(cg_sd[0], sqrt(along * along + pow(195 * 0.003 / m, 2) + pow(205 * 0.001 / m, 2)), 1e-12);
  assert_near(cg_sd[1], sqrt(across * across + pow(195 * 0.002 / m, 2) + pow(205 * 0.5 * 0.004 / m, 2)),
              1e-12);
  b->problem.x_sd[3] = -0.001;
  refuse(b, SY_RANGE, "support 4");
  free(b);
}

/* ---- properties --------------------------------------------------------------------------------------------------- */

static bench *guess(double x_sd, double q[3]) {
  bench *b = new_bench();
  sy_ledger *ledger = first_guess(NULL, x_sd, true);
  take_ledger(b, ledger);
  sums_of(b, q);
  sy_ledger_release(ledger);
  return b;
}

static void a_warp_of_the_floor_moves_no_mass(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0.015, q);
  q[0] += 9, q[1] -= 20, q[2] += 3;
  stand_on_wheels(b, q, 0, 0.5);
  solve(b);
  const double chi2 = b->r.chi2, body = b->r.line[15].mass.change, warp = b->r.warp[0];
  stand_on_wheels(b, q, 31.7, 0.5);
  solve(b);
  assert_near(b->r.chi2, chi2,
              1e-9); /* loads of hundreds of kilograms, squared, by 0.5 kg: 12 digits are left */
  assert_near(b->r.line[15].mass.change, body, 1e-10);
  assert_near(b->r.warp[0] - warp, 31.7 * 0.74, 1e-9);
  assert_near(b->r.warp[0] + b->r.warp[1] + b->r.warp[2] + b->r.warp[3], 0, 1e-9);
  free(b);
}

/* Each wheel at a place of its own: the warp is the null vector of the three sums there, by Cramer's rule. A wider axle than stated moves
** its wheels apart, also where both stand on one side of the centre plane. */
static void unlike_places_leave_their_own_warp(void **state) {
  (void)state;
  static const double x[4] = {0.03, -0.01, -2.47, -2.41}, y[4] = {0.78, -0.72, 0.70, 0.02};
  static const int others[4][3] = {{1, 2, 3}, {0, 2, 3}, {0, 1, 3}, {0, 1, 2}};
  double q[3], v[4], sd[2], chi2 = 0, warp[4] = {0};
  for (int i = 0; i < 4; i++) {
    const int a = others[i][0], b = others[i][1], c = others[i][2];
    v[i] = (i % 2 == 0 ? 1 : -1) * ((x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a]));
  }
  for (int turn = 0; turn < 2; turn++) {
    bench *b = guess(0.015, q);
    stand_on_wheels(b, q, 0, 0.5);
    for (int i = 0; i < 4; i++) {
      b->problem.support[i].x = x[i], b->problem.support[i].y = y[i];
      b->problem.support[i].load += turn * 13.7 * v[i];
    }
    solve(b);
    for (int i = 0; turn == 1 && i < 4; i++)
      assert_near(b->r.warp[i] - warp[i], 13.7 * v[i], 1e-9); /* of loads of hundreds of kilograms */
    if (turn == 1) assert_near(b->r.chi2, chi2, 1e-9 * chi2);
    chi2 = b->r.chi2;
    memcpy(warp, b->r.warp, sizeof warp);
    free(b);
  }
  for (int turn = 0; turn < 2; turn++) {
    bench *b = guess(0.015, q);
    stand_on_wheels(b, q, 0, 0.5);
    for (int i = 0; i < 4; i++) b->problem.support[i].x = x[i], b->problem.support[i].y = y[i];
    b->problem.support[2].load += 60; /* equal loads would hide it */
    b->problem.track_sd[1] = turn * 0.01;
    solve(b);
    sd[turn] = b->r.scales.cg_sd[1];
    const sy_reconcile_support *s = b->problem.support;
    const double mass = s[0].load + s[1].load + s[2].load + s[3].load,
                 wider = 0.5 * (s[2].load - s[3].load) * 0.01 / mass;
    if (turn == 1) assert_near(sd[1] * sd[1] - sd[0] * sd[0], wider * wider, 1e-12);
    free(b);
  }
}

static void adjusted_loads_have_the_adjusted_sums(void **state) {
  (void)state;
  double q[3], sum[3] = {0};
  bench *b = guess(0.015, q);
  q[0] += 14, q[1] -= 30, q[2] += 2;
  stand_on_wheels(b, q, 3, 0.5);
  for (int i = 0; i < 4; i++) b->problem.support[i].load_sd = 0.3 + 0.2 * i;
  solve(b);
  for (int i = 0; i < 4; i++) {
    sum[0] += b->r.load[i];
    sum[1] += b->r.load[i] * b->problem.support[i].x;
    sum[2] += b->r.load[i] * b->problem.support[i].y;
  }
  assert_near(sum[0], b->r.both.mass, 1e-9);
  assert_near(sum[1], b->r.both.mass * b->r.both.cg[0], 1e-9);
  assert_near(sum[2], b->r.both.mass * b->r.both.cg[1], 1e-9);
  free(b);
}

/* Scales that agree with the ledger in all but one line: with that error free nothing of chi2 is left, so w^2 = chi2, no other
** line has more, and the error it needs is the one put in. Places are exact here, which makes it linear. */
static void the_one_wrong_mass_explains_everything(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0, q);
  const size_t wrong = 15; /* the body, after two pairs of two lines each */
  q[0] += 20, q[1] += 20 * b->line[wrong].place.x, q[2] += 20 * b->line[wrong].place.y;
  stand_on_wheels(b, q, 1.3, 0.2);
  solve(b);
  const sy_reconciled_error *body = &b->r.line[wrong].mass;
  assert_near(body->alone, 20, 1e-8);
  assert_near(body->sigmas * body->sigmas, b->r.chi2, 1e-8 * b->r.chi2);
  for (size_t i = 0; i < b->problem.lines; i++)
    assert_true(fabs(b->r.line[i].mass.sigmas) <= body->sigmas * (1 + 1e-9));
  free(b);
}

static void the_one_wrong_reading_explains_everything(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0, q);
  stand_on_wheels(b, q, 0, 0.2);
  b->problem.support[2].load += 25;
  solve(b);
  assert_near(b->r.reading[2].alone, 25, 1e-8);
  assert_near(b->r.reading[2].sigmas * b->r.reading[2].sigmas, b->r.chi2, 1e-8 * b->r.chi2);
  free(b);
}

/* Masses exact, places not: every place along the car has the same w, and each needs its own shift, 50 mm the engine's. */
static void a_wrong_place_is_pinned_on_no_part(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0.015, q);
  for (size_t i = 0; i < b->problem.lines; i++) b->line[i].mass_sd = 0;
  q[1] -= b->line[FIRST_ENGINE].mass * 0.050;
  stand_on_wheels(b, q, 0, 0.2);
  solve(b);
  assert_near(b->r.line[FIRST_ENGINE].place[0].alone, -0.050, 1e-9);
  const double w = b->r.line[FIRST_ENGINE].place[0].sigmas;
  for (size_t i = 0; i < b->problem.lines; i++) {
    assert_near(b->r.line[i].place[0].sigmas, w, 1e-9 * fabs(w));
    assert_near(b->r.line[i].mass.change, 0, 0);      /* what has no uncertainty stays */
    assert_true(isnan(b->r.line[i].place[2].sigmas)); /* nothing measured depends on a height */
  }
  for (size_t i = FIRST_FRONT_CORNERS; i < FIRST_FRONT_CORNERS + 4; i++)
    assert_true(isnan(b->r.line[i].place[1].sigmas)); /* a pair further out balances itself */
  free(b);
}

/* What is missing, where it must sit. */
static void missing_mass_sits_where_it_was_left_out(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0.015, q);
  q[0] += 78, q[1] -= 78 * 1.01, q[2] -= 78 * 0.18;
  stand_on_wheels(b, q, 0, 0.5);
  solve(b);
  assert_near(b->r.missing.mass, 78, 1e-10);
  assert_near(b->r.missing.cg[0], -1.01, 1e-12);
  assert_near(b->r.missing.cg[1], -0.18, 1e-12);
  assert_true(isnan(b->r.missing.cg[2]));
  free(b);
}

/* Cars drawn from the ledger's own uncertainties and weighed with the scales' own: chi2 is one of 3 degrees, and what is adjusted lies from
** the truth as its new uncertainty says. Four sd of what 4000 draws leave: of a mean chi2 0.15, of a share of 5 % 1.4 %, of a variance 9
** %. */
static void drawn_cars_scatter_as_the_uncertainties_say(void **state) {
  (void)state;
  enum { DRAWS = 4000 };
  double q[3], mean = 0, square[2] = {0}, sum_square = 0;
  int beyond = 0;
  bench *b = guess(0.015, q);
  const size_t body = 15;
  for (int d = 0; d < DRAWS; d++) {
    double truth[3] = {0}, mass = 0, dm = 0, ex = 0, body_mass = 0, engine_x = 0;
    for (size_t i = 0; i < b->problem.lines; i++) {
      const sy_reconcile_line *l = &b->line[i];
      if (!l->same_mass) dm = l->mass_sd * normal();
      if (!l->same_place[0]) ex = l->place_sd.x * normal();
      mass = l->mass + dm;
      truth[0] += mass, truth[1] += mass * (l->place.x + ex), truth[2] += mass * l->place.y;
      if (i == body) body_mass = dm;
      if (i == FIRST_ENGINE) engine_x = ex;
    }
    stand_on_wheels(b, truth, any(-20, 20), 0.7);
    for (int i = 0; i < 4; i++) b->problem.support[i].load += 0.7 * normal();
    solve(b);
    mean += b->r.chi2 / DRAWS;
    beyond += b->r.p < 0.05;
    const double off[2] = {(b->r.line[body].mass.change - body_mass) / b->r.line[body].mass.after,
                           (b->r.line[FIRST_ENGINE].place[0].change - engine_x) /
                               b->r.line[FIRST_ENGINE].place[0].after};
    for (int k = 0; k < 2; k++) square[k] += off[k] * off[k] / DRAWS;
    const double sum_off = (b->r.both.mass - truth[0]) / b->r.both.mass_sd;
    sum_square += sum_off * sum_off / DRAWS;
  }
  assert_near(mean, 3, 0.155);
  assert_near((double)beyond / DRAWS, 0.05, 0.014);
  assert_near(square[0], 1, 0.09);
  assert_near(square[1], 1, 0.09);
  assert_near(sum_square, 1, 0.09);
  free(b);
}

/* ---- refusals ------------------------------------------------------------------------------------------------------ */

static void what_cannot_be_reconciled_is_refused(void **state) {
  (void)state;
  double q[3];
  bench *b = guess(0.015, q);
  stand_on_wheels(b, q, 0, 0.5);
  const sy_reconcile good = b->problem;
  b->problem.supports = 2, refuse(b, SY_MISSING, "supports"), b->problem = good;
  b->problem.lateral = false, b->problem.supports = 1, refuse(b, SY_MISSING, "supports"), b->problem = good;
  b->problem.supports = SY_MAX_WHEELS + 1, refuse(b, SY_RANGE, "supports"), b->problem = good;
  b->problem.support[1].load_sd = 0, refuse(b, SY_RANGE, "support 2"), b->problem = good;
  b->problem.support[1].load_sd = -0.5, refuse(b, SY_RANGE, "support 2"), b->problem = good;
  b->problem.support[3].load = (double)NAN, refuse(b, SY_RANGE, "support 4"), b->problem = good;
  b->problem.support[3].y = (double)INFINITY, refuse(b, SY_RANGE, "support 4"), b->problem = good;
  b->problem.support[3].axle = SY_MAX_AXLES, refuse(b, SY_RANGE, "support 4"), b->problem = good;
  b->problem.track_sd[0] = -1, refuse(b, SY_RANGE, "axles"), b->problem = good;
  b->problem.height = 0.35, b->problem.height_sd = 0, refuse(b, SY_RANGE, "height"), b->problem = good;
  b->problem.height = (double)INFINITY, b->problem.height_sd = 0.1, refuse(b, SY_RANGE, "height"),
  b->problem = good;
  b->problem.lines = 0, refuse(b, SY_MISSING, "ledger"), b->problem = good;
  for (int i = 0; i < 4; i++) b->problem.support[i].y = 0.1;
  refuse(b, SY_GEOMETRY, "readings"), b->problem = good;
  for (size_t i = 0; i < b->problem.lines; i++)
    b->line[i].mass_sd = 0, b->line[i].place_sd = (sy_vec3){0, 0, 0};
  refuse(b, SY_CLASH, "ledger");
  for (size_t i = 0; i < b->problem.lines; i++) b->line[i].mass = 0;
  b->line[0].mass_sd = 1;
  refuse(b, SY_RANGE, "ledger");
  free(b);
}

/* What is not an uncertainty is refused by name; nothing is reconciled with it. */
static void lines_and_instruments_without_sense_are_refused(void **state) {
  (void)state;
  static const char *const field[] = {"mass",     "mass",     "mass_sd",    "mass_sd",   "place",
                                      "place_sd", "place_sd", "instrument", "instrument"};
  bench *b = new_bench();
  const double none = (double)NAN;
  for (int k = 0; k < 11; k++) {
    b->line[0] = line_at(300, 6, 0), b->line[1] = line_at(420, 8, -2.45);
    sy_reconcile_line *l = &b->line[1];
    switch (k) {
    case 0: l->mass = none; break;
    case 1: l->pieces = none; break;
    case 2: l->mass_sd = none; break;
    case 3: l->mass_sd = -1; break;
    case 4: l->place.z = none; break;
    case 5: l->place_sd.y = none; break;
    case 6: l->place_sd.x = -0.01; break;
    case 7: l->instrument = 2; break;
    case 8: l->bias_share = none; break;
    default: break;
    }
    sy_instrument scale = {.bias_sd = k == 9 ? none : 0.1, .gain_sd = k == 10 ? -0.1 : 0};
    b->problem.lines = 2, b->problem.supports = 2;
    b->problem.instrument = &scale, b->problem.instruments = 1;
    b->problem.support[0] = (sy_reconcile_support){0, 0, 309, 2, 0};
    b->problem.support[1] = (sy_reconcile_support){-2.45, 0, 414, 3, 1};
    assert_int_equal(sy_reconcile_solve(&b->problem, b->memory, &b->r, &b->err), SY_RANGE);
    assert_string_equal(b->err.part, k < 9 ? "line 2" : "instrument 1");
    assert_string_equal(b->err.field, k < 9 ? field[k] : "sd");
  }
  free(b);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(lines_of_random_ledgers_have_the_ledgers_own_sums_and_uncertainties),
      cmocka_unit_test(two_lines_over_two_axles_are_weighted_means),
      cmocka_unit_test(a_height_is_one_value_more),
      cmocka_unit_test(a_scales_zero_moves_all_it_weighed),
      cmocka_unit_test(the_uncertainty_of_an_axles_place_is_in_the_moment),
      cmocka_unit_test(the_uncertainty_of_a_wheels_own_place_is_its_own),
      cmocka_unit_test(a_warp_of_the_floor_moves_no_mass),
      cmocka_unit_test(unlike_places_leave_their_own_warp),
      cmocka_unit_test(adjusted_loads_have_the_adjusted_sums),
      cmocka_unit_test(the_one_wrong_mass_explains_everything),
      cmocka_unit_test(the_one_wrong_reading_explains_everything),
      cmocka_unit_test(a_wrong_place_is_pinned_on_no_part),
      cmocka_unit_test(missing_mass_sits_where_it_was_left_out),
      cmocka_unit_test(drawn_cars_scatter_as_the_uncertainties_say),
      cmocka_unit_test(what_cannot_be_reconciled_is_refused),
      cmocka_unit_test(lines_and_instruments_without_sense_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
