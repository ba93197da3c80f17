/* What scales read, carried on: a car that is known is weighed, then found again from the reading alone. Against differences, and by hand
** where three wheels say it all. */
#include "answers/reading.h"

#include <math.h>

#include "answer_pair.h"
#include "answers/beside.h"
#include "answers/corner_answers.h"
#include "answers/stand.h"

/* Weighs the first car of a pair as if set up with another cross weight than drawn; `then` is the second with the same. */
typedef struct weighed {
  answer_pair pair;
  sy_car truth[2];
  sy_reading reading;
} weighed;

static void stand_of(const sy_car *car, sy_stand *out) {
  sy_error err;
  must(sy_stand_make(car, out, &err), &err);
}

static void drop_cross(sy_car *car, sy_stated *list) {
  size_t n = 0;
  for (size_t i = 0; i < car->stated_count; i++)
    if (car->stated[i].field != SY_STATED_CROSS_SHARE) list[n++] = car->stated[i];
  car->stated = list;
  car->stated_count = n;
}

static void weigh(weighed *w, uint64_t seed, double cross) {
  sy_error err;
  sy_stand stand;
  open_pair(&w->pair, seed, FOUR_WHEELS, 0.25);
  for (int i = 0; i < 2; i++) {
    drop_cross(&w->pair.car[i], w->pair.stated[i]);
    must(sy_car_set_cross(&w->pair.car[i], cross, &w->truth[i], &err), &err);
  }
  stand_of(&w->truth[0], &stand);
  memset(&w->reading, 0, sizeof w->reading);
  for (int i = 0; i < 4; i++) {
    w->reading.load[i] = stand.result.load[i];
    w->reading.covariance[i][i] = pow(2.0 + i, 2);
  }
}

static void set_up_is_found_again_from_what_the_scales_read(void **state) {
  (void)state;
  static weighed w;
  for (uint64_t seed = 1; seed <= 30; seed++) {
    const double cross = 0.46 + 0.0027 * (double)seed;
    sy_error err;
    sy_car found;
    weigh(&w, seed, cross);
    must(sy_reading_set_up(&w.reading, &w.pair.car[0], &found, &err), &err);
    assert_near(found.vehicle.cross_share, cross, 1e-10); /* forces are settled to 1e-13 of the weight */
    close_pair(&w.pair);
  }
}

static double drawn_share(const sy_car *stood, double read) {
  sy_error err;
  sy_car set;
  must(sy_beside_make(stood, read, &set, NULL, &err), &err);
  return set.vehicle.cross_share;
}

/* The share is that of the reading's own set-up, and follows what was read as two other readings say. */
static void a_share_that_was_read_is_set_up_as_loads_are(void **state) {
  (void)state;
  static weighed w;
  for (uint64_t seed = 1; seed <= 10; seed++) {
    sy_error err;
    sy_car by_loads, by_share;
    sy_beside rests;
    weigh(&w, seed, 0.51);
    const sy_car *const car = &w.pair.car[0];
    const double read = sy_corner_cross(w.reading.load), step = 1e-4;
    must(sy_reading_set_up(&w.reading, car, &by_loads, &err), &err);
    must(sy_beside_make(car, read, &by_share, &rests, &err), &err);
    assert_true(by_share.vehicle.cross_share == by_loads.vehicle.cross_share);
    const double rate = (drawn_share(car, read + step) - drawn_share(car, read - step)) / (2 * step);
    assert_near(rests.by_measured, rate, 1e-7 * fabs(rate)); /* both differenced: 1e-12 over 1e-4 */
    assert_ptr_equal(rests.at, car->now);
    close_pair(&w.pair);
  }
}

/* Perches turned and edits made after the weighing: what is then read is what the true car reads; what the scales had read beside the
** model stays beside it. */
static void what_comes_next_is_what_the_true_car_reads(void **state) {
  (void)state;
  static weighed w;
  for (uint64_t seed = 1; seed <= 30; seed++) {
    sy_error err;
    sy_car stood, then;
    sy_stand was, is;
    sy_asked asked[MOST_ANSWERS];
    double value[MOST_ANSWERS], off[4] = {31, -12, 7, -55}, load[SY_MAX_WHEELS] = {0}, by[SY_MAX_WHEELS];
    weigh(&w, seed, 0.52);
    stand_of(&w.truth[0], &was);
    w.truth[1].setting.perch[1] = 4e-3;
    stand_of(&w.truth[1], &is);
    const int count = all_answers(sy_corner_answers(), &w.truth[0], asked);
    for (int beside = 0; beside < 2; beside++) {
      for (int i = 0; i < 4; i++) w.reading.load[i] = was.result.load[i] + beside * off[i];
      must(sy_reading_set_up(&w.reading, &w.pair.car[0], &stood, &err), &err);
      must(sy_car_set_cross(&w.pair.car[1], stood.vehicle.cross_share, &then, &err), &err);
      then.setting.perch[1] = 4e-3;
      must(sy_reading_expect(&w.reading, &stood, &then, asked, count, NULL, value, NULL, &err), &err);
      for (int i = 0; i < 4; i++) load[i] = is.result.load[i] + beside * off[i];
      for (int k = 0; k < count; k++) {
        const double want =
            sy_load_answer(&then.map, load, sy_corner_answers()->row[asked[k].row].at + asked[k].index, by);
        assert_near(value[k], want,
                    1e-8 * fabs(want)); /* another cross weight moves both cars alike, to rounding */
      }
    }
    close_pair(&w.pair);
  }
}

/* Of each load by itself, and of what they have in common: all alike, as one zero does, and from one diagonal to the other. N */
static const double error[6][4] = {{2, 0, 0, 0}, {0, 3, 0, 0},         {0, 0, 4, 0},
                                   {0, 0, 0, 5}, {2.5, 2.5, 2.5, 2.5}, {1.5, -1.5, -1.5, 1.5}};

/* The uncertainty against differences of the whole way: each error by itself a little more, the car set up anew from it. */
static void uncertainties_are_those_of_the_scales_and_of_the_change(void **state) {
  (void)state;
  static weighed w;
  for (uint64_t seed = 1; seed <= 10; seed++) {
    sy_error err;
    sy_car stood, then;
    sy_asked asked[MOST_ANSWERS];
    double value[MOST_ANSWERS], sd[MOST_ANSWERS], change[MOST_ANSWERS], change_sd[MOST_ANSWERS],
        square[MOST_ANSWERS];
    weigh(&w, seed, 0.49);
    memset(w.reading.covariance, 0, sizeof w.reading.covariance);
    for (int e = 0; e < 6; e++)
      for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++) w.reading.covariance[i][j] += error[e][i] * error[e][j];
    const int count = all_answers(sy_corner_answers(), &w.truth[0], asked);
    must(sy_reading_set_up(&w.reading, &w.pair.car[0], &stood, &err), &err);
    must(sy_car_set_cross(&w.pair.car[1], stood.vehicle.cross_share, &then, &err), &err);
    must(sy_reading_expect(&w.reading, &stood, &then, asked, count, NULL, value, sd, &err), &err);
    must(sy_answers_change(sy_corner_answers(), &stood, asked, &then, asked, count, NULL, change, change_sd,
                           NULL, &err),
         &err);
    for (int k = 0; k < count; k++) square[k] = change_sd[k] * change_sd[k];
    for (int i = 0; i < 6; i++) {
      double side[2][MOST_ANSWERS];
      for (int s = 0; s < 2; s++) {
        sy_reading stepped = w.reading;
        for (int j = 0; j < 4; j++) stepped.load[j] += (s == 0 ? 1 : -1) * error[i][j];
        must(sy_reading_set_up(&stepped, &w.pair.car[0], &stood, &err), &err);
        must(sy_car_set_cross(&w.pair.car[1], stood.vehicle.cross_share, &then, &err), &err);
        must(sy_reading_expect(&stepped, &stood, &then, asked, count, NULL, side[s], NULL, &err), &err);
      }
      for (int k = 0; k < count; k++) square[k] += pow(0.5 * (side[0][k] - side[1][k]), 2);
    }
    for (int k = 0; k < count; k++)
      assert_near(sd[k], sqrt(square[k]),
                  1e-4 * sd[k]); /* shares are quotients: second order of 3 N in 1500 */
    close_pair(&w.pair);
  }
}

static void readings_that_say_nothing_of_perches_are_refused(void **state) {
  (void)state;
  static weighed w;
  static answer_pair three;
  sy_error err;
  sy_car found;
  weigh(&w, 3, 0.5);
  w.reading.load[2] = 0;
  assert_int_equal(sy_reading_set_up(&w.reading, &w.pair.car[0], &found, &err), SY_RANGE);
  assert_string_equal(err.field, "load");
  w.reading.load[2] = 1500, w.reading.covariance[1][1] = -1;
  assert_int_equal(sy_reading_set_up(&w.reading, &w.pair.car[0], &found, &err), SY_RANGE);
  assert_string_equal(err.field, "sd");
  w.reading.covariance[1][1] = 9,
  w.reading.covariance[1][0] = w.reading.covariance[0][1] = 6.1; /* of 2 x 3 */
  assert_int_equal(sy_reading_set_up(&w.reading, &w.pair.car[0], &found, &err), SY_RANGE);
  assert_string_equal(err.field, "covariance");
  w.reading.covariance[1][0] = w.reading.covariance[0][1] = 0;
  /* one diagonal carries nearly all: the model's wheel is off the ground before */
  const double one[4] = {10, 4000, 4000, 10};
  for (int i = 0; i < 4; i++) w.reading.covariance[i][i] = 1;
  memcpy(w.reading.load, one, sizeof one);
  assert_int_equal(sy_reading_set_up(&w.reading, &w.pair.car[0], &found, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "cross_share");
  close_pair(&w.pair);
  open_pair(&three, 1, ONE_BEHIND, 0.25);
  assert_int_equal(sy_reading_set_up(&w.reading, &three.car[0], &found, &err), SY_GEOMETRY);
  close_pair(&three);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(set_up_is_found_again_from_what_the_scales_read),
      cmocka_unit_test(a_share_that_was_read_is_set_up_as_loads_are),
      cmocka_unit_test(what_comes_next_is_what_the_true_car_reads),
      cmocka_unit_test(uncertainties_are_those_of_the_scales_and_of_the_change),
      cmocka_unit_test(readings_that_say_nothing_of_perches_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
