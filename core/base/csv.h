/* csv.h - tables as spreadsheets write them: bytes in, cells out.
**
** Read are RFC 4180 and what is written in its name: lines end with CR LF, LF or CR, also mixed; cells are apart by tab,
** semicolon, comma or stroke, whichever cuts most lines into equally many cells; "sep=;" on the first line says it
** outright. A cell that begins with a quotation mark ends with one, and holds line ends, delimiters and doubled quotation
** marks; blanks behind it are dropped. Quotation marks further on in a cell are letters like others (1/4" bolt).
** Encodings: see encoding.h. Cells come out as UTF-8, otherwise as they were.
**
** Rows count every line of the table from 0, empty ones too, as a spreadsheet does; they may differ in width, and an
** empty line has none. Errors call the first row 1 and the first column A.
**
** Source  RFC 4180 (2005), section 2; `sep=`: common practice, no source.
*/
#ifndef SY_BASE_CSV_H
#define SY_BASE_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "alloc.h"
#include "api.h"
#include "encoding.h"
#include "status.h"

enum {
  SY_CSV_MOST_BYTES = 64 << 20,
  SY_CSV_MOST_ROWS = 1 << 20, /* what spreadsheets hold themselves */
  SY_CSV_MOST_COLUMNS = 1024,
  SY_CSV_LETTERS = 16 /* bytes that hold any result of sy_csv_letters */
};

typedef struct sy_csv sy_csv;

typedef struct sy_csv_cell {
  const char *text; /* closed by a zero; "" outside the table */
  size_t length;
} sy_csv_cell;

typedef struct sy_csv_about {
  size_t rows;
  size_t columns; /* of the widest row */
  char delimiter;
  bool stated; /* by a line "sep=" */
  sy_encoding encoding;
} sy_csv_about;

/* Read a table.
** bytes  not needed afterwards
** out    written only when SY_OK is returned; ended by sy_csv_free
**
** Errors  SY_CONTENT  a quotation mark that is never closed, letters behind a closing one, a "sep=" with another sign;
**                     what encoding.h refuses
**         SY_LIMIT    more bytes, rows or columns than above; no memory
** The part of an error is "row 7", where known "row 7, column C". */
SY_API sy_status sy_csv_read(const char *bytes, size_t size, const sy_alloc *alloc, sy_csv **out,
                             sy_error *err);

/* NULL is fine. */
SY_API void sy_csv_free(sy_csv *csv);

SY_API sy_csv_about sy_csv_describe(const sy_csv *csv);

/* Cells in a row; 0 outside the table. */
SY_API size_t sy_csv_width(const sy_csv *csv, size_t row);

/* The line of the file a row begins on, from 1; 0 outside the table. */
SY_API size_t sy_csv_line(const sy_csv *csv, size_t row);

/* A cell, valid until sy_csv_free. */
SY_API sy_csv_cell sy_csv_at(const sy_csv *csv, size_t row, size_t column);

/* "A" for column 0, "Z", "AA", ... */
SY_API void sy_csv_letters(size_t column, char letters[SY_CSV_LETTERS]);

#endif
