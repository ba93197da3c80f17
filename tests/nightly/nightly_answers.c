/* First-order uncertainties of all answers, and of their changes, against simulations: random pairs of cars, and draws of everything that is
** stated.
**
** Wanted   |simulated / stated - 1| < 4.6 standard uncertainties of the simulation, 1 / sqrt(2 draws) each. Where a pair does not hold it, all
**          its uncertainties are divided by 4 and it must: curvature is then a sixteenth of what it was, which may be left where a change
**          is next to nothing in first order. An answer that is the least of several (answer_kinks.h) is not looked at then, if
**          another became the least among the draws: such a kink stays as sharp as it was, however small the uncertainties.
*/
#include "answer_spread.h"

typedef struct study {
  const char *what;
  spread_sets sets;
  int pairs, draws;
} study;

/* Some minutes of processor time in all: looking for the limits of a car on springs takes 1 to 3 ms, its loads under a force 40 us. */
static const study studies[] = {
    {"at rest", {{"balance", "corners", "attitude"}, 3, false, true}, 60, 20000},
    {"under a force", {{"transfer"}, 1, false, true}, 60, 20000},
    {"rigid limits", {{"stability"}, 1, false, true}, 60, 20000},
    {"limits on springs", {{"transfer", "stability.compliant"}, 2, true, false}, 20, 2000},
};

typedef struct tally {
  int curved, failed, compared, kinked;
} tally;

static spread_worst worst_of(const study *s, uint64_t seed, bool whole) {
  static answer_pair p;
  static spread_sums sums;
  spread_worst w = {(double)INFINITY, "a car does not stand in a draw", 0, 0};
  open_pair(&p, seed, (car_kind)(seed % CAR_KINDS), whole ? 1.0 : 0.25);
  if (simulate(&p, &s->sets, 1000 + seed, s->draws, &sums)) w = compare_spread(&p, &s->sets, &sums, whole);
  close_pair(&p);
  return w;
}

static void check_pair(const study *s, uint64_t seed, tally *t) {
  const double bound = 4.6 / sqrt(2.0 * s->draws);
  const spread_worst whole = worst_of(s, seed, true);
  t->compared += whole.compared;
  if (whole.off < bound) return;
  const spread_worst part = worst_of(s, seed, false);
  const double left = isfinite(whole.off) ? whole.off / 16 : 0;
  const bool holds = part.off < bound + left;
  t->compared += part.compared;
  t->kinked += part.kinked;
  t->curved += holds;
  t->failed += !holds;
  printf("pair %2d: %5.1f %% off, %s; a quarter of the uncertainties: %.1f %%, %s%s\n", (int)seed,
         100 * whole.off, whole.name, 100 * part.off, part.name, holds ? "" : ", FAILED");
  fflush(stdout);
}

int main(void) {
  int failed = 0;
  for (size_t i = 0; i < sizeof studies / sizeof *studies; i++) {
    const study *s = &studies[i];
    tally t = {0, 0, 0, 0};
    for (uint64_t seed = 1; seed <= (uint64_t)s->pairs; seed++) check_pair(s, seed, &t);
    printf("answers, %s: %d of %d pairs hold, %d with a quarter of their uncertainties; %d uncertainties "
           "compared, %d left out at "
           "a kink\n",
           s->what, s->pairs - t.failed, s->pairs, t.curved, t.compared, t.kinked);
    failed += t.failed;
  }
  return failed > 0;
}
