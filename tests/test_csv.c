/* Tables as spreadsheets write them: encodings, cells, delimiters, decimal marks. Random tables are compared with Python's
** csv module in reference/oracle_csv.py. */
#include "base/csv.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv_number.h"
#include "base/encoding.h"
#include "near.h"

static sy_csv *read_bytes(const char *bytes, size_t size) {
  const sy_alloc alloc = sy_alloc_default();
  sy_csv *csv = NULL;
  sy_error err;
  char *exact = malloc(size + 1); /* given back at once: the table must not need it */
  assert_non_null(exact);
  memcpy(exact, bytes, size);
  const sy_status status = sy_csv_read(exact, size, &alloc, &csv, &err);
  free(exact);
  if (status != SY_OK) print_error("%s: %s\n", err.part, err.message);
  assert_int_equal(status, SY_OK);
  return csv;
}

static sy_csv *read_text(const char *text) { return read_bytes(text, strlen(text)); }

static void assert_cell(const sy_csv *csv, size_t row, size_t column, const char *want) {
  const sy_csv_cell cell = sy_csv_at(csv, row, column);
  char got[300];
  assert_true(cell.length < sizeof got);
  memcpy(got, cell.text, cell.length);
  got[cell.length] = '\0';
  assert_string_equal(got, want);
}

static void assert_refused(const char *bytes, size_t size, sy_status status, const char *part,
                           const char *piece) {
  const sy_alloc alloc = sy_alloc_default();
  sy_csv *csv = (sy_csv *)(uintptr_t)1; /* must stay as it is */
  sy_error err;
  assert_int_equal(sy_csv_read(bytes, size, &alloc, &csv, &err), status);
  assert_true(csv == (sy_csv *)(uintptr_t)1);
  assert_string_equal(err.part, part);
  if (strstr(err.message, piece) == NULL) fail_msg("\"%s\" does not contain \"%s\"", err.message, piece);
}

/* ---- cells ------------------------------------------------------------------------------------------------------ */

/* Source: RFC 4180, section 2, the examples of items 1, 5, 6 and 7 */
static void read_of_the_standards_examples_gives_their_fields(void **state) {
  (void)state;
  sy_csv *csv = read_text("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n"
                          "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n\"aaa\",\"b\"\"bb\",\"ccc\"");
  assert_int_equal(sy_csv_describe(csv).rows, 7);
  assert_int_equal(sy_csv_describe(csv).columns, 3);
  assert_cell(csv, 0, 2, "ccc");
  assert_cell(csv, 2, 0, "aaa");
  assert_cell(csv, 4, 1, "b\r\nbb");
  assert_cell(csv, 6, 1, "b\"bb");
  assert_int_equal(sy_csv_line(csv, 4), 5);
  assert_int_equal(sy_csv_line(csv, 5), 7); /* the row before it has two lines */
  sy_csv_free(csv);
}

static void read_of_mixed_line_ends_counts_rows_and_lines(void **state) {
  (void)state;
  sy_csv *csv = read_text("a;1\rb;2\r\nc;3\n\n\"d\re\";4\r\r\nf;5");
  assert_int_equal(sy_csv_describe(csv).rows, 7);
  assert_cell(csv, 1, 0, "b");
  assert_int_equal(sy_csv_width(csv, 3), 0);
  assert_cell(csv, 4, 0, "d\re");
  assert_int_equal(sy_csv_line(csv, 4), 5);
  assert_int_equal(sy_csv_width(csv, 5), 0);
  assert_cell(csv, 6, 1, "5");
  assert_int_equal(sy_csv_line(csv, 6), 8);
  sy_csv_free(csv);
}

static void read_keeps_ragged_rows_and_quotation_marks_inside(void **state) {
  (void)state;
  sy_csv *csv = read_text("name,mass,note\nbolt 1/4\" UNC,0.1\nnut,0.2,,extra\n\"q\" \t ,3,4\nlast,5,");
  assert_cell(csv, 1, 0, "bolt 1/4\" UNC");
  assert_int_equal(sy_csv_width(csv, 1), 2);
  assert_int_equal(sy_csv_width(csv, 2), 4);
  assert_cell(csv, 3, 0, "q");
  assert_int_equal(sy_csv_width(csv, 4), 3);
  assert_cell(csv, 4, 2, "");
  assert_cell(csv, 99, 0, ""); /* outside */
  assert_int_equal(sy_csv_width(csv, 99), 0);
  assert_int_equal(sy_csv_line(csv, 99), 0);
  assert_int_equal(sy_csv_describe(csv).columns, 4);
  sy_csv_free(csv);
}

static void read_of_nothing_is_a_table_without_rows(void **state) {
  (void)state;
  static const char *const nothing[] = {"", "\xEF\xBB\xBF", "\xFF\xFE"};
  for (size_t i = 0; i < 3; i++) {
    sy_csv *csv = read_text(nothing[i]);
    assert_int_equal(sy_csv_describe(csv).rows, 0);
    sy_csv_free(csv);
  }
}

static void letters_are_those_of_a_spreadsheet(void **state) {
  (void)state;
  static const struct {
    size_t column;
    const char *want;
  } cases[] = {{0, "A"}, {25, "Z"}, {26, "AA"}, {701, "ZZ"}, {702, "AAA"}, {1023, "AMJ"}, {16383, "XFD"}};
  /* AMJ and XFD are the last columns of spreadsheets with 1024 and 16384 columns (common practice, no source) */
  char letters[SY_CSV_LETTERS];
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_csv_letters(cases[i].column, letters);
    assert_string_equal(letters, cases[i].want);
  }
  sy_csv_letters(SIZE_MAX - 1, letters);
  assert_true(strlen(letters) < SY_CSV_LETTERS);
}

/* ---- delimiters ------------------------------------------------------------------------------------------------- */

static void read_finds_the_delimiter(void **state) {
  (void)state;
  static const struct {
    const char *text;
    char delimiter;
  } cases[] = {
      {"name,mass\nengine,96.2\n", ','},
      {"name;mass\nengine;96,2\nbox, wet;12,5\n", ';'},
      {"name\tmass\nengine\t96,2\nbox, wet; dry\t12,5\n", '\t'},
      {"name|mass, kg|x; mm\nengine|96|5\n", '|'},
      {"name;mass, kg;x, mm\nengine;96,2;5,0\n", ';'}, /* both cut every line into three */
      {"Parts of the car, all of them\n\nname;mass\nengine;96,2\nseat;4,1\n", ';'},
      {"name,note\n\"a;b\",\"c;d\"\n\"e;f\",\"g;h\"\n", ','}, /* quoted: not cut */
      {"name,note\n\"a\n;b;\n;\",\"c\"\n", ','},
      {"one\ntwo\n", ','}, /* nothing to cut */
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_csv *csv = read_text(cases[i].text);
    if (sy_csv_describe(csv).delimiter != cases[i].delimiter)
      fail_msg("case %zu: %c", i, sy_csv_describe(csv).delimiter);
    assert_false(sy_csv_describe(csv).stated);
    sy_csv_free(csv);
  }
}

static void read_takes_the_delimiter_that_a_first_line_states(void **state) {
  (void)state;
  static const char *const texts[] = {"sep=|\na,b|c,d\ne,f|g,h", "SEP=|\r\na,b|c,d\r\n", "\"sep=|\"\ra,b|c,d",
                                      "\xEF\xBB\xBFsep=|\na,b|c,d"};
  for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
    sy_csv *csv = read_text(texts[i]);
    assert_true(sy_csv_describe(csv).stated);
    assert_cell(csv, 0, 1, "c,d");            /* the line itself is not a row, as in a spreadsheet ... */
    assert_int_equal(sy_csv_line(csv, 0), 2); /* ... but a line of the file */
    sy_csv_free(csv);
  }
  sy_csv *csv = read_text("sep=;");
  assert_int_equal(sy_csv_describe(csv).rows, 0);
  sy_csv_free(csv);
  csv = read_text("separate,mass\nsep=;,1\n"); /* a cell like any other */
  assert_cell(csv, 1, 0, "sep=;");
  sy_csv_free(csv);
}

/* ---- encodings -------------------------------------------------------------------------------------------------- */

/* "Kühler;1\n€" in each; letters by The Unicode Standard: U+00FC, U+20AC; Windows-1252 FC, 80 (cp1252.txt) */
static void read_gives_the_same_cells_in_every_encoding(void **state) {
  (void)state;
  static const struct {
    const char *bytes;
    size_t size;
    sy_encoding encoding;
  } cases[] = {
      {"K\xC3\xBChler;1\n\xE2\x82\xAC;2", 15, SY_ENCODING_UTF8},
      {"\xEF\xBB\xBFK\xC3\xBChler;1\n\xE2\x82\xAC;2", 18, SY_ENCODING_UTF8},
      {"K\xFChler;1\n\x80;2", 12, SY_ENCODING_WINDOWS_1252},
      {"\xFF\xFEK\0\xFC\0h\0l\0e\0r\0;\0001\0\n\0\xAC\x20;\0002\0", 26, SY_ENCODING_UTF16_LE},
      {"\xFE\xFF\0K\0\xFC\0h\0l\0e\0r\0;\0001\0\n\x20\xAC\0;\0002", 26, SY_ENCODING_UTF16_BE},
      {"K\0\xFC\0h\0l\0e\0r\0;\0001\0\n\0\xAC\x20;\0002\0", 24, SY_ENCODING_UTF16_LE},
      {"\0K\0\xFC\0h\0l\0e\0r\0;\0001\0\n\x20\xAC\0;\0002", 24, SY_ENCODING_UTF16_BE},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_csv *csv = read_bytes(cases[i].bytes, cases[i].size);
    if (sy_csv_describe(csv).encoding != cases[i].encoding) fail_msg("case %zu", i);
    assert_cell(csv, 0, 0, "K\xC3\xBChler");
    assert_cell(csv, 1, 0, "\xE2\x82\xAC");
    assert_cell(csv, 1, 1, "2");
    sy_csv_free(csv);
  }
}

/* U+1F697 is D83D DE97 in UTF-16 and F0 9F 9A 97 in UTF-8 (The Unicode Standard, tables 3-5 and 3-6) */
static void read_joins_the_halves_of_a_letter_in_utf16(void **state) {
  (void)state;
  sy_csv *csv = read_bytes("\xFF\xFE\x3D\xD8\x97\xDE,\0b\0", 10);
  assert_cell(csv, 0, 0, "\xF0\x9F\x9A\x97");
  assert_cell(csv, 0, 1, "b");
  sy_csv_free(csv);
}

static void read_refuses_what_is_no_text_and_says_where(void **state) {
  (void)state;
  static const struct {
    const char *bytes;
    size_t size;
    const char *part, *piece;
  } cases[] = {
      {"a,b\nc,\0d\n", 9, "line 2", "zero byte"},
      {"\xEF\xBB\xBF\0\0a", 6, "line 1", "zero byte"},
      {"a\r\nb\rc\n\x81,\xE9", 10, "line 4", "0x81"},
      {"\xEF\xBB\xBF"
       "a,b\nK\xFChler",
       13, "line 2", "0xFC is not UTF-8, which the file says it is"},
      {"\xC3\xBC\xC3\xBC\n\xC3\xBC\xFC", 8, "line 2", "as most of the file is"},
      {"\xFF\xFE"
       "a\0b",
       5, "line 1", "half a letter at the end"},
      {"\xFF\xFE"
       "a\0\n\0\x3D\xD8"
       "b\0",
       10, "line 2", "half a letter"},
      {"\xFF\xFE"
       "a\0\r\0\n\0\x97\xDE"
       "b\0",
       12, "line 2", "half a letter"},
      {"\xFE\xFF\0a\0\0", 6, "line 1", "zero letter"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
    assert_refused(cases[i].bytes, cases[i].size, SY_CONTENT, cases[i].part, cases[i].piece);
}

/* ---- refusals --------------------------------------------------------------------------------------------------- */

static void read_refuses_broken_tables_by_row_and_column(void **state) {
  (void)state;
  const char *open = "name,mass\nengine,1\n\nseat,\"4\nx,2\n";
  assert_refused(open, strlen(open), SY_CONTENT, "row 4, column B", "never closed");
  const char *behind = "name,mass\n\"1/4\" bolt\",1\n";
  assert_refused(behind, strlen(behind), SY_CONTENT, "row 2, column A", "behind its closing quotation mark");
  assert_refused("sep=x\naxb", 9, SY_CONTENT, "row 1, column A", "not a tab, semicolon, comma or stroke");
}

static void read_refuses_more_than_its_limits(void **state) {
  (void)state;
  /* the size is looked at before the bytes */
  assert_refused("a", (size_t)SY_CSV_MOST_BYTES + 1, SY_LIMIT, "", "67108865 bytes");
  const size_t rows = (size_t)SY_CSV_MOST_ROWS + 1;
  char *lines = malloc(rows);
  assert_non_null(lines);
  memset(lines, '\n', rows);
  assert_refused(lines, rows, SY_LIMIT, "row 1048577, column A", "most a table has");
  memset(lines, ',', SY_CSV_MOST_COLUMNS);
  assert_refused(lines, SY_CSV_MOST_COLUMNS, SY_LIMIT, "row 1, column AMK", "most a table has");
  sy_csv *csv = read_bytes(lines, SY_CSV_MOST_COLUMNS - 1); /* as many as there may be */
  assert_int_equal(sy_csv_width(csv, 0), SY_CSV_MOST_COLUMNS);
  sy_csv_free(csv);
  free(lines);
}

/* ---- memory ----------------------------------------------------------------------------------------------------- */

typedef struct tight {
  size_t until_refusal, live;
  bool refused;
} tight;

static void *tight_resize(void *user, void *old, size_t old_size, size_t new_size) {
  tight *t = user;
  if (new_size == 0) {
    t->live -= old_size;
    free(old);
    return NULL;
  }
  if (t->until_refusal == 0) {
    t->refused = true;
    return NULL;
  }
  t->until_refusal--;
  void *block = realloc(old, new_size);
  assert_non_null(block);
  t->live += new_size - old_size;
  return block;
}

static void read_without_memory_leaves_nothing_behind(void **state) {
  (void)state;
  char text[6000]; /* Windows-1252, so that decoding needs memory too */
  size_t n = 0;
  while (n + 8 < sizeof text) {
    memcpy(text + n, "\xFC;b;c\n", 6);
    n += 6;
  }
  bool done = false;
  size_t requests = 0;
  while (!done) {
    tight t = {requests++, 0, false};
    const sy_alloc alloc = {tight_resize, &t};
    sy_csv *csv = NULL;
    sy_error err;
    const sy_status status = sy_csv_read(text, n, &alloc, &csv, &err);
    if (status == SY_OK) {
      assert_false(t.refused);
      assert_int_equal(sy_csv_describe(csv).rows, n / 6);
      sy_csv_free(csv);
      done = true;
    } else {
      assert_int_equal(status, SY_LIMIT);
      assert_true(t.refused);
      assert_null(csv);
    }
    assert_int_equal(t.live, 0);
  }
  assert_int_equal(requests, 6); /* decoding, the table, its text, cells and rows were each refused once */
}

static void free_of_nothing_does_nothing(void **state) {
  (void)state;
  sy_csv_free(NULL);
  assert_int_equal(strcmp(sy_encoding_name((sy_encoding)99), "none"), 0);
}

/* ---- numbers ---------------------------------------------------------------------------------------------------- */

static sy_csv_cell cell_of(const char *text) { return (sy_csv_cell){text, strlen(text)}; }

/* What each form means is said in csv_number.h (ISO 80000-1 for spaces, common practice for the rest); the values are the
** decimal literals of C. */
static void number_of_every_form_gives_its_value(void **state) {
  (void)state;
  static const struct {
    const char *text;
    char mark;
    double want;
  } cases[] = {
      {"27.4", '.', 27.4},
      {"27,4", ',', 27.4},
      {" -0,125 ", ',', -0.125},
      {"+3", '.', 3},
      {".5", '.', .5},
      {"12.", '.', 12},
      {"1,234", '.', 1234},
      {"1,234", ',', 1.234},
      {"1.234", ',', 1234},
      {"1.234", '.', 1.234},
      {"1,234.5", '.', 1234.5},
      {"1.234,5", ',', 1234.5},
      {"12.345.678,25", ',', 12345678.25},
      {"1,234,567", '.', 1234567},
      {"1 234,5", ',', 1234.5},
      {"1\xC2\xA0"
       "234.5",
       '.', 1234.5},
      {"12\xE2\x80\xAF"
       "345\xE2\x80\xAF"
       "678",
       '.', 12345678},
      {"1\xE2\x80\x89"
       "234",
       '.', 1234},
      {"1'234.5", '.', 1234.5},
      {"1\xE2\x80\x99"
       "234,5",
       ',', 1234.5},
      {"\xE2\x88\x92"
       "12,5",
       ',', -12.5},
      {"\xC2\xA0\t7\xE2\x80\xAF\n", '.', 7},
      {"1.5E-3", '.', 1.5e-3},
      {"1,5e+03", ',', 1.5e3},
      {"2E3", ',', 2e3},
      {"0.1000000000000000055511151231257827", '.', 0.1},
      {"-9007199254740993.5", '.', -9007199254740993.5},
      {"123456789012345678", '.', 123456789012345678.},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    double got = (double)NAN;
    if (sy_csv_number(cell_of(cases[i].text), cases[i].mark, &got) != SY_CSV_NUMBER)
      fail_msg("%s", cases[i].text);
    assert_near(got, cases[i].want, 0); /* the nearest double, as the compiler's */
  }
}

static void number_of_anything_else_says_what_it_is(void **state) {
  (void)state;
  static const struct {
    const char *text;
    char mark;
    sy_csv_kind want;
  } cases[] = {
      {"", '.', SY_CSV_BLANK},
      {" \xC2\xA0\t", '.', SY_CSV_BLANK},
      {"27,4", '.', SY_CSV_TEXT}, /* the other mark, and no thousands */
      {"27.4", ',', SY_CSV_TEXT},
      {"1.234.567", '.', SY_CSV_TEXT},
      {"1,234.5", ',', SY_CSV_TEXT},
      {"1,23,456", '.', SY_CSV_TEXT},
      {"1,2345,678", '.', SY_CSV_TEXT},
      {"1234,567", '.', SY_CSV_TEXT},
      {"0,123", '.', SY_CSV_TEXT},
      {"0 123", '.', SY_CSV_TEXT},
      {"1 23", '.', SY_CSV_TEXT},
      {"1 234'567", '.', SY_CSV_TEXT},
      {"12 kg", '.', SY_CSV_TEXT},
      {"ca. 5", '.', SY_CSV_TEXT},
      {"1e", '.', SY_CSV_TEXT},
      {"1e+", '.', SY_CSV_TEXT},
      {"1e5x", '.', SY_CSV_TEXT},
      {"e5", '.', SY_CSV_TEXT},
      {"-", '.', SY_CSV_TEXT},
      {"--5", '.', SY_CSV_TEXT},
      {".", '.', SY_CSV_TEXT},
      {"1,,2", '.', SY_CSV_TEXT},
      {"01.05.2024", ',', SY_CSV_TEXT}, /* dates */
      {"2024-05-01", '.', SY_CSV_TEXT},
      {"5/1/24", '.', SY_CSV_TEXT},
      {"0x10", '.', SY_CSV_TEXT},
      {"nan", '.', SY_CSV_TEXT},
      {"inf", '.', SY_CSV_TEXT},
      {"1e999", '.', SY_CSV_TEXT}, /* beyond any double */
      {"#1", '.', SY_CSV_TEXT},
      {"#", '.', SY_CSV_TEXT},
      {"#no number", '.', SY_CSV_TEXT},
      /* as spreadsheets write them in English, German, French, Spanish, Italian (common practice, no source) */
      {"#DIV/0!", '.', SY_CSV_ERROR_VALUE},
      {"#REF!", '.', SY_CSV_ERROR_VALUE},
      {"#NAME?", '.', SY_CSV_ERROR_VALUE},
      {"#VALUE!", '.', SY_CSV_ERROR_VALUE},
      {"#N/A", '.', SY_CSV_ERROR_VALUE},
      {"#WERT!", ',', SY_CSV_ERROR_VALUE},
      {"#BEZUG!", ',', SY_CSV_ERROR_VALUE},
      {"#NV", ',', SY_CSV_ERROR_VALUE},
      {"#NOM?", ',', SY_CSV_ERROR_VALUE},
      {"#\xC2\xA1VALOR!", ',', SY_CSV_ERROR_VALUE},
      {"#N/D", ',', SY_CSV_ERROR_VALUE},
      {"#DIV/0\xC2\xA0!", ',', SY_CSV_ERROR_VALUE},
      {"#DIV/0 !", ',', SY_CSV_ERROR_VALUE},
      {"# 1 !", ',', SY_CSV_TEXT},
      {"Err:502", '.', SY_CSV_ERROR_VALUE},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    double got = 123.25;
    const sy_csv_kind kind = sy_csv_number(cell_of(cases[i].text), cases[i].mark, &got);
    if (kind != cases[i].want) fail_msg("\"%s\": kind %d", cases[i].text, (int)kind);
    assert_near(got, 123.25, 0); /* untouched */
  }
}

static void number_of_an_endless_cell_is_text(void **state) {
  (void)state;
  char digits[2000];
  memset(digits, '7', sizeof digits);
  double got;
  assert_int_equal(sy_csv_number((sy_csv_cell){digits, 2000}, '.', &got), SY_CSV_TEXT);
  assert_int_equal(sy_csv_number((sy_csv_cell){digits, 300}, '.', &got), SY_CSV_NUMBER);
  assert_near(got / 7.777777777777777e299, 1, 4 * DBL_EPSILON); /* cut after 16 digits: 2 units of the last */
}

static void mark_of_a_cell_says_only_what_it_shows(void **state) {
  (void)state;
  static const struct {
    const char *text;
    sy_csv_mark want;
  } cases[] = {
      {"12", SY_CSV_MARK_NONE},         {"1 234", SY_CSV_MARK_NONE},      {"text, more.", SY_CSV_MARK_NONE},
      {"01.05.2024", SY_CSV_MARK_NONE}, {"27.4", SY_CSV_MARK_POINT},      {"27,4", SY_CSV_MARK_COMMA},
      {"1,234", SY_CSV_MARK_EITHER},    {"1.234", SY_CSV_MARK_EITHER},    {"-12,345", SY_CSV_MARK_EITHER},
      {"0,234", SY_CSV_MARK_COMMA},     {",234", SY_CSV_MARK_COMMA},      {"1234,567", SY_CSV_MARK_COMMA},
      {"1.234,567", SY_CSV_MARK_COMMA}, {"1,234.567", SY_CSV_MARK_POINT}, {"1.234.567", SY_CSV_MARK_COMMA},
      {"1,234,567", SY_CSV_MARK_POINT}, {"1 234,567", SY_CSV_MARK_COMMA}, {"1'234.567", SY_CSV_MARK_POINT},
      {"1,234E3", SY_CSV_MARK_COMMA},   {"1,2345", SY_CSV_MARK_COMMA},    {"62,5 kg", SY_CSV_MARK_COMMA},
      {"62.5kg", SY_CSV_MARK_POINT},    {"1,234 kg", SY_CSV_MARK_EITHER}, {"1,5 \"", SY_CSV_MARK_COMMA},
      {"12,5 %", SY_CSV_MARK_COMMA},    {"kg", SY_CSV_MARK_NONE},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
    if (sy_csv_mark_of(cell_of(cases[i].text)) != cases[i].want) fail_msg("%s", cases[i].text);
}

static sy_status decide(const char *text, char *mark, sy_error *err) {
  sy_csv *csv = read_text(text);
  sy_csv_marks marks = sy_csv_marks_none();
  sy_csv_look_for_marks(csv, 1, 1, &marks);
  sy_csv_look_for_marks(csv, 2, 1, &marks);
  const sy_status status = sy_csv_decide_mark(csv, &marks, mark, err);
  sy_csv_free(csv);
  return status;
}

static void decide_mark_takes_the_whole_table(void **state) {
  (void)state;
  sy_error err;
  char mark = '?';
  assert_int_equal(decide("n;m;x\na;1,234;5\nb;2;-7,5\nc;1,234;8", &mark, &err), SY_OK);
  assert_int_equal(mark, ',');
  assert_int_equal(decide("n;m;x\na;1,234;5\nb;2;-7.5", &mark, &err), SY_OK);
  assert_int_equal(mark, '.');
  assert_int_equal(decide("n;m;x\na;1;5\nb;2;7", &mark, &err), SY_OK);
  assert_int_equal(mark, '.');                                      /* none needs one */
  assert_int_equal(decide("n;1,5;x\na;1.5;5", &mark, &err), SY_OK); /* from row 2 on */
  assert_int_equal(mark, '.');
}

static void decide_mark_shows_the_two_cells_that_contradict(void **state) {
  (void)state;
  sy_error err;
  char mark = '?';
  assert_int_equal(decide("n;m;x\na;12;96,2\nb;1.5;7\nc;2.5;7,25", &mark, &err), SY_CLASH);
  assert_string_equal(err.message,
                      "decimal point and decimal comma in one table: row 3, column B: \"1.5\"; row 2, "
                      "column C: \"96,2\"");
  assert_int_equal(mark, '?');
}

static void decide_mark_refuses_what_no_cell_shows(void **state) {
  (void)state;
  sy_error err;
  char mark = '?';
  assert_int_equal(decide("n;m;x\na;12;96\nb;1,500;7", &mark, &err), SY_CONTENT);
  assert_string_equal(err.message,
                      "row 3, column B: \"1,500\" could have thousands or decimals, and no other cell tells "
                      "which");
  assert_int_equal(decide("n;m;x\na;12;9.600\nb;1,500;7", &mark, &err), SY_CONTENT); /* of both kinds, too */
  assert_int_equal(mark, '?');
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(read_of_the_standards_examples_gives_their_fields),
      cmocka_unit_test(read_of_mixed_line_ends_counts_rows_and_lines),
      cmocka_unit_test(read_keeps_ragged_rows_and_quotation_marks_inside),
      cmocka_unit_test(read_of_nothing_is_a_table_without_rows),
      cmocka_unit_test(letters_are_those_of_a_spreadsheet),
      cmocka_unit_test(read_finds_the_delimiter),
      cmocka_unit_test(read_takes_the_delimiter_that_a_first_line_states),
      cmocka_unit_test(read_gives_the_same_cells_in_every_encoding),
      cmocka_unit_test(read_joins_the_halves_of_a_letter_in_utf16),
      cmocka_unit_test(read_refuses_what_is_no_text_and_says_where),
      cmocka_unit_test(read_refuses_broken_tables_by_row_and_column),
      cmocka_unit_test(read_refuses_more_than_its_limits),
      cmocka_unit_test(read_without_memory_leaves_nothing_behind),
      cmocka_unit_test(free_of_nothing_does_nothing),
      cmocka_unit_test(number_of_every_form_gives_its_value),
      cmocka_unit_test(number_of_anything_else_says_what_it_is),
      cmocka_unit_test(number_of_an_endless_cell_is_text),
      cmocka_unit_test(mark_of_a_cell_says_only_what_it_shows),
      cmocka_unit_test(decide_mark_takes_the_whole_table),
      cmocka_unit_test(decide_mark_shows_the_two_cells_that_contradict),
      cmocka_unit_test(decide_mark_refuses_what_no_cell_shows),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
