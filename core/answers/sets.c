#include "answers/sets.h"

#include <string.h>

#include "answers/balance_answers.h"
#include "answers/corner_answers.h"
#include "answers/gap_answers.h"
#include "answers/shaft_answers.h"
#include "answers/stability_answers.h"
#include "answers/transfer_answers.h"
#include "answers/usable_answers.h"

typedef const sy_answer_set *set_of(void);
static set_of *const sets[] = {sy_balance_answers,  sy_corner_answers,    sy_attitude_answers,
                               sy_transfer_answers, sy_stability_answers, sy_compliant_answers,
                               sy_shaft_answers,    sy_gap_answers,       sy_usable_answers};
enum { SETS = sizeof sets / sizeof *sets };

const sy_answer_set *sy_answer_set_nth(int i) { return i >= 0 && i < SETS ? sets[i]() : NULL; }

const sy_answer_set *sy_answer_set_find(const char *name) {
  for (int i = 0; i < SETS; i++)
    if (strcmp(sets[i]()->name, name) == 0) return sets[i]();
  return NULL;
}

const sy_answer_set *sy_answer_by_name(const sy_vehicle *vehicle, const char *name, sy_asked *out) {
  if (sy_answer_find(sets[0](), vehicle, name, out)) return sets[0]();
  for (int i = 1; i < SETS; i++) {
    const sy_answer_set *set = sets[i]();
    const size_t length = strlen(set->name);
    if (strncmp(name, set->name, length) == 0 && name[length] == '.' &&
        sy_answer_find(set, vehicle, name + length + 1, out))
      return set;
  }
  return NULL;
}

static sy_status no_answer(const char *name, sy_error *err) {
  return sy_fail(err, SY_UNKNOWN, "vehicle", "answer", "no answer about this vehicle is called %s", name);
}

sy_status sy_answer_of(const sy_car *car, const char *name, double *value, double *sd, sy_error *err) {
  sy_asked asked;
  const sy_status counts = sy_vehicle_check_counts(&car->vehicle, err);
  if (counts != SY_OK) return counts;
  const sy_answer_set *set = sy_answer_by_name(&car->vehicle, name, &asked);
  return set != NULL ? sy_answers_ask(set, car, &asked, 1, value, sd, err) : no_answer(name, err);
}

sy_status sy_answer_change_of(const sy_car *from, const sy_car *to, const char *name,
                              const sy_pairing *pairing, double *change, double *sd, sy_error *err) {
  sy_asked a, b;
  sy_status counts = sy_vehicle_check_counts(&from->vehicle, err);
  if (counts == SY_OK) counts = sy_vehicle_check_counts(&to->vehicle, err);
  if (counts != SY_OK) return counts;
  const sy_answer_set *set = sy_answer_by_name(&from->vehicle, name, &a);
  if (set == NULL || sy_answer_by_name(&to->vehicle, name, &b) == NULL) return no_answer(name, err);
  return sy_answers_change(set, from, &a, to, &b, 1, pairing, change, sd, NULL, err);
}
