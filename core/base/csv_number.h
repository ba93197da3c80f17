/* csv_number.h - numbers in the cells of a table, where nobody says whether "1,234" is one or a thousand.
**
** A cell is a number of digits with at most one decimal mark, a sign and a power of ten (1.5E-3) around them, and
** thousands apart by spaces (blank, no-break, narrow no-break, thin), apostrophes, or by the mark that is not the decimal
** one; groups behind the first have three digits. Which of comma and point is the decimal mark is decided once for a
** table, from all its numbers:
**   1,5  0,125  1234,567  1.234,5  1.234.567   show a decimal comma      (and the same the other way round)
**   1,234                                      could be either: other cells must show
** Source  thousands: ISO 80000-1:2022, 7.3 (spaces); points, commas and apostrophes: common practice, no source.
*/
#ifndef SY_BASE_CSV_NUMBER_H
#define SY_BASE_CSV_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

#include "api.h"
#include "csv.h"

typedef enum sy_csv_kind {
  SY_CSV_BLANK,      /* nothing but spaces */
  SY_CSV_NUMBER,     /* a number */
  SY_CSV_TEXT,       /* anything else */
  SY_CSV_ERROR_VALUE /* what a spreadsheet writes for a formula without result: #DIV/0!, #WERT!, #N/A, Err:502 */
} sy_csv_kind;

/* What a cell says about the decimal mark. */
typedef enum sy_csv_mark {
  SY_CSV_MARK_NONE,  /* no number, or a number without marks */
  SY_CSV_MARK_POINT, /* the point is the decimal mark */
  SY_CSV_MARK_COMMA, /* the comma is */
  SY_CSV_MARK_EITHER /* 1,234 or 1.234 */
} sy_csv_mark;

/* `cell` as a number with the decimal mark `mark` ('.' or ','); `out` is written for SY_CSV_NUMBER only. */
SY_API sy_csv_kind sy_csv_number(sy_csv_cell cell, char mark, double *out);

/* The cell without blanks around it and without letters, " or % at its end: 62,5 of "62,5 kg". */
SY_API sy_csv_cell sy_csv_without_unit(sy_csv_cell cell);

/* What a cell shows of its decimal mark; a unit behind the number is passed over, though sy_csv_number reads none. */
SY_API sy_csv_mark sy_csv_mark_of(sy_csv_cell cell);

/* Where marks were first seen; row SIZE_MAX: nowhere. */
typedef struct sy_csv_place {
  size_t row, column;
} sy_csv_place;

typedef struct sy_csv_marks {
  sy_csv_place point, comma, either;
} sy_csv_marks;

SY_API sy_csv_marks sy_csv_marks_none(void);

/* Look through the rows from `first_row` on of one column, row by row. Call it for each column of numbers. */
SY_API void sy_csv_look_for_marks(const sy_csv *csv, size_t column, size_t first_row, sy_csv_marks *marks);

/* The decimal mark of a table. A table whose numbers have none may have any; a point is reported.
**
** Errors  SY_CLASH    one cell shows a point and another a comma; both are named
**         SY_CONTENT  cells such as 1,234 and none that shows which it is */
SY_API sy_status sy_csv_decide_mark(const sy_csv *csv, const sy_csv_marks *marks, char *mark, sy_error *err);

#endif
