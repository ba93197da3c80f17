/* A million variants of a car on its springs; bench_corner_variants.py writes the file, checks the answers and compares. */
#include "serve.h"

#include "study/corner_variants.h"

enum { IN = 18, OUT = 8, CACHED = 4096, PIECE = 20000 };

typedef struct job {
  size_t count, at;
  double *in, *out;
} job;

static void run(const job *j, size_t from, size_t count, size_t items) {
  static const sy_variants_frame frame = {{0.0, -2.4}, {0.725, 0.73}};
  const double *c[IN];
  double *r[OUT];
  for (int i = 0; i < IN; i++) c[i] = j->in + (size_t)i * j->count + from;
  for (int i = 0; i < OUT; i++) r[i] = j->out + (size_t)i * j->count + from;
  const sy_variants_in in = {
      {c[0], c[1], c[2], c[3]},    {c[4], c[5], c[6], c[7]}, {c[8], c[9]}, c[10], c[11], c[12], c[13],
      {c[14], c[15], c[16], c[17]}};
  const sy_variants_out out = {r[0], r[1], r[2], r[3], {r[4], r[5], r[6], r[7]}};
  for (size_t i = 0; i < items; i++) sy_corner_variants(&frame, &in, count, &out);
}

/* Piece after piece of all variants, so that each comes from memory and no round is long. */
static void pieces(void *user, size_t items) {
  job *j = user;
  for (size_t i = 0; i < items; i++) {
    run(j, j->at, PIECE, 1);
    j->at = (j->at + PIECE) % j->count;
  }
}

static void cached(void *user, size_t items) { run(user, 0, CACHED, items); }

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  size_t doubles;
  job j = {0};
  j.in = bench_read(argv[1], &doubles);
  j.count = doubles / IN;
  j.out = bench_memory(j.count * OUT * sizeof(double));
  run(&j, 0, j.count, 1);
  for (size_t i = 0; i < 5; i++) /* the first few, to be checked */
    for (int k = 0; k < OUT; k++)
      printf("%.17g%c", j.out[(size_t)k * j.count + i], k == OUT - 1 ? '\n' : ' ');
  fflush(stdout);
  bench_job jobs[] = {{"pieces", pieces, 0}, {"cached", cached, 0}};
  return bench_serve(jobs, 2, &j);
}
