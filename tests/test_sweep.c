/* Every public function with every number it is given wrong, one at a time and some in pairs.
**
** Claims  A function that answers SY_OK has no NaN and no infinity in any field of its results whose comment in the header does not
**         allow one. One that fails leaves its results alone, and its error says something of a part or a field. None crashes,
**         reads or writes where it should not (make sanitize) or never ends.
** How     tests/sweep/generate.lua reads the installed headers and writes a call of each function; what goes in comes from
**         tests/sweep/fixtures.h by type, the rest from tests/sweep/recipes.lua. A new public function whose arguments neither can
**         fill stops the build. As filled, each must answer SY_OK: else nothing is tested.
** Values  of a double: NaN, both infinities, 0, its negative, sizes whose square or cube leaves the range at either end; of an
**         int: negative, 0, the largest; of a count of the caller's array: 0, 1, one less; of an enum: none of it; pointers that
**         may be NULL.
** Not under valgrind: six minutes there; the sanitizers have it.
*/
#include <float.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "near.h"
#include "steelyard.h"
#include "sweep/fixtures.h"

/* ---- what the generator writes down --------------------------------------------------------------------------------- */

typedef enum kind { DOUBLE, INT, SIZE, BOOL, UNSIGNED, WORD, BYTE, CHAR, ENUM, POINTER, STRUCT } kind;

enum {
  MAY_BE_NAN = 1,
  MAY_BE_INFINITE = 2,
  IS_COUNT = 4, /* of what the caller has: may be less, never more */
  IS_FIXED = 8, /* the library's own, or a promise of the caller */
  IN = 16,
  OUT = 32,
  IS_COPY = 128, /* of a result: repeats what was given */
  SCRATCH = 64   /* a result that a failure may leave spoilt */
};

typedef struct type type;
typedef struct field {
  const char *name;
  size_t offset;
  const type *type;
  size_t elements;
  size_t reach; /* a pointer: how many there are behind it */
  unsigned flags;
} field;
struct type {
  const char *name;
  size_t size;
  kind kind;
  const field *fields;
  size_t count;
};

typedef struct argument {
  const char *name;
  void *at;
  const type *type;
  size_t count;
  unsigned flags;
} argument;

typedef struct function {
  const char *name;
  void (*fill)(void);
  sy_status (*call)(sy_error *err);
  const argument *arguments;
  size_t count;
  bool answers; /* with a status */
  int calls;    /* at most so many */
} function;

static const type type_double = {"double", sizeof(double), DOUBLE, NULL, 0};
static const type type_int = {"int", sizeof(int), INT, NULL, 0};
static const type type_size_t = {"size_t", sizeof(size_t), SIZE, NULL, 0};
static const type type_bool = {"bool", sizeof(bool), BOOL, NULL, 0};
static const type type_unsigned = {"unsigned", sizeof(unsigned), UNSIGNED, NULL, 0};
static const type type_uint32_t = {"uint32_t", sizeof(uint32_t), UNSIGNED, NULL, 0};
static const type type_uint64_t = {"uint64_t", sizeof(uint64_t), WORD, NULL, 0};
static const type type_uint8_t = {"uint8_t", sizeof(uint8_t), BYTE, NULL, 0};
static const type type_char = {"char", sizeof(char), CHAR, NULL, 0};
static const type type_enum = {"enum", sizeof(sy_status), ENUM, NULL, 0};
static const type type_pointer = {"pointer", sizeof(void *), POINTER, NULL, 0};

#include "sweep_calls.h"

/* ---- numbers of an argument, one by one ---------------------------------------------------------------------------------- */

enum { MOST_LEAVES = 6000, MOST_PATH = 120, SWEPT_OF_AN_ARRAY = 3 };

typedef struct leaf {
  char *at;
  kind kind;
  unsigned flags;
  char path[MOST_PATH];
} leaf;

typedef struct leaves {
  leaf leaf[MOST_LEAVES];
  size_t count;
} leaves;

static void gather(leaves *l, char *at, const type *t, size_t elements, size_t most, unsigned flags,
                   const char *path);

static void gather_field(leaves *l, char *at, const field *f, size_t most, unsigned flags, const char *path) {
  char name[MOST_PATH];
  snprintf(name, sizeof name, "%.80s.%.30s", path, f->name);
  const unsigned all = flags | f->flags;
  if (f->reach == 0) {
    gather(l, at + f->offset, f->type, f->elements, most, all, name);
    return;
  }
  for (size_t i = 0; i < f->elements; i++) {
    void *there;
    memcpy(&there, at + f->offset + i * sizeof there, sizeof there);
    if (there != NULL) gather(l, there, f->type, f->reach, most, all, name);
  }
}

/* The first `most` of an array, and what structures hold. */
static void gather(leaves *l, char *at, const type *t, size_t elements, size_t most, unsigned flags,
                   const char *path) {
  for (size_t i = 0; i < elements && i < most; i++) {
    char name[MOST_PATH];
    if (elements > 1)
      snprintf(name, sizeof name, "%.90s[%zu]", path, i);
    else
      snprintf(name, sizeof name, "%.100s", path);
    char *const here = at + i * t->size;
    if (t->kind == STRUCT) {
      for (size_t k = 0; k < t->count; k++) gather_field(l, here, &t->fields[k], most, flags, name);
      continue;
    }
    assert_true(l->count < MOST_LEAVES);
    leaf *one = &l->leaf[l->count++];
    *one = (leaf){here, t->kind, flags, ""};
    memcpy(one->path, name, sizeof name);
  }
}

/* ---- wrong values ---------------------------------------------------------------------------------------------------------- */

enum { DOUBLES = 11, INTS = 6, COUNTS = 3 };

static int values_of(const leaf *l) {
  if (l->flags & IS_FIXED) return 0;
  switch (l->kind) {
  case DOUBLE: return DOUBLES;
  case INT: return l->flags & IS_COUNT ? COUNTS : INTS;
  case SIZE: return l->flags & IS_COUNT ? COUNTS : COUNTS + 2;
  case UNSIGNED:
  case WORD:
  case BYTE: return 2;
  case BOOL:
  case ENUM:
  case POINTER: return 1;
  default: return 0;
  }
}

static double wrong_double(double was, int i) {
  const double list[DOUBLES] = {
      (double)NAN, (double)INFINITY, -(double)INFINITY,         0, was != 0 ? -was : -1, 1e308, -1e308, 1e160,
      5e-324,      1e-200,           was != 0 ? 1e6 * was : 1e6};
  return list[i];
}

/* Puts the i-th wrong value into its place. */
static void spoil(const leaf *l, int i) {
  double x;
  size_t n;
  const int whole[INTS] = {-1, 0, INT_MAX, INT_MIN, 1, 999};
  const size_t sizes[2] = {SIZE_MAX, 1000};
  switch (l->kind) {
  case DOUBLE:
    memcpy(&x, l->at, sizeof x);
    x = wrong_double(x, i);
    memcpy(l->at, &x, sizeof x);
    break;
  case INT:
    if (l->flags & IS_COUNT) {
      int count;
      memcpy(&count, l->at, sizeof count);
      const int less[COUNTS] = {0, 1, count > 0 ? count - 1 : 0};
      memcpy(l->at, &less[i], sizeof count);
    } else {
      memcpy(l->at, &whole[i], sizeof whole[i]);
    }
    break;
  case SIZE:
    memcpy(&n, l->at, sizeof n);
    n = i == 0 ? 0 : i == 1 ? (n > 0 ? 1 : 0) : i == 2 ? (n > 0 ? n - 1 : 0) : sizes[i - COUNTS];
    memcpy(l->at, &n, sizeof n);
    break;
  case BOOL: *l->at = *l->at == 0; break;
  case UNSIGNED: memset(l->at, i == 0 ? 0 : 0xff, sizeof(unsigned)); break;
  case WORD: memset(l->at, i == 0 ? 0 : 0xff, sizeof(uint64_t)); break;
  case BYTE: *l->at = (char)(i == 0 ? 0 : 0xff); break;
  case ENUM: memset(l->at, 0x63, sizeof(sy_status)); break;
  case POINTER: {
    const void *const none = NULL;
    memcpy(l->at, &none, sizeof none);
    break;
  }
  default: break;
  }
}

/* ---- calls ----------------------------------------------------------------------------------------------------------------- */

static leaves into, outof;
static const unsigned char FILLED =
    0x5a; /* as a double a number of 127 digits: never NaN where nothing is written */

static void fill(const function *f) {
  f->fill();
  for (size_t i = 0; i < f->count; i++)
    if (f->arguments[i].flags & (OUT | SCRATCH))
      memset(f->arguments[i].at, FILLED, f->arguments[i].count * f->arguments[i].type->size);
}

static bool untouched(const function *f, const char **which) {
  for (size_t i = 0; i < f->count; i++) {
    if (!(f->arguments[i].flags & OUT)) continue;
    const unsigned char *byte = f->arguments[i].at;
    for (size_t k = 0; k < f->arguments[i].count * f->arguments[i].type->size; k++)
      if (byte[k] != FILLED) {
        *which = f->arguments[i].name;
        return false;
      }
  }
  return true;
}

/* The first result that is not a number and may not be so; NULL when all are well. */
static const leaf *bad_result(const function *f) {
  outof.count = 0;
  for (size_t i = 0; i < f->count; i++) {
    const argument *a = &f->arguments[i];
    if (a->flags & (OUT | SCRATCH)) gather(&outof, a->at, a->type, a->count, SIZE_MAX, a->flags, a->name);
  }
  for (size_t i = 0; i < outof.count; i++) {
    if (outof.leaf[i].kind != DOUBLE || outof.leaf[i].flags & IS_COPY) continue;
    double x;
    memcpy(&x, outof.leaf[i].at, sizeof x);
    if (isnan(x) && !(outof.leaf[i].flags & MAY_BE_NAN)) return &outof.leaf[i];
    if (isinf(x) && !(outof.leaf[i].flags & MAY_BE_INFINITE)) return &outof.leaf[i];
  }
  return NULL;
}

enum { MOST_REPORTED = 12 };
static int reported;

static void report(const function *f, const char *inputs, const char *what, const char *which) {
  if (reported++ < MOST_REPORTED) print_error("%s with %s: %s %s\n", f->name, inputs, what, which);
}

static void check_call(const function *f, const char *inputs) {
  sy_error err = {SY_OK, "", "", ""};
  const sy_status status = f->call(&err);
  if (!f->answers) return;
  const char *which = "";
  if (status != SY_OK) {
    if (!untouched(f, &which)) report(f, inputs, "fails and has written", which);
    if (err.status != status) report(f, inputs, "fails without an error", "");
    if (err.message[0] == '\0' || (err.part[0] == '\0' && err.field[0] == '\0'))
      report(f, inputs, "names no part or field:", err.message);
    return;
  }
  const leaf *bad = bad_result(f);
  if (bad != NULL) {
    double x;
    memcpy(&x, bad->at, sizeof x);
    report(f, inputs, isnan(x) ? "is ok with NaN in" : "is ok with infinity in", bad->path);
  }
}

static void describe(char *text, size_t size, const leaf *l, int i) {
  double x;
  int n;
  switch (l->kind) {
  case DOUBLE:
    memcpy(&x, l->at, sizeof x);
    snprintf(text, size, "%s = %g", l->path, x);
    break;
  case INT:
    memcpy(&n, l->at, sizeof n);
    snprintf(text, size, "%s = %d", l->path, n);
    break;
  default: snprintf(text, size, "%s spoilt (%d)", l->path, i); break;
  }
}

/* The numbers of the arguments that go in, of which there are always the same. */
static size_t gather_inputs(const function *f) {
  into.count = 0;
  for (size_t i = 0; i < f->count; i++) {
    const argument *a = &f->arguments[i];
    if (a->flags & IN) gather(&into, a->at, a->type, a->count, SWEPT_OF_AN_ARRAY, a->flags, a->name);
  }
  size_t total = 0;
  for (size_t i = 0; i < into.count;
       i++) /* what answers without a status takes structures with counts that fit: see vehicle.h */
    if (!f->answers && into.leaf[i].kind != DOUBLE && strchr(into.leaf[i].path, '.') != NULL)
      into.leaf[i].flags |= IS_FIXED;
  for (size_t i = 0; i < into.count; i++) total += (size_t)values_of(&into.leaf[i]);
  return total;
}

static void spoil_nth(size_t nth, char *text, size_t size) {
  for (size_t i = 0; i < into.count; i++) {
    const size_t values = (size_t)values_of(&into.leaf[i]);
    if (nth < values) {
      spoil(&into.leaf[i], (int)nth);
      describe(text, size, &into.leaf[i], (int)nth);
      return;
    }
    nth -= values;
  }
}

static void sweep(void **state) {
  const function *f = *state;
  reported = 0;
  fill(f);
  sy_error err = {SY_OK, "", "", ""};
  const sy_status status = f->call(&err);
  if (status != SY_OK) {
    print_error("%s as filled: %s, %s: %s\n", f->name, err.part, err.field, err.message);
    fail();
  }
  const leaf *bad = bad_result(f);
  if (f->answers && bad != NULL) report(f, "nothing spoilt", "is ok with no number in", bad->path);
  fill(f);
  const size_t total = gather_inputs(f), most = (size_t)f->calls;
  char text[2 * MOST_PATH + 80], more[MOST_PATH + 40];
  const size_t singles = total < most ? total : most;
  for (size_t k = 0; k < singles; k++) { /* all, or as many of them spread evenly */
    fill(f);
    spoil_nth(total <= most ? k : k * total / most, text, sizeof text);
    check_call(f, text);
  }
  dice d = {17};
  for (size_t k = 0; k < most / 4 && total > 1; k++) {
    fill(f);
    spoil_nth(dice_below(&d, total), text, sizeof text / 2);
    spoil_nth(dice_below(&d, total), more, sizeof more);
    strcat(strcat(text, " and "), more);
    check_call(f, text);
  }
  if (reported > 0) {
    print_error("%s: %d calls went wrong\n", f->name, reported);
    fail();
  }
}

int main(void) {
  make_shared();
  static struct CMUnitTest tests[FUNCTIONS];
  for (size_t i = 0; i < FUNCTIONS; i++) {
    const function *f = &functions[i];
    tests[i] = (struct CMUnitTest){f->name, sweep, NULL, NULL, (void *)(uintptr_t)f};
  }
  const int failed = _cmocka_run_group_tests("functions", tests, FUNCTIONS, NULL, NULL);
  free_shared();
  return failed;
}
