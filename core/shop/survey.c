#include "shop/survey.h"

#include <math.h>
#include <string.h>

sy_plan sy_survey_place(const double x[SY_SURVEY_COLS], sy_plan drawn) {
  const double c = cos(x[0]), s = sin(x[0]);
  return (sy_plan){c * drawn.x - s * drawn.y + x[1], s * drawn.x + c * drawn.y + x[2]};
}

typedef struct survey {
  const sy_survey_line *lines;
  size_t count;
  const sy_tapes *tapes;
} survey;

/* Sensitivity of a place with turn and shift, along (ex, ey). */
static void put_sensitivities(double *row, const double *x, sy_plan drawn, double ex, double ey) {
  const double c = cos(x[0]), s = sin(x[0]);
  row[0] = ex * (-s * drawn.x - c * drawn.y) + ey * (c * drawn.x - s * drawn.y);
  row[1] = ex, row[2] = ey;
}

static sy_status model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  const survey *s = user;
  (void)err;
  for (size_t i = 0; i < s->count; i++) {
    const sy_survey_line *line = &s->lines[i];
    const sy_plan p = sy_survey_place(x, line->drawn);
    for (int k = 0; k < 2; k++) {
      double ex = k == 0, ey = k == 1, value = k == 0 ? p.x : p.y;
      if (line->taped) {
        const sy_plan from = k == 0 ? s->tapes->a : s->tapes->b;
        value = hypot(p.x - from.x, p.y - from.y);
        ex = value > 0 ? (p.x - from.x) / value : 1; /* on the tape point itself any way is outward */
        ey = value > 0 ? (p.y - from.y) / value : 0;
      }
      fitted[2 * i + (size_t)k] = value;
      if (jacobian != NULL)
        put_sensitivities(jacobian + (2 * i + (size_t)k) * SY_SURVEY_COLS, x, line->drawn, ex, ey);
    }
  }
  return SY_OK;
}

static sy_status place_of(const survey *s, size_t i, sy_plan *out, sy_error *err) {
  const sy_survey_line *line = &s->lines[i];
  if (!line->taped) {
    *out = (sy_plan){line->value[0], line->value[1]};
    return SY_OK;
  }
  sy_error why;
  if (sy_tapes_place(s->tapes, line->value[0], line->value[1], line->drawn, out, &why) == SY_OK) return SY_OK;
  return sy_fail(err, why.status, NULL, why.field, "%s (point %zu)", why.message, i + 1);
}

/* The fit of equal weights in closed form: turn = atan2(sum of cross products, sum of products) about the two middles. */
static sy_status first_guess(const survey *s, double x[SY_SURVEY_COLS], sy_error *err) {
  sy_plan drawn = {0, 0}, found = {0, 0}, p;
  for (size_t i = 0; i < s->count; i++) {
    const sy_status status = place_of(s, i, &p, err);
    if (status != SY_OK) return status;
    drawn.x += s->lines[i].drawn.x, drawn.y += s->lines[i].drawn.y;
    found.x += p.x, found.y += p.y;
  }
  const double n = (double)s->count;
  drawn.x /= n, drawn.y /= n, found.x /= n, found.y /= n;
  double cross = 0, dot = 0;
  for (size_t i = 0; i < s->count; i++) {
    (void)place_of(s, i, &p, NULL); /* has just succeeded */
    const double ax = s->lines[i].drawn.x - drawn.x, ay = s->lines[i].drawn.y - drawn.y;
    cross += ax * (p.y - found.y) - ay * (p.x - found.x);
    dot += ax * (p.x - found.x) + ay * (p.y - found.y);
  }
  x[0] = atan2(cross, dot), x[1] = 0, x[2] = 0;
  const sy_plan moved = sy_survey_place(x, drawn);
  x[1] = found.x - moved.x, x[2] = found.y - moved.y;
  return SY_OK;
}

enum { MOST_POINTS = 512 };

sy_status sy_survey_fit(const sy_survey_line *lines, size_t count, const sy_tapes *tapes, void *memory,
                        sy_lsq *out, sy_error *err) {
  if (count < 2)
    return sy_fail(err, SY_RANGE, NULL, "measured", "has %zu points, two or more are needed", count);
  if (count > MOST_POINTS)
    return sy_fail(err, SY_LIMIT, NULL, "measured", "has more than %d points", MOST_POINTS);
  double y[2 * MOST_POINTS], sd[2 * MOST_POINTS], x[SY_SURVEY_COLS];
  bool apart = false;
  for (size_t i = 0; i < count; i++) {
    for (size_t k = 0; k < 2; k++) y[2 * i + k] = lines[i].value[k], sd[2 * i + k] = lines[i].sd[k];
    if (!(isfinite(lines[i].drawn.x) && isfinite(lines[i].drawn.y)))
      return sy_fail(err, SY_RANGE, NULL, "drawn", "is not finite (point %zu)", i + 1);
    apart = apart || lines[i].drawn.x != lines[0].drawn.x || lines[i].drawn.y != lines[0].drawn.y;
    if (lines[i].taped && tapes == NULL)
      return sy_fail(err, SY_MISSING, NULL, "tapes",
                     "are not given: where the two tapes are held to the floor");
  }
  if (!apart) return sy_fail(err, SY_GEOMETRY, NULL, "drawn", "has all its points in one place");
  survey s = {lines, count, tapes};
  const sy_status status = first_guess(&s, x, err);
  if (status != SY_OK) return status;
  return sy_lsq_fit(model, &s, y, sd, x, 2 * count, SY_SURVEY_COLS, memory, out, err);
}
