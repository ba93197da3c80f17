/* bench_csv.c - reads the table of argument 1 as often as argument 2 says; prints the best time in seconds and the sum of
** its numbers. bench_csv.py runs it beside Python's csv module. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/csv.h"
#include "base/csv_number.h"

enum { NUMBERS_FROM = 1, MOST_BYTES = 32 << 20 };

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Cells, decimal mark and all numbers, as one use of a parts list needs them. */
static int take(const char *bytes, size_t size, double *sum) {
  const sy_alloc alloc = sy_alloc_default();
  sy_csv *csv;
  sy_error err;
  char mark;
  if (sy_csv_read(bytes, size, &alloc, &csv, &err) != SY_OK) return -1;
  const sy_csv_about about = sy_csv_describe(csv);
  sy_csv_marks marks = sy_csv_marks_none();
  for (size_t column = NUMBERS_FROM; column < about.columns; column++)
    sy_csv_look_for_marks(csv, column, 1, &marks);
  int bad = sy_csv_decide_mark(csv, &marks, &mark, &err) != SY_OK;
  *sum = 0;
  for (size_t row = 1; row < about.rows && !bad; row++)
    for (size_t column = NUMBERS_FROM; column < about.columns; column++) {
      double x;
      if (sy_csv_number(sy_csv_at(csv, row, column), mark, &x) != SY_CSV_NUMBER) bad = 1;
      if (!bad) *sum += x;
    }
  sy_csv_free(csv);
  return bad ? -1 : 0;
}

int main(int argc, char **argv) {
  static char bytes[MOST_BYTES];
  FILE *file = argc == 3 ? fopen(argv[1], "rb") : NULL;
  if (file == NULL) return 1;
  const size_t size = fread(bytes, 1, MOST_BYTES, file);
  fclose(file);
  double best = 1e9, sum = 0;
  for (int i = atoi(argv[2]); i > 0; i--) {
    const double start = now();
    if (take(bytes, size, &sum) != 0) return 1;
    const double time = now() - start;
    if (time < best) best = time;
  }
  printf("%.6f %.17g\n", best, sum);
  return 0;
}
