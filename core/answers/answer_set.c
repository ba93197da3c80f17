#include "answers/answer_set.h"

#include <string.h>

const char *sy_unit_name(sy_unit unit) {
  static const char *const name[] = {"", "", "kg", "N", "m", "rad", "kg m2", "m3", "g"};
  return (unsigned)unit < sizeof name / sizeof *name ? name[unit] : "";
}

static int wheel_count(const sy_vehicle *v) {
  int sum = 0;
  for (int a = 0; a < v->axle_count; a++) sum += v->axle[a].wheels;
  return sum;
}

int sy_answer_row_count(const sy_answer_row *row, const sy_vehicle *v) {
  return row->per == SY_PER_AXLE ? v->axle_count : row->per == SY_PER_WHEEL ? wheel_count(v) : 1;
}

int sy_answer_count(const sy_answer_set *set, const sy_vehicle *v) {
  int sum = 0;
  for (int r = 0; r < set->rows; r++) sum += sy_answer_row_count(&set->row[r], v);
  return sum;
}

sy_asked sy_answer_nth(const sy_answer_set *set, const sy_vehicle *v, int i) {
  int r = 0;
  while (r + 1 < set->rows && i >= sy_answer_row_count(&set->row[r], v))
    i -= sy_answer_row_count(&set->row[r++], v);
  return (sy_asked){r, i, 1.0};
}

void sy_wheel_key(const sy_vehicle *v, int wheel, char out[SY_WHEEL_KEY]) {
  sy_contact w[SY_MAX_WHEELS];
  char *key = out;
  if (wheel >= 0 && wheel < sy_vehicle_contacts(v, w)) {
    const bool plain = v->axle_count == 2;
    const int side = w[wheel].side, axle = w[wheel].axle; /* at most eight axles: one digit */
    if (side != 0 || !plain) *key++ = side > 0 ? 'l' : side < 0 ? 'r' : 'c';
    *key++ = plain ? (axle == 0 ? 'f' : 'r') : (char)('1' + axle);
  }
  *key = 0;
}

/* What an answer of a row with several is called after the row's name. */
static void tail_of(const sy_answer_row *row, const sy_vehicle *v, int index, char out[SY_WHEEL_KEY]) {
  out[0] = 0;
  if (row->per == SY_PER_WHEEL) sy_wheel_key(v, index, out);
  if (row->per == SY_PER_AXLE) out[0] = (char)('1' + index), out[1] = 0;
}

void sy_answer_name(const sy_answer_set *set, const sy_vehicle *v, sy_asked asked, char out[SY_ANSWER_NAME]) {
  const sy_answer_row *row = &set->row[asked.row];
  char tail[SY_WHEEL_KEY];
  tail_of(row, v, asked.index, tail);
  const size_t tail_length = strlen(tail), room = SY_ANSWER_NAME - 1 - tail_length;
  const size_t length = strlen(row->name) < room ? strlen(row->name) : room;
  memcpy(out, row->name, length);
  memcpy(out + length, tail, tail_length + 1);
}

/* Does `name` begin so? Most rows differ in their first letters: thirty of them are passed for each name a comparison asks. */
static bool begins(const char *name, const char *begin) {
  size_t i = 0;
  while (begin[i] != 0 && name[i] == begin[i]) i++;
  return begin[i] == 0;
}

bool sy_answer_find(const sy_answer_set *set, const sy_vehicle *v, const char *name, sy_asked *out) {
  for (int r = 0; r < set->rows; r++) {
    const sy_answer_row *row = &set->row[r];
    if (!begins(name, row->name)) continue;
    for (int i = 0; i < sy_answer_row_count(row, v); i++) {
      char tail[SY_WHEEL_KEY];
      tail_of(row, v, i, tail);
      if (strcmp(name + strlen(row->name), tail) != 0) continue;
      *out = (sy_asked){r, i, 1.0};
      return true;
    }
  }
  return false;
}
