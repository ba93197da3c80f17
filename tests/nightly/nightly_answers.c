/* First-order uncertainties of all answers, and of their changes, against simulations: random pairs of cars, and draws of everything that is
** stated.
**
** Wanted   |simulated / stated - 1| < 4.6 standard uncertainties of the simulation, 1 / sqrt(2 draws) each. Where a pair does not hold it, all
**          its uncertainties are divided by 4 and it must, and once more where a change is next to nothing in first order: what is left
**          of curvature may be a sixteenth of what it was each time. A wrong sensitivity is as wrong with small uncertainties. An answer that is the least of several (answer_kinks.h) is not looked at then, if
**          another became the least among the draws: such a kink stays as sharp as it was, however small the uncertainties.
*/
#include "answer_spread.h"

typedef struct study {
  const char *what;
  spread_sets sets;
  int pairs, draws;
} study;

/* Some minutes of processor time in all: looking for one limit of a car on springs takes some 40 us, its loads under a force 30 us. */
static const study studies[] = {
    {"at rest", {{"balance", "corners", "attitude"}, 3, false, true}, 60, 20000},
    {"under a force", {{"transfer"}, 1, false, true}, 60, 20000},
    {"rigid limits", {{"stability"}, 1, false, true}, 60, 20000},
    {"limits on springs", {{"transfer", "stability.compliant"}, 2, true, false}, 60, 20000},
};

typedef struct tally {
  int curved, failed, compared, kinked;
} tally;

/* part: of all its uncertainties. */
static spread_worst worst_of(const study *s, uint64_t seed, double part) {
  static answer_pair p;
  static spread_sums sums;
  spread_worst w = {(double)INFINITY, "a car does not stand in a draw", 0, 0};
  open_pair(&p, seed, (car_kind)(seed % CAR_KINDS), part);
  if (simulate(&p, &s->sets, 1000 + seed, s->draws, &sums))
    w = compare_spread(&p, &s->sets, &sums, part == 1.0);
  close_pair(&p);
  return w;
}

static void check_pair(const study *s, uint64_t seed, tally *t) {
  const double bound = 4.6 / sqrt(2.0 * s->draws), least_part = 1.0 / 16;
  double left = 0;
  for (double part = 1; part >= least_part; part /= 4) {
    const spread_worst w = worst_of(s, seed, part);
    const bool holds = w.off < bound + left;
    t->compared += w.compared;
    t->kinked += w.kinked;
    if (part < 1 || !holds)
      printf("pair %2d, %g of its uncertainties: %.1f %% off, %s%s\n", (int)seed, part, 100 * w.off, w.name,
             holds                    ? ""
             : part / 4 >= least_part ? ", curved?"
                                      : ", FAILED");
    fflush(stdout);
    if (holds) {
      t->curved += part < 1;
      return;
    }
    left = isfinite(w.off) ? w.off / 16 : 0;
  }
  t->failed++;
}

int main(void) {
  int failed = 0;
  for (size_t i = 0; i < sizeof studies / sizeof *studies; i++) {
    const study *s = &studies[i];
    tally t = {0, 0, 0, 0};
    for (uint64_t seed = 1; seed <= (uint64_t)s->pairs; seed++) check_pair(s, seed, &t);
    printf("answers, %s: %d of %d pairs hold, %d with a quarter of their uncertainties or less; %d "
           "uncertainties "
           "compared, %d left out at "
           "a kink\n",
           s->what, s->pairs - t.failed, s->pairs, t.curved, t.compared, t.kinked);
    failed += t.failed;
  }
  return failed > 0;
}
