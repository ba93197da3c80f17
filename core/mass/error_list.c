/* error_list.c - what errors do to sums and to answers. */
#include "mass/error_list.h"

#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_parts.h"

/* ---- to sums, exactly ---------------------------------------------------------------------------------------------------- */

static double drawn(const double *e, int error) { return error != SY_NO_ERROR ? e[error] : 0.0; }

static void add_at(sy_sums *s, double mass, sy_vec3 at) {
  s->m += mass;
  s->first = sy_vec3_muladd(s->first, mass, at);
  s->second.xx += mass * at.x * at.x;
  s->second.yy += mass * at.y * at.y;
  s->second.zz += mass * at.z * at.z;
  s->second.xy += mass * at.x * at.y;
  s->second.xz += mass * at.x * at.z;
  s->second.yz += mass * at.y * at.z;
}

/* Second moments that a measured inertia's errors are: half its trace less itself. */
static sy_sym3 inertia_moments(const sy_stake *s, const double *e) {
  const double *j = e + s->inertia;
  const double half = 0.5 * (j[0] + j[1] + j[2]);
  const sy_sym3 moments = {half - j[0], half - j[1], half - j[2], -j[3], -j[4], -j[5]};
  return sy_sym3_turn(s->turn, moments);
}

/* What the errors do to the sums of one stake, before its map. */
static sy_sums change_of(const sy_stake *s, const double *e) {
  sy_sums out = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  sy_vec3 shift = {0, 0, 0};
  double mass = 0;
  for (int axis = 0; axis < 3; axis++)
    shift = sy_vec3_muladd(shift, drawn(e, s->place[axis]), s->along[axis]);
  for (int kind = 0; kind < 5; kind++) {
    if (s->error[kind] == SY_NO_ERROR) continue;
    const double by = s->effect[kind] * e[s->error[kind]];
    add_at(&out, by, sy_vec3_add(s->act_at[kind], shift));
    mass += by;
  }
  const double common = drawn(e, s->bias) * s->bias_share + drawn(e, s->gain) * s->gain_mass +
                        drawn(e, s->growth) * s->growth_mass;
  const sy_vec3 at = sy_vec3_add(s->at, shift);
  add_at(&out, common, at);
  mass += common;
  sy_sums there = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}}, here = there;
  add_at(&there, s->moved, at);
  add_at(&here, s->moved, s->at);
  out.first = sy_vec3_muladd(out.first, s->moved, shift);
  out.second = sy_sym3_add(out.second, sy_sym3_sub(there.second, here.second));
  double own = s->power > 0 ? s->power * mass / s->mass : 0.0;
  own += drawn(e, s->usual);
  if (own != 0) out.second = sy_sym3_add(out.second, sy_sym3_scale(own, s->own));
  out = sy_sums_scale(s->count, &out);
  if (s->inertia != SY_NO_ERROR) out.second = sy_sym3_add(out.second, inertia_moments(s, e));
  return out;
}

static void to_list(const sy_sums *s, double v[10]) {
  const double all[10] = {s->m,         s->first.x,   s->first.y,   s->first.z,   s->second.xx,
                          s->second.yy, s->second.zz, s->second.xy, s->second.xz, s->second.yz};
  memcpy(v, all, sizeof all);
}

static sy_sums mapped(const double map[10][10], const sy_sums *s) {
  double in[10], out[10];
  to_list(s, in);
  for (int i = 0; i < 10; i++) {
    out[i] = 0;
    for (int k = 0; k < 10; k++) out[i] += map[i][k] * in[k];
  }
  return (sy_sums){out[0], {out[1], out[2], out[3]}, {out[4], out[5], out[6], out[7], out[8], out[9]}};
}

void sy_error_list_sums(const sy_error_list *list, const double *e, sy_sums *all) {
  for (size_t i = 0; i < list->stakes; i++) {
    const sy_stake *s = &list->stake[i];
    sy_sums by = change_of(s, e);
    if (s->map != SY_NO_ERROR) by = mapped((const double(*)[10])list->map[s->map], &by);
    all[s->term] = sy_sums_add(&all[s->term], &by);
  }
}

static bool errs(const sy_stake *s, const double *e) {
  bool any =
      drawn(e, s->bias) != 0 || drawn(e, s->gain) != 0 || drawn(e, s->growth) != 0 || drawn(e, s->usual) != 0;
  for (int kind = 0; kind < 5; kind++) any = any || drawn(e, s->error[kind]) != 0;
  for (int axis = 0; axis < 3; axis++) any = any || drawn(e, s->place[axis]) != 0;
  for (int k = 0; k < 6 && s->inertia != SY_NO_ERROR; k++) any = any || e[s->inertia + k] != 0;
  return any;
}

static void add_carried(sy_totals *t, unsigned carrier, double fraction, const sy_sums *by) {
  static const sy_sums nothing;
  sy_sums *at = &t->carried[carrier];
  const sy_sums part = sy_sums_scale(fraction, by);
  if (!(t->carriers >> carrier & 1u)) *at = nothing;
  t->carriers |= 1u << carrier;
  *at = sy_sums_add(at, &part);
}

void sy_error_list_totals(const sy_error_list *list, const double *e, sy_totals *totals, size_t terms) {
  for (size_t i = 0; i < list->stakes; i++) {
    const sy_stake *s = &list->stake[i];
    if (s->term >= terms || !errs(s, e)) continue;
    sy_totals *t = &totals[s->term];
    sy_sums by = change_of(s, e);
    if (s->map != SY_NO_ERROR) by = mapped((const double(*)[10])list->map[s->map], &by);
    t->all = sy_sums_add(&t->all, &by);
    for (unsigned c = 0; c < s->carriers; c++) add_carried(t, s->carrier[c], s->fraction[c], &by);
  }
}

/* ---- to answers, to first order ---------------------------------------------------------------------------------------------- */

static double carried(const sy_stake *s, unsigned carriers) {
  double sum = 0;
  if (carriers == SY_ALL_CARRIERS) return 1.0;
  for (unsigned i = 0; i < s->carriers; i++)
    if (carriers >> s->carrier[i] & 1u) sum += s->fraction[i];
  return sum;
}

static sy_vec3 apply_sym(sy_sym3 g, sy_vec3 r) {
  return (sy_vec3){g.xx * r.x + g.xy * r.y + g.xz * r.z, g.xy * r.x + g.yy * r.y + g.yz * r.z,
                   g.xz * r.x + g.yz * r.y + g.zz * r.z};
}

static double inner(sy_sym3 g, sy_sym3 s) {
  return g.xx * s.xx + g.yy * s.yy + g.zz * s.zz + 2.0 * (g.xy * s.xy + g.xz * s.xz + g.yz * s.yz);
}

/* The sensitivity to a piece's own sums where these go through a map. */
static sy_sensitivity through(const double map[10][10], const sy_sensitivity *g) {
  const double by[10] = {
      g->m,         g->first.x,   g->first.y,         g->first.z,         g->second.xx,
      g->second.yy, g->second.zz, 2.0 * g->second.xy, 2.0 * g->second.xz, 2.0 * g->second.yz};
  double in[10] = {0};
  for (int i = 0; i < 10; i++)
    for (int k = 0; k < 10; k++) in[k] += by[i] * map[i][k];
  return (sy_sensitivity){in[0],
                          {in[1], in[2], in[3]},
                          {in[4], in[5], in[6], 0.5 * in[7], 0.5 * in[8], 0.5 * in[9]},
                          g->carriers,
                          false};
}

static double by_mass(const sy_stake *s, const sy_sensitivity *g, sy_vec3 at) {
  const double own = s->power > 0 ? s->power * inner(g->second, s->own) / s->mass : 0.0;
  return g->m + sy_vec3_dot(g->first, at) +
         inner(g->second,
               (sy_sym3){at.x * at.x, at.y * at.y, at.z * at.z, at.x * at.y, at.x * at.z, at.y * at.z}) +
         own;
}

static void add_stake(const sy_error_list *list, const sy_stake *s, const sy_sensitivity *of_term,
                      const double *mean, double *out) {
  const double factor = carried(s, of_term->carriers);
  if (factor == 0) return;
  const sy_sensitivity g =
      s->map != SY_NO_ERROR ? through((const double(*)[10])list->map[s->map], of_term) : *of_term;
  const double times = s->count * factor;
  for (int kind = 0; kind < 5; kind++)
    if (s->error[kind] != SY_NO_ERROR)
      out[s->error[kind]] += times * s->effect[kind] * by_mass(s, &g, s->act_at[kind]);
  const double there = times * by_mass(s, &g, s->at);
  if (s->bias != SY_NO_ERROR) out[s->bias] += there * s->bias_share;
  if (s->gain != SY_NO_ERROR) out[s->gain] += there * s->gain_mass;
  if (s->growth != SY_NO_ERROR) out[s->growth] += there * s->growth_mass;
  const double grown = mean != NULL && s->growth != SY_NO_ERROR ? mean[s->growth] * s->growth_mass : 0.0;
  const sy_vec3 way =
      sy_vec3_scale(times * (s->moved + grown), sy_vec3_muladd(g.first, 2.0, apply_sym(g.second, s->at)));
  for (int axis = 0; axis < 3; axis++)
    if (s->place[axis] != SY_NO_ERROR) out[s->place[axis]] += sy_vec3_dot(way, s->along[axis]);
  if (s->usual != SY_NO_ERROR) out[s->usual] += times * inner(g.second, s->own);
  for (int k = 0; k < 6 && s->inertia != SY_NO_ERROR; k++) {
    double unit[6] = {0, 0, 0, 0, 0, 0};
    unit[k] = 1.0;
    sy_stake alone = *s;
    alone.inertia = 0;
    out[s->inertia + k] += factor * inner(g.second, inertia_moments(&alone, unit));
  }
}

void sy_error_list_effects(const sy_error_list *list, const sy_sensitivity *by, const double *mean,
                           double *out) {
  for (size_t i = 0; i < list->stakes; i++)
    add_stake(list, &list->stake[i], &by[list->stake[i].term], mean, out);
}

/* ---- growth -------------------------------------------------------------------------------------------------------------------- */

static double allowance(const sy_stake *s, const double *fraction, const double *fixed, size_t numbers) {
  const uint32_t number = s->part->number;
  if (number == 0 || number > numbers) return 0;
  return fraction[number - 1] * s->mass + fixed[number - 1] / s->count;
}

sy_status sy_error_list_growth(sy_error_list *list, const double *fraction, const double *fixed,
                               size_t numbers, sy_error *err) {
  size_t lines = 0;
  for (size_t i = 0; i < list->stakes; i++)
    if (i == 0 || list->stake[i].line != list->stake[i - 1].line) lines++;
  const size_t room = list->errors + lines + 1;
  sy_elementary *more = sy_alloc_new(&list->alloc, room * sizeof *more);
  if (more == NULL) return sy_ledger_no_memory(err);
  if (list->errors > 0) memcpy(more, list->error, list->errors * sizeof *more);
  sy_alloc_free(&list->alloc, list->error, list->error_room * sizeof *more);
  list->error = more, list->error_room = room;
  int current = SY_NO_ERROR;
  for (size_t i = 0; i < list->stakes; i++) {
    sy_stake *s = &list->stake[i];
    if (i == 0 || s->line != list->stake[i - 1].line) current = SY_NO_ERROR;
    const double kg = s->map == SY_NO_ERROR ? allowance(s, fraction, fixed, numbers) : 0.0;
    if (!(kg > 0)) continue;
    if (current == SY_NO_ERROR) {
      current = (int)list->errors;
      list->error[list->errors++] =
          (sy_elementary){SY_ERROR_GROWTH, 1.0, s->part->id, s->part, s->part->number, 0, 0};
    }
    s->growth = current;
    s->growth_mass = kg;
  }
  return SY_OK;
}

/* ---- records and memory ---------------------------------------------------------------------------------------------------------- */

int sy_error_list_place(const sy_error_list *list, uint32_t number) {
  for (size_t e = 0; e < list->errors; e++)
    if (list->error[e].kind == SY_ERROR_PLACE && list->error[e].number == number) return (int)e;
  return SY_NO_ERROR;
}

void sy_error_list_solve(const sy_ledger *ledger, double *b) {
  const sy_measured *m = sy_ledger_measured(ledger);
  if (m != NULL) sy_measured_solve(m, b);
}

bool sy_error_list_factor(double *matrix, size_t figures) { return sy_measured_factor(matrix, figures); }

void sy_error_list_free(sy_error_list *list) {
  if (list == NULL) return;
  const sy_alloc alloc = list->alloc;
  sy_alloc_free(&alloc, list->figure, list->figures * list->of_figures * sizeof *list->figure);
  sy_alloc_free(&alloc, list->beside, list->of_figures * sizeof *list->beside);
  sy_alloc_free(&alloc, list->error, list->error_room * sizeof *list->error);
  sy_alloc_free(&alloc, list->stake, list->stake_room * sizeof *list->stake);
  sy_alloc_free(&alloc, list->map, list->map_room * sizeof *list->map);
  sy_alloc_free(&alloc, list, sizeof *list);
}
