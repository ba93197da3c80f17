#include "base/csv.h"

#include <stdint.h>
#include <string.h>

/* Where a row begins in the list of cells, and its line in the file. The next row begins where it ends. */
typedef struct row {
  uint32_t first, line;
} row;

struct sy_csv {
  sy_alloc alloc;
  sy_csv_about about;
  char *text; /* each cell closed by a zero, where its delimiter was */
  size_t text_room;
  uint32_t *cell; /* where in `text`; 64 MiB of Windows-1252 can become 192 MiB */
  size_t cells, cell_room;
  row *row; /* one more than there are */
  size_t row_room;
};

void sy_csv_letters(size_t column, char letters[SY_CSV_LETTERS]) {
  char reversed[SY_CSV_LETTERS];
  size_t n = 0;
  for (size_t rest = column + 1; rest > 0 && n + 1 < SY_CSV_LETTERS; rest = (rest - 1) / 26)
    reversed[n++] = (char)('A' + (rest - 1) % 26);
  for (size_t i = 0; i < n; i++) letters[i] = reversed[n - 1 - i];
  letters[n] = '\0';
}

static sy_status refuse(sy_error *err, sy_status status, size_t row_index, size_t column, const char *what) {
  char letters[SY_CSV_LETTERS];
  sy_error place;
  sy_csv_letters(column, letters);
  sy_fail(&place, status, NULL, NULL, "row %zu, column %s", row_index + 1, letters);
  return sy_fail(err, status, place.message, NULL, "%s", what);
}

/* ---- cutting into cells ----------------------------------------------------------------------------------------- */

typedef enum cell_end { ENDS_CELL, ENDS_ROW, ENDS_TEXT, NEVER_CLOSED, LETTERS_BEHIND } cell_end;

typedef struct reader {
  const char *at, *end;
  char delimiter;
  size_t line;
} reader;

/* Letters that may end a cell or open a quotation, by a table: one look a letter. */
typedef struct stops {
  bool is[256];
} stops;

static stops stops_for(char delimiter) {
  stops s = {{false}};
  s.is['\n'] = s.is['\r'] = true;
  s.is[(unsigned char)delimiter] = true;
  return s;
}

/* Past the end of a line at r->at. */
static void skip_line_end(reader *r) {
  if (*r->at == '\r' && r->at + 1 < r->end && r->at[1] == '\n') r->at++;
  r->at++;
  r->line++;
}

static cell_end finish_cell(reader *r) {
  if (r->at == r->end) return ENDS_TEXT;
  if (*r->at == r->delimiter) {
    r->at++;
    return ENDS_CELL;
  }
  skip_line_end(r);
  return ENDS_ROW;
}

/* A quoted cell without its marks into `out`, which may be where it stands (NULL: only its end is wanted). */
static cell_end read_quoted(reader *r, char *out, size_t *length) {
  size_t n = 0;
  r->at++;
  for (;; r->at++) {
    if (r->at == r->end) return NEVER_CLOSED;
    const char c = *r->at;
    if (c == '"') {
      r->at++;
      if (r->at == r->end || *r->at != '"') break;
    }
    if (c == '\n' || (c == '\r' && !(r->at + 1 < r->end && r->at[1] == '\n'))) r->line++;
    if (out != NULL) out[n] = c;
    n++;
  }
  while (r->at < r->end && (*r->at == ' ' || (*r->at == '\t' && r->delimiter != '\t'))) r->at++;
  *length = n;
  if (r->at < r->end && *r->at != r->delimiter && *r->at != '\n' && *r->at != '\r') return LETTERS_BEHIND;
  return finish_cell(r);
}

/* An unquoted cell stays where it is. */
static cell_end read_cell(reader *r, const stops *s, char *out, size_t *length) {
  if (r->at < r->end && *r->at == '"') return read_quoted(r, out, length);
  const char *start = r->at;
  while (r->at < r->end && !s->is[(unsigned char)*r->at]) r->at++;
  *length = (size_t)(r->at - start);
  return finish_cell(r);
}

/* ---- which delimiter -------------------------------------------------------------------------------------------- */

/* Of equally good ones the first: a comma is often in numbers and names, a tab never. */
static const char candidates[] = "\t;|,";
enum { LINES_LOOKED_AT = 200 };

/* How many of the first lines have the width that most of them have, of the lines cut at all; up to the first whose
** quotation marks do not come out even. */
static size_t agreement(const char *text, size_t size, char delimiter) {
  reader r = {text, text + size, delimiter, 1};
  const stops s = stops_for(delimiter);
  unsigned count[SY_CSV_MOST_COLUMNS + 1] = {0};
  size_t rows = 0;
  while (rows < LINES_LOOKED_AT && r.at < r.end) {
    size_t width = 0;
    cell_end end = ENDS_CELL;
    while (end == ENDS_CELL) {
      size_t length;
      end = read_cell(&r, &s, NULL, &length);
      width++;
    }
    if (end == NEVER_CLOSED || end == LETTERS_BEHIND) break;
    if (width > 1 && width <= SY_CSV_MOST_COLUMNS) count[width]++;
    rows++;
  }
  unsigned most = 0;
  for (size_t i = 2; i <= SY_CSV_MOST_COLUMNS; i++)
    if (count[i] > most) most = count[i];
  return most;
}

static char find_delimiter(const char *text, size_t size) {
  char best = ',';
  size_t most = 0;
  for (const char *c = candidates; *c != '\0'; c++) {
    const size_t agree = agreement(text, size, *c);
    if (agree > most) {
      most = agree;
      best = *c;
    }
  }
  return best;
}

/* The length of a first line "sep=;", with the sign behind it; 0 when there is none. */
static size_t read_sep(const char *text, size_t size, char *delimiter) {
  static const char word[] = "sep=";
  const bool quoted = size > 0 && text[0] == '"';
  size_t i = quoted ? 1 : 0;
  for (const char *c = word; *c != '\0'; c++, i++) {
    if (i >= size) return 0;
    if (text[i] != *c && !(*c >= 'a' && text[i] == *c - 'a' + 'A')) return 0;
  }
  if (i >= size) return 0;
  *delimiter = text[i++];
  if (quoted && (i >= size || text[i++] != '"')) return 0;
  if (i < size && text[i] != '\n' && text[i] != '\r') return 0;
  return i;
}

/* ---- the table -------------------------------------------------------------------------------------------------- */

static sy_status no_memory(sy_error *err) {
  return sy_fail(err, SY_LIMIT, NULL, NULL, "no memory for the table");
}

/* One row of csv->text: cells stay where they are, quoted ones are rewritten there, being shorter without their marks. */
static sy_status read_row(sy_csv *csv, reader *r, const stops *s, sy_error *err) {
  const size_t index = csv->about.rows;
  if (index == SY_CSV_MOST_ROWS)
    return refuse(err, SY_LIMIT, index, 0, "is one row more than 1048576, the most a table has");
  csv->row[index].line = (uint32_t)r->line;
  csv->about.rows++;
  size_t width = 0;
  cell_end end = ENDS_CELL;
  if (*r->at == '\n' || *r->at == '\r') {
    skip_line_end(r);
    end = ENDS_ROW;
  }
  while (end == ENDS_CELL) {
    if (width == SY_CSV_MOST_COLUMNS)
      return refuse(err, SY_LIMIT, index, width, "is one column more than 1024, the most a table has");
    const size_t at = (size_t)(r->at - csv->text);
    size_t length = 0;
    end = read_cell(r, s, csv->text + at, &length);
    if (end == NEVER_CLOSED)
      return refuse(err, SY_CONTENT, index, width, "a quotation mark is opened and never closed");
    if (end == LETTERS_BEHIND)
      return refuse(err, SY_CONTENT, index, width,
                    "goes on behind its closing quotation mark; inside a cell they are doubled");
    csv->text[at + length] = '\0';
    csv->cell[csv->cells++] = (uint32_t)at;
    width++;
  }
  if (width > csv->about.columns) csv->about.columns = width;
  csv->row[index + 1].first = (uint32_t)csv->cells;
  return SY_OK;
}

/* Room for the text, and for as many cells and rows as it can have: one loop that compilers make fast costs less than
** lists that grow. */
static bool make_room(sy_csv *csv, const char *text, size_t size) {
  size_t delimiters = 0, ends = 0;
  for (size_t i = 0; i < size; i++) {
    delimiters += text[i] == csv->about.delimiter;
    ends += text[i] == '\n' || text[i] == '\r';
  }
  csv->text_room = size + 1;
  csv->text = sy_alloc_new(&csv->alloc, csv->text_room);
  csv->cell_room = delimiters + ends + 1;
  csv->cell = sy_alloc_new(&csv->alloc, csv->cell_room * sizeof *csv->cell);
  csv->row_room = ends < SY_CSV_MOST_ROWS ? ends + 2 : SY_CSV_MOST_ROWS + 1;
  csv->row = sy_alloc_new(&csv->alloc, csv->row_room * sizeof *csv->row);
  return csv->text != NULL && csv->cell != NULL && csv->row != NULL;
}

static sy_status read_table(sy_csv *csv, const char *text, size_t size, sy_error *err) {
  char delimiter = '\0';
  const size_t sep = read_sep(text, size, &delimiter);
  if (sep > 0 && strchr(candidates, delimiter) == NULL)
    return refuse(err, SY_CONTENT, 0, 0,
                  "\"sep=\" names a sign that is not a tab, semicolon, comma or stroke");
  csv->about.stated = sep > 0;
  csv->about.delimiter = sep > 0 ? delimiter : find_delimiter(text, size);
  if (!make_room(csv, text, size)) return no_memory(err);
  memcpy(csv->text, text, size);
  csv->text[size] = '\0';
  csv->row[0].first = 0;
  reader r = {csv->text + sep, csv->text + size, csv->about.delimiter, 1};
  if (sep > 0 && r.at < r.end) skip_line_end(&r);
  const stops s = stops_for(r.delimiter);
  while (r.at < r.end) {
    const sy_status status = read_row(csv, &r, &s, err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

sy_status sy_csv_read(const char *bytes, size_t size, const sy_alloc *alloc, sy_csv **out, sy_error *err) {
  if (size > SY_CSV_MOST_BYTES)
    return sy_fail(err, SY_LIMIT, NULL, NULL, "is too long, %zu bytes; 64 MiB is the most", size);
  sy_decoded decoded;
  sy_status status = sy_encoding_decode(bytes, size, alloc, &decoded, err);
  if (status != SY_OK) return status;
  sy_csv *csv = sy_alloc_new(alloc, sizeof *csv);
  if (csv == NULL) {
    sy_decoded_free(alloc, &decoded);
    return no_memory(err);
  }
  *csv = (sy_csv){.alloc = sy_alloc_or_default(alloc)};
  csv->about.encoding = decoded.encoding;
  status = read_table(csv, decoded.text, decoded.size, err);
  sy_decoded_free(alloc, &decoded);
  if (status == SY_OK)
    *out = csv;
  else
    sy_csv_free(csv);
  return status;
}

void sy_csv_free(sy_csv *csv) {
  if (csv == NULL) return;
  const sy_alloc alloc = csv->alloc;
  sy_alloc_free(&alloc, csv->text, csv->text_room);
  sy_alloc_free(&alloc, csv->cell, csv->cell_room * sizeof *csv->cell);
  sy_alloc_free(&alloc, csv->row, csv->row_room * sizeof *csv->row);
  sy_alloc_free(&alloc, csv, sizeof *csv);
}

/* ---- asking ----------------------------------------------------------------------------------------------------- */

sy_csv_about sy_csv_describe(const sy_csv *csv) { return csv->about; }

size_t sy_csv_width(const sy_csv *csv, size_t row_index) {
  return row_index < csv->about.rows ? csv->row[row_index + 1].first - csv->row[row_index].first : 0;
}

size_t sy_csv_line(const sy_csv *csv, size_t row_index) {
  return row_index < csv->about.rows ? csv->row[row_index].line : 0;
}

sy_csv_cell sy_csv_at(const sy_csv *csv, size_t row_index, size_t column) {
  if (column >= sy_csv_width(csv, row_index)) return (sy_csv_cell){"", 0};
  const char *text = csv->text + csv->cell[csv->row[row_index].first + column];
  return (sy_csv_cell){text, strlen(text)};
}
