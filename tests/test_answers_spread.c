/* First-order uncertainties of answers and of their changes against simulations; `make nightly` has many more cars and draws.
** Not under valgrind: thousands of draws of what test_answers.c asks once; the sanitizers have it.
*/
#include "answer_spread.h"

/* A tenth of a first guess's uncertainties leaves little curvature (of a quarter, with places that err by millimetres, 9.5 % of one gain in
** pitch; 4.8 % of a tenth, and nothing beyond chance of 3 %), and answers with a kink among the draws are left out. 4000 draws: 1.1 % is the
** standard uncertainty of a simulated one, and of some 1000 the worst may lie 4 to 5 of them off; errors of unsprung parts are taken as
** the body's, which of the front share of a transfer is 2.5 % at most (test_answers.c). Limits on springs are looked for in milliseconds:
** make nightly has them. */
static void uncertainties_are_those_of_simulations(void **state) {
  (void)state;
  const spread_sets sets = {{"balance", "corners", "attitude", "transfer", "stability"}, 5, false, true};
  static answer_pair p;
  static spread_sums sums;
  for (uint64_t seed = 2; seed <= 5; seed++) { /* each kind of car */
    open_pair(&p, seed, (car_kind)(seed % CAR_KINDS), 0.1);
    assert_true(simulate(&p, &sets, seed, 4000, &sums));
    const spread_worst w = compare_spread(&p, &sets, &sums, false);
    if (!(w.off < 0.055)) fail_msg("pair %d, %s: %.1f %% off", (int)seed, w.name, 100 * w.off);
    assert_true(w.compared > 100 && w.kinked < 20);
    close_pair(&p);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(uncertainties_are_those_of_simulations),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
