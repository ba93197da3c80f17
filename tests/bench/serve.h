/* serve.h - timed jobs on request: a line with a job's name comes in, seconds per item go out.
**
** The other side (rounds.py) asks for one job after the other and times its own in between, so that both meet the same
** machine. A job repeats its work until a round takes some milliseconds.
*/
#ifndef SY_BENCH_SERVE_H
#define SY_BENCH_SERVE_H

#define _DEFAULT_SOURCE /* madvise; so include this header first */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <time.h>

typedef struct bench_job {
  const char *name;
  void (*run)(void *user, size_t items); /* does the work `items` times */
  size_t items;                          /* a round; found at the first request */
} bench_job;

static inline double bench_now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static inline double bench_time(const bench_job *job, void *user) {
  const double begin = bench_now();
  job->run(user, job->items);
  return bench_now() - begin;
}

/* Until the input ends. Returns the program's exit code. */
static inline int bench_serve(bench_job *jobs, size_t count, void *user) {
  const double round = 5e-3; /* s: far above the clock's grain, far below what a reader waits for */
  char line[64];
  while (fgets(line, sizeof line, stdin) != NULL) {
    line[strcspn(line, "\n")] = 0;
    bench_job *job = NULL;
    for (size_t i = 0; i < count; i++)
      if (strcmp(jobs[i].name, line) == 0) job = &jobs[i];
    if (job == NULL) {
      fprintf(stderr, "no job %s\n", line);
      return 1;
    }
    if (job->items == 0)
      for (job->items = 1; bench_time(job, user) < round; job->items *= 2) {
      }
    printf("%.9e\n", bench_time(job, user) / (double)job->items);
    fflush(stdout);
  }
  return 0;
}

/* Memory as NumPy takes it: large blocks in huge pages, where the system has them. */
static inline void *bench_memory(size_t bytes) {
  const size_t page = (size_t)1 << 21;
  void *block = bytes < page ? malloc(bytes) : aligned_alloc(page, (bytes + page - 1) / page * page);
  if (block == NULL) exit(1);
#ifdef MADV_HUGEPAGE
  if (bytes >= page) (void)madvise(block, bytes, MADV_HUGEPAGE);
#endif
  return block;
}

/* Doubles from a file, the whole of it; stops the program when that fails. */
static inline double *bench_read(const char *path, size_t *count) {
  FILE *file = fopen(path, "rb");
  if (file == NULL || fseek(file, 0, SEEK_END) != 0) {
    perror(path);
    exit(1);
  }
  const long bytes = ftell(file);
  rewind(file);
  *count = (size_t)bytes / sizeof(double);
  double *data = bench_memory((size_t)bytes);
  if (fread(data, sizeof *data, *count, file) != *count) {
    perror(path);
    exit(1);
  }
  fclose(file);
  return data;
}

#endif
