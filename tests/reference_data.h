/* reference_data.h - read the published tables in tests/reference: comment lines with #, one line of headings, numbers.
**
** The programs run from the top of the tree. Files are ours, so a malformed one is a failure, not an error to report.
*/
#ifndef SY_TESTS_REFERENCE_DATA_H
#define SY_TESTS_REFERENCE_DATA_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "near.h"

enum { TABLE_ROWS = 64, TABLE_COLUMNS = 16, TABLE_CERTIFIED = 8 };

typedef struct table {
  size_t rows, columns;
  double cell[TABLE_ROWS][TABLE_COLUMNS]; /* NaN where a cell is empty or no number */
  size_t certified;                       /* lines "# certified B0 estimate E stddev S" */
  double estimate[TABLE_CERTIFIED], stddev[TABLE_CERTIFIED];
  double residual_stddev; /* "# certified residual_stddev S" */
} table;

static inline void table_comment(table *t, const char *line) {
  double a, b;
  int k;
  if (sscanf(line, "# certified B%d estimate %lf stddev %lf", &k, &a, &b) == 3) {
    assert_int_equal(k, t->certified);
    t->estimate[t->certified] = a;
    t->stddev[t->certified++] = b;
  }
  if (sscanf(line, "# certified residual_stddev %lf", &a) == 1) t->residual_stddev = a;
}

static inline void table_row(table *t, const char *line) {
  size_t column = 0;
  for (const char *p = line; p != NULL; p = strchr(p, ',')) {
    if (column > 0) p++;
    char *end;
    const double value = strtod(p, &end);
    t->cell[t->rows][column++] = end == p ? (double)NAN : value;
  }
  assert_int_equal(column, t->columns);
  t->rows++;
}

static inline table table_read(const char *path) {
  table t;
  memset(&t, 0, sizeof t);
  FILE *f = fopen(path, "r");
  if (f == NULL) print_error("%s: not found from here; run from the top of the tree\n", path);
  assert_non_null(f);
  char line[512];
  while (fgets(line, sizeof line, f) != NULL) {
    line[strcspn(line, "\r\n")] = '\0';
    if (line[0] == '#') {
      table_comment(&t, line);
    } else if (t.columns == 0) {
      t.columns = 1;
      for (const char *p = strchr(line, ','); p != NULL; p = strchr(p + 1, ',')) t.columns++;
    } else if (line[0] != '\0') {
      table_row(&t, line);
    }
  }
  fclose(f);
  assert_true(t.rows > 0);
  return t;
}

#endif
