/* fuzz_csv.c - any bytes as a table: cells lie inside it, lines count up, and what a cell shows of its decimal mark fits
** what the cell is read as. */
#include <stdint.h>
#include <stdlib.h>

#include "base/csv.h"
#include "base/csv_number.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int holds) {
  if (!holds) abort();
}

static void use_cells(const sy_csv *csv) {
  const sy_csv_about about = sy_csv_describe(csv);
  sy_csv_marks marks = sy_csv_marks_none();
  size_t line = 0;
  for (size_t row = 0; row < about.rows; row++) {
    require(sy_csv_width(csv, row) <= about.columns && sy_csv_line(csv, row) > line);
    line = sy_csv_line(csv, row);
    for (size_t column = 0; column < sy_csv_width(csv, row); column++) {
      const sy_csv_cell cell = sy_csv_at(csv, row, column);
      unsigned sum = 0;
      for (size_t i = 0; i < cell.length; i++)
        sum += (unsigned char)cell.text[i]; /* an address checker looks on */
      require(cell.length == 0 || sum > 0); /* no zero bytes come out */
      double x, y;
      const sy_csv_kind point = sy_csv_number(cell, '.', &x), comma = sy_csv_number(cell, ',', &y);
      require(point != SY_CSV_NUMBER || x - x == 0);
      require((point == SY_CSV_BLANK) == (comma == SY_CSV_BLANK));
      /* a cell that shows its mark is a number with that one, once the unit behind it is off */
      const sy_csv_mark mark = sy_csv_mark_of(cell);
      const sy_csv_cell bare = sy_csv_without_unit(cell);
      require(bare.length <= cell.length);
      const sy_csv_kind with_point = sy_csv_number(bare, '.', &x), with_comma = sy_csv_number(bare, ',', &y);
      require(mark != SY_CSV_MARK_EITHER || (with_point == SY_CSV_NUMBER && with_comma == SY_CSV_NUMBER));
      require(mark != SY_CSV_MARK_POINT || with_comma == SY_CSV_TEXT);
      require(mark != SY_CSV_MARK_COMMA || with_point == SY_CSV_TEXT);
    }
  }
  for (size_t column = 0; column < about.columns; column++) sy_csv_look_for_marks(csv, column, 0, &marks);
  char mark;
  sy_error err;
  (void)sy_csv_decide_mark(csv, &marks, &mark, &err);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  const sy_alloc alloc = sy_alloc_default();
  sy_csv *csv;
  sy_error err;
  if (sy_csv_read((const char *)data, size, &alloc, &csv, &err) != SY_OK) return 0;
  use_cells(csv);
  sy_csv_free(csv);
  return 0;
}
