/* What is made of the columns of a study: a million variants; bench_reduce.py writes the file (OUTPUTS columns of random numbers, then two
** more for fronts), checks the answers and compares. */
#include "serve.h"

#include <math.h>

#include "study/fold.h"
#include "study/front.h"
#include "study/judge.h"
#include "study/points.h"
#include "study/sobol.h"
#include "study/summary.h"

enum { N = 1000000, OUTPUTS = 10, FOLDS = 4, INPUTS = 8 };

typedef struct work {
  const double *column[OUTPUTS], *opposed[3];
  uint8_t *verdict;
  double *out[4];
  size_t *front, members[2];
  sy_summary summary[OUTPUTS];
} work;

static void judge(void *user, size_t items) {
  work *w = user;
  sy_limit limit[OUTPUTS];
  for (int k = 0; k < OUTPUTS; k++) limit[k] = (sy_limit){0.001, 0.999, (double)NAN, 0.05};
  while (items-- > 0) sy_judge(limit, OUTPUTS, w->column, NULL, 1.96, N, w->verdict);
}

static void summarise(void *user, size_t items) {
  work *w = user;
  while (items-- > 0)
    for (int k = 0; k < OUTPUTS; k++) {
      w->summary[k] = sy_summary_begin();
      sy_summary_add(&w->summary[k], w->column[k], N, 0);
    }
}

static void fold(void *user, size_t items) {
  work *w = user;
  const sy_folded out = {w->out[0], w->out[1], w->out[2], w->out[3]};
  while (items-- > 0)
    for (int k = 0; k < OUTPUTS; k++) sy_fold(w->column[k], FOLDS, N / FOLDS, &out);
}

static void find_front(work *w, const double *const *column, size_t *members) {
  static const bool most[3] = {false, false, false};
  if (sy_front(column, most, 3, NULL, N, NULL, w->front, members, NULL) != SY_OK) exit(1);
}

static void few(void *user, size_t items) {
  work *w = user;
  while (items-- > 0) find_front(w, w->column, &w->members[0]);
}

static void every(void *user, size_t items) {
  work *w = user;
  while (items-- > 0) find_front(w, w->opposed, &w->members[1]);
}

static void latin(void *user, size_t items) {
  work *w = user;
  while (items-- > 0)
    if (sy_points_latin(1, items, N, 0, N, w->out[0], NULL) != SY_OK) exit(1);
}

static void sobol(void *user, size_t items) {
  work *w = user;
  while (items-- > 0)
    for (unsigned k = 0; k < INPUTS; k++)
      if (sy_sobol(k, 0, N, w->out[0], NULL) != SY_OK) exit(1);
}

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  static work w;
  size_t count;
  const double *data = bench_read(argv[1], &count);
  if (count != (size_t)N * (OUTPUTS + 2)) return 1;
  for (int k = 0; k < OUTPUTS; k++) w.column[k] = data + (size_t)k * N;
  w.opposed[0] = w.column[0];
  w.opposed[1] = data + (size_t)OUTPUTS * N;
  w.opposed[2] = w.opposed[1] + N;
  w.verdict = bench_memory(N);
  for (int k = 0; k < 4; k++) w.out[k] = bench_memory(N * sizeof(double));
  w.front = bench_memory(N * sizeof(size_t));
  judge(&w, 1);
  summarise(&w, 1);
  few(&w, 1);
  every(&w, 1);
  uint64_t verdicts[4] = {0};
  sy_verdict_count(w.verdict, N, verdicts);
  for (int k = 0; k < 4; k++) printf("%zu ", (size_t)verdicts[k]);
  printf("%zu %zu", w.members[0], w.members[1]);
  for (int k = 0; k < OUTPUTS; k++) printf(" %.17g", sy_summary_mean(&w.summary[k]));
  putchar('\n');
  fflush(stdout);
  bench_job jobs[] = {{"judge", judge, 0}, {"summarise", summarise, 0}, {"fold", fold, 0},  {"few", few, 0},
                      {"every", every, 0}, {"latin", latin, 0},         {"sobol", sobol, 0}};
  return bench_serve(jobs, sizeof jobs / sizeof *jobs, &w);
}
