#include "bind/answers/shown.h"

#include "answers/ask.h"
#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"

double syl_shown_number(sy_unit unit, double value) {
  switch (unit) {
  case SY_UNIT_FRACTION: return value * 100.0;
  case SY_UNIT_NEWTON: return value * (1.0 / SY_STANDARD_GRAVITY);
  case SY_UNIT_METRE: return value * 1e3;
  case SY_UNIT_METRE_3: return value / SY_LITRE;
  case SY_UNIT_RADIAN: return value / SY_DEGREE;
  default: return value;
  }
}

void syl_set_answers(lua_State *L, const sy_answer_set *set, const void *state) {
  for (int r = 0; r < set->rows; r++) {
    const sy_answer_row *row = &set->row[r];
    if (row->per == SY_PER_CAR)
      syl_set_number(L, row->name, syl_shown_number(row->unit, row->value(state, row->at)));
  }
}

void syl_push_uncertainties(lua_State *L, const sy_answer_set *set, const sy_car *car, const void *state) {
  const int count = sy_answer_count(set, &car->vehicle);
  sy_asked asked[SY_MOST_ASKED];
  double value[SY_MOST_ASKED], sd[SY_MOST_ASKED];
  sy_error err;
  for (int i = 0; i < count && i < SY_MOST_ASKED; i++) asked[i] = sy_answer_nth(set, &car->vehicle, i);
  if (sy_answers_ask_solved(set, car, state, asked, count, value, sd, &err) != SY_OK) syl_raise(L, &err);
  lua_createtable(L, 0, count);
  for (int i = 0; i < count; i++) {
    char name[SY_ANSWER_NAME];
    sy_answer_name(set, &car->vehicle, asked[i], name);
    syl_set_number(L, name, syl_shown_number(set->row[asked[i].row].unit, sd[i]));
  }
}
