#include "bind/answers/shown.h"

#include "base/units.h"
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
