/* First-order uncertainties of answers and of their changes against simulations; `make nightly` has many more cars and draws. */
#include "answer_spread.h"

/* A quarter of a first guess's uncertainties leaves little curvature. 4000 draws: 1.1 % is the standard uncertainty of a simulated one, and of
** some 800 the worst may lie 4 to 5 of them off. */
static void uncertainties_are_those_of_simulations(void **state) {
  (void)state;
  static spread_pair p;
  static spread_sums sums;
  for (uint64_t seed = 2; seed <= 4; seed++) {
    char name[96] = "";
    int counted = 0;
    open_pair(&p, seed, 0.25);
    assert_true(simulate(&p, seed, 4000, &sums));
    const double off = worst_departure(&p, &sums, name, &counted);
    if (!(off < 0.055)) fail_msg("pair %d, %s: %.1f %% off", (int)seed, name, 100 * off);
    assert_true(counted > 100);
    close_pair(&p);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(uncertainties_are_those_of_simulations)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
