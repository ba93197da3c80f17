/* The bootstrap of a straight line; bench_bootstrap.py writes the file (t, then y), checks the answers and compares. */
#include "serve.h"

#include "numeric/bootstrap.h"

enum { REPLICAS = 100000, SEED = 7 };

typedef struct work {
  const double *data;
  size_t count;
  void *memory;
  double *intercept, *slope;
} work;

/* items: replicas */
static void bootstrap(void *user, size_t items) {
  work *w = user;
  for (size_t done = 0; done < items; done += REPLICAS) {
    const size_t more = items - done < REPLICAS ? items - done : REPLICAS;
    if (sy_bootstrap_line_fit(w->data, w->data + w->count, w->count, SEED, done, more, w->memory,
                              w->intercept, w->slope, NULL, NULL) != SY_OK)
      exit(1);
  }
}

/* every replica, so that the distributions can be compared */
static void show(const double *column) {
  for (size_t i = 0; i < REPLICAS; i++) printf("%.17g ", column[i]);
  putchar('\n');
}

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  work w;
  w.data = bench_read(argv[1], &w.count);
  w.count /= 2;
  w.memory = bench_memory(sy_bootstrap_size(w.count));
  w.intercept = bench_memory(REPLICAS * sizeof(double));
  w.slope = bench_memory(REPLICAS * sizeof(double));
  bootstrap(&w, REPLICAS);
  show(w.intercept);
  show(w.slope);
  fflush(stdout);
  bench_job jobs[] = {{"bootstrap", bootstrap, 0}};
  return bench_serve(jobs, 1, &w);
}
