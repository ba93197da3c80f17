/* A million variants of a car on its springs, by the library and by the baseline beside; bench_corner_variants.py writes the file,
** checks the answers and compares. */
#include "serve.h"

#include "baseline_corner_variants.h"
#include "study/corner_variants.h"

enum { IN = 18, OUT = 8, CACHED = 4096, FEW = 1024, PIECE = 20000 };

typedef struct job {
  size_t count, at;
  double *in, *out;
} job;

typedef void solver(const double *const c[IN], size_t count, double *const r[OUT]);

static void library(const double *const c[IN], size_t count, double *const r[OUT]) {
  static const sy_variants_frame frame = {{0.0, -BASELINE_BASE},
                                          {0.0, 0.0, -BASELINE_BASE, -BASELINE_BASE},
                                          {BASELINE_FRONT, -BASELINE_FRONT, BASELINE_REAR, -BASELINE_REAR}};
  const sy_variants_in in = {
      {c[0], c[1], c[2], c[3]},    {c[4], c[5], c[6], c[7]}, {c[8], c[9]}, c[10], c[11], c[12], c[13],
      {c[14], c[15], c[16], c[17]}};
  const sy_variants_out out = {r[0], r[1], r[2], r[3], {r[4], r[5], r[6], r[7]}};
  sy_corner_variants(&frame, &in, count, &out);
}

static void run(const job *j, solver *solve, size_t from, size_t count, size_t items) {
  const double *c[IN];
  double *r[OUT];
  for (int i = 0; i < IN; i++) c[i] = j->in + (size_t)i * j->count + from;
  for (int i = 0; i < OUT; i++) r[i] = j->out + (size_t)i * j->count + from;
  for (size_t i = 0; i < items; i++) solve(c, count, r);
}

/* Piece after piece of all variants, so that each comes from memory and no round is long. */
static void pieces(job *j, solver *solve, size_t items) {
  for (size_t i = 0; i < items; i++) {
    run(j, solve, j->at, PIECE, 1);
    j->at = (j->at + PIECE) % j->count;
  }
}

static void our_pieces(void *user, size_t items) { pieces(user, library, items); }
static void their_pieces(void *user, size_t items) { pieces(user, baseline_corner_variants, items); }
static void our_cached(void *user, size_t items) { run(user, library, 0, CACHED, items); }
static void their_cached(void *user, size_t items) { run(user, baseline_corner_variants, 0, CACHED, items); }
static void our_few(void *user, size_t items) { run(user, library, 0, FEW, items); }
static void their_few(void *user, size_t items) { run(user, baseline_corner_variants, 0, FEW, items); }

/* The first few answers, to be checked. */
static void show(const job *j) {
  for (size_t i = 0; i < 5; i++)
    for (int k = 0; k < OUT; k++)
      printf("%.17g%c", j->out[(size_t)k * j->count + i], k == OUT - 1 ? '\n' : ' ');
}

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  size_t doubles;
  job j = {0};
  j.in = bench_read(argv[1], &doubles);
  j.count = doubles / IN;
  j.out = bench_memory(j.count * OUT * sizeof(double));
  run(&j, library, 0, j.count, 1);
  show(&j);
  run(&j, baseline_corner_variants, 0, j.count, 1);
  show(&j);
  fflush(stdout);
  bench_job jobs[] = {{"pieces", our_pieces, 0},     {"cached", our_cached, 0},     {"few", our_few, 0},
                      {"C pieces", their_pieces, 0}, {"C cached", their_cached, 0}, {"C few", their_few, 0}};
  return bench_serve(jobs, 6, &j);
}
