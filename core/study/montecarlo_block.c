/* montecarlo_block.c - one block of draws. */
#include <math.h>
#include <string.h>

#include "study/montecarlo_plan.h"

#define LANE_BYTES sizeof(sy_lane)

/* What pools draw: of no item. */
#define POOL_QUANTITY 4096u

sy_spread_room *sy_spread_room_new(const sy_spread *p) {
  sy_spread_room *r = sy_alloc_new(&p->alloc, sizeof *r);
  if (r == NULL) return NULL;
  memset(r, 0, sizeof *r);
  r->lane = sy_alloc_new(&p->alloc, (p->lanes + 1) * LANE_BYTES);
  r->own = sy_alloc_new(&p->alloc, (p->most_own + 1) * LANE_BYTES);
  r->sums = sy_alloc_new(&p->alloc, p->ledgers * sizeof *r->sums);
  r->value = sy_alloc_new(&p->alloc, (p->answers + 1) * LANE_BYTES);
  r->counts = sy_alloc_new(&p->alloc, (p->answers * SY_SPREAD_COUNTS + 1) * sizeof *r->counts);
  const bool carried = p->carriers != 0;
  if (carried) r->carried = sy_alloc_new(&p->alloc, p->ledgers * SY_CARRIER_COUNT * sizeof *r->carried);
  if (r->lane != NULL && r->own != NULL && r->sums != NULL && r->value != NULL && r->counts != NULL &&
      (r->carried != NULL || !carried)) {
    memset(r->counts, 0, p->answers * SY_SPREAD_COUNTS * sizeof *r->counts);
    return r;
  }
  sy_spread_room_free(p, r);
  return NULL;
}

void sy_spread_room_free(const sy_spread *p, sy_spread_room *r) {
  if (r == NULL) return;
  sy_alloc_free(&p->alloc, r->lane, (p->lanes + 1) * LANE_BYTES);
  sy_alloc_free(&p->alloc, r->own, (p->most_own + 1) * LANE_BYTES);
  sy_alloc_free(&p->alloc, r->sums, p->ledgers * sizeof *r->sums);
  sy_alloc_free(&p->alloc, r->value, (p->answers + 1) * LANE_BYTES);
  sy_alloc_free(&p->alloc, r->counts, (p->answers * SY_SPREAD_COUNTS + 1) * sizeof *r->counts);
  if (r->carried != NULL)
    sy_alloc_free(&p->alloc, r->carried, p->ledgers * SY_CARRIER_COUNT * sizeof *r->carried);
  sy_alloc_free(&p->alloc, r, sizeof *r);
}

/* What draws a block: the plan, where, and with which kernels. */
typedef struct drawing {
  const sy_spread *p;
  const sy_draw_kernels *k;
  sy_spread_room *r;
  uint32_t first; /* counter */
} drawing;

static void draw_words(const drawing *d, const drawn_source *s, float z[SY_DRAWS]) {
  d->k->draw(s->kind, d->p->key, s->path, s->quantity, d->first, z);
}

static void draw_lane(const drawing *d, size_t source, double *out) {
  const drawn_source *s = &d->p->source[source];
  float z[SY_DRAWS];
  draw_words(d, s, z);
  d->k->scale(s->sd, z, out);
}

/* ---- records ------------------------------------------------------------------------------------------------------------------------ */

/* e' = e - C H^T S^-1 (H e + v): the readings' errors v are among the e. */
static void condition(const drawing *d) {
  const sy_spread *p = d->p;
  const sy_error_list *list = p->list;
  const size_t figures = list->figures;
  double off[SY_MOST_RECORDS * SY_RECORD_FIGURES];
  sy_lane pull[SY_MOST_RECORDS * SY_RECORD_FIGURES];
  memset(pull, 0, figures * LANE_BYTES);
  for (size_t j = 0; j < list->of_figures; j++)
    for (size_t r = 0; r < figures; r++) {
      const double by = list->figure[j * figures + r];
      if (by != 0) d->k->add(by, d->r->lane[p->source[j].lane], pull[r]);
    }
  for (size_t i = 0; i < SY_DRAWS; i++) {
    for (size_t r = 0; r < figures; r++) off[r] = pull[r][i];
    sy_error_list_solve(p->ledger[0], off);
    for (size_t r = 0; r < figures; r++) pull[r][i] = off[r];
  }
  for (size_t j = 0; j < list->of_figures; j++) {
    const double variance = p->source[j].sd * p->source[j].sd;
    for (size_t r = 0; r < figures; r++) {
      const double by = list->figure[j * figures + r];
      if (by != 0) d->k->add(-variance * by, pull[r], d->r->lane[p->source[j].lane]);
    }
  }
  memset(d->r->beside, 0, LANE_BYTES);
  for (size_t j = 0; j < list->of_figures; j++)
    if (list->beside[j] != 0) d->k->add(list->beside[j], d->r->lane[p->source[j].lane], d->r->beside);
}

/* ---- plain lines ----------------------------------------------------------------------------------------------------------------------
** */

static const float zeros[SY_DRAWS];

/* Draws what a plain line rests on into `z`. */
static void draw_lone(const drawing *d, const lone_line *l, float z[4][SY_DRAWS], sy_lone *out) {
  const float *drawn[4];
  *out = l->lone;
  for (int i = 0; i < 4; i++) {
    drawn[i] = zeros;
    if (l->source[i] == NONE || (i > 0 && l->pooled >> (i - 1) & 1u)) continue;
    const drawn_source *s = &d->p->source[l->source[i]];
    draw_words(d, s, z[i]);
    drawn[i] = z[i];
  }
  out->z_mass = drawn[0];
  for (int i = 0; i < 3; i++) out->z_place[i] = drawn[1 + i];
}

static const sy_lone no_line = {.z_mass = zeros, .z_place = {zeros, zeros, zeros}};

static void draw_lones(const drawing *d, unsigned pooled) {
  const sy_spread *p = d->p;
  float z[2][4][SY_DRAWS];
  sy_lone two[2];
  int filled = 0;
  for (size_t i = 0; i < p->lones; i++) {
    if (p->lone[i].pooled != pooled) continue;
    draw_lone(d, &p->lone[i], z[filled], &two[filled]);
    if (++filled < 2) continue;
    d->k->lone(two, p->second, pooled, &d->r->sums[0], &d->r->pool);
    filled = 0;
  }
  if (filled == 0) return;
  two[1] = no_line;
  d->k->lone(two, p->second, pooled, &d->r->sums[0], &d->r->pool);
}

static void draw_pools(const drawing *d) {
  float z[SY_DRAWS];
  for (uint32_t axis = 0; axis < 3; axis++) {
    if (!(d->p->pooled >> axis & 1u)) continue;
    d->k->draw(SY_NORMAL, d->p->key, 0, POOL_QUANTITY + axis, d->first, z);
    d->k->pool(d->r->pool.variance[axis], z, d->r->sums[0].of[1 + axis]);
  }
}

/* ---- other lines
** ------------------------------------------------------------------------------------------------------------------------ */

/* Where the lane of an error is while `line` is drawn. */
static const double *lane_of(const drawing *d, const any_line *line, int error) {
  const drawn_source *s = &d->p->source[error];
  if (s->lane != SY_NO_ERROR) return d->r->lane[s->lane];
  size_t i = 0;
  while (d->p->own[line->from + i] != (size_t)error) i++;
  return d->r->own[i];
}

static void set_three(sy_vec3 v, double out[3]) { out[0] = v.x, out[1] = v.y, out[2] = v.z; }

static void list_moments(sy_sym3 s, double out[6]) {
  const double six[6] = {s.xx, s.yy, s.zz, s.xy, s.xz, s.yz};
  memcpy(out, six, sizeof six);
}

/* One mass error: at its own place, and the stake's mass for its own moments. */
static void add_mass(const drawing *d, const any_line *line, int error, double by, sy_vec3 at, int second) {
  double place[3];
  if (error == SY_NO_ERROR || by == 0) return;
  const double *e = lane_of(d, line, error);
  set_three(at, place);
  d->k->point(by, e, place, d->r->shift, second, &d->r->piece);
  d->k->add(by, e, d->r->mass);
}

static void add_own_moments(const drawing *d, const any_line *line, const sy_stake *s) {
  double own[6];
  list_moments(s->own, own);
  for (int k = 0; k < 6; k++) {
    if (own[k] == 0) continue;
    if (s->power > 0) d->k->add(s->power / s->mass * own[k], d->r->mass, d->r->piece.of[4 + k]);
    if (s->usual != SY_NO_ERROR) d->k->add(own[k], lane_of(d, line, s->usual), d->r->piece.of[4 + k]);
  }
}

/* Second moments of each of the six: half the trace less itself, in the vehicle's directions. */
static void add_inertia(const drawing *d, const any_line *line, const sy_stake *s) {
  for (int e = 0; e < 6 && s->inertia != SY_NO_ERROR; e++) {
    const double half = e < 3 ? 0.5 : 0.0, minus = -1.0;
    sy_sym3 by = {half, half, half, 0, 0, 0};
    double *const entry[6] = {&by.xx, &by.yy, &by.zz, &by.xy, &by.xz, &by.yz};
    double six[6];
    *entry[e] += minus;
    list_moments(sy_sym3_turn(s->turn, by), six);
    const double *lane = lane_of(d, line, s->inertia + e);
    for (int k = 0; k < 6; k++)
      if (six[k] != 0) d->k->add(six[k] / s->count, lane, d->r->piece.of[4 + k]);
  }
}

static void add_sums(const drawing *d, const sy_stake *s, const sy_lane_sums *from, double factor) {
  for (int k = 0; k < 10; k++) d->k->add(factor, from->of[k], d->r->sums[s->term].of[k]);
  if (d->r->carried == NULL) return;
  for (unsigned c = 0; c < s->carriers; c++) {
    sy_lane_sums *to = &d->r->carried[s->term * SY_CARRIER_COUNT + s->carrier[c]];
    for (int k = 0; k < 10; k++) d->k->add(factor * s->fraction[c], from->of[k], to->of[k]);
  }
}

static void draw_stake(const drawing *d, const any_line *line, const sy_stake *s) {
  const int second = d->p->second != SY_NO_SECOND || s->map != SY_NO_ERROR ? SY_ALL_SECOND : SY_NO_SECOND;
  sy_spread_room *r = d->r;
  double place[3];
  memset(&r->piece, 0, sizeof r->piece);
  memset(r->shift, 0, sizeof r->shift);
  memset(r->mass, 0, sizeof r->mass);
  for (int k = 0; k < 3; k++)
    for (int axis = 0; axis < 3 && s->place[k] != SY_NO_ERROR; axis++) {
      const double by = sy_vec3_along(s->along[k], axis);
      if (by != 0) d->k->add(by, lane_of(d, line, s->place[k]), r->shift[axis]);
    }
  for (int kind = 0; kind < 5; kind++)
    add_mass(d, line, s->error[kind], s->effect[kind], s->act_at[kind], second);
  add_mass(d, line, s->bias, s->bias_share, s->at, second);
  add_mass(d, line, s->gain, s->gain_mass, s->at, second);
  add_mass(d, line, s->growth, s->growth_mass, s->at, second);
  set_three(s->at, place);
  d->k->move(s->moved, place, r->shift, second, &r->piece);
  if (second != SY_NO_SECOND) {
    add_own_moments(d, line, s);
    add_inertia(d, line, s);
  }
  if (s->map == SY_NO_ERROR) {
    add_sums(d, s, &r->piece, s->count);
    return;
  }
  const double(*map)[10] = (const double(*)[10])d->p->list->map[s->map];
  memset(&r->moved, 0, sizeof r->moved);
  for (int i = 0; i < 10; i++)
    for (int k = 0; k < 10; k++)
      if (map[i][k] != 0) d->k->add(map[i][k], r->piece.of[k], r->moved.of[i]);
  add_sums(d, s, &r->moved, s->count);
}

static void draw_line(const drawing *d, const any_line *line) {
  for (size_t i = 0; i < line->sources; i++) draw_lane(d, d->p->own[line->from + i], d->r->own[i]);
  for (size_t i = line->first; i < line->first + line->count; i++) {
    const sy_stake *s = &d->p->list->stake[i];
    if (s->term < d->p->ledgers) draw_stake(d, line, s);
  }
}

/* ---- sums
** ------------------------------------------------------------------------------------------------------------------------------- */

static void fill_sums(const sy_sums *s, sy_lane_sums *out) {
  const double ten[10] = {s->m,         s->first.x,   s->first.y,   s->first.z,   s->second.xx,
                          s->second.yy, s->second.zz, s->second.xy, s->second.xz, s->second.yz};
  for (int k = 0; k < 10; k++)
    for (int i = 0; i < SY_DRAWS; i++) out->of[k][i] = ten[k];
}

/* The ledgers as they stand, less what plain lines add as a whole. */
static void begin(const drawing *d) {
  const sy_spread *p = d->p;
  for (size_t t = 0; t < p->ledgers; t++) {
    sy_sums base = p->base[t].all;
    for (size_t i = 0; i < p->lones && t == 0; i++) {
      const sy_lone *l = &p->lone[i].lone;
      const double m = l->mass, x = l->at[0], y = l->at[1], z = l->at[2], *own = l->own;
      const sy_sums less = {m,
                            {m * x, m * y, m * z},
                            {m * (x * x + own[0]), m * (y * y + own[1]), m * (z * z + own[2]),
                             m * (x * y + own[3]), m * (x * z + own[4]), m * (y * z + own[5])}};
      base = sy_sums_add(
          &base, &(sy_sums){-less.m, sy_vec3_scale(-1.0, less.first), sy_sym3_scale(-1.0, less.second)});
    }
    fill_sums(&base, &d->r->sums[t]);
    for (int c = 0; d->r->carried != NULL && c < SY_CARRIER_COUNT; c++) {
      static const sy_sums nothing;
      const bool there = p->base[t].carriers >> c & 1u;
      fill_sums(there ? &p->base[t].carried[c] : &nothing, &d->r->carried[t * SY_CARRIER_COUNT + (size_t)c]);
    }
  }
  memset(&d->r->pool, 0, sizeof d->r->pool);
}

static sy_sums sums_at(const sy_lane_sums *s, size_t i) {
  return (sy_sums){s->of[0][i],
                   {s->of[1][i], s->of[2][i], s->of[3][i]},
                   {s->of[4][i], s->of[5][i], s->of[6][i], s->of[7][i], s->of[8][i], s->of[9][i]}};
}

/* ---- answers
** ------------------------------------------------------------------------------------------------------------------------------ */

static void totals_at(const drawing *d, size_t ledger, size_t i, sy_totals *out) {
  out->all = sums_at(&d->r->sums[ledger], i);
  for (unsigned c = 0; d->r->carried != NULL && c < SY_CARRIER_COUNT; c++)
    if (out->carriers >> c & 1u) out->carried[c] = sums_at(&d->r->carried[ledger * SY_CARRIER_COUNT + c], i);
}

static double by_change(const drawing *d, size_t ledger, size_t i, const sy_sensitivity *g) {
  const sy_sums now = sums_at(&d->r->sums[ledger], i), *base = &d->p->base[ledger].all;
  const sy_sym3 s = sy_sym3_sub(now.second, base->second);
  return g->m * (now.m - base->m) + sy_vec3_dot(g->first, sy_vec3_sub(now.first, base->first)) +
         g->second.xx * s.xx + g->second.yy * s.yy + g->second.zz * s.zz +
         2.0 * (g->second.xy * s.xy + g->second.xz * s.xz + g->second.yz * s.yz);
}

/* How far a cross weight that was measured lies from what it is taken for. */
static double cross_off(const drawing *d, const plan_set *s, size_t i) {
  const sy_beside *b = s->car.beside;
  const double read = d->p->list->figures > 0 ? d->r->beside[i] : 0.0;
  if (b == NULL) return read;
  double off = b->by_measured * read;
  for (size_t k = 0; k < s->follow_count; k++) {
    const set_stated *f = &s->follows[k];
    const double by = f->measured ? 0.0 : sy_beside_by_stated(b, &s->stated[f->stated]);
    if (by != 0) off += by * d->r->lane[d->p->source[f->source].lane][i];
  }
  if (s->at == NONE) return off;
  off += by_change(d, s->at, i, &b->by_at);
  return off + by_change(d, s->drawn, i, &b->by_drawn);
}

/* The car with its stated numbers as drawn: the last of the two, or NULL where one cannot be. */
static const sy_car *step_car(const drawing *d, const plan_set *s, size_t i) {
  const sy_car *car = &s->car;
  for (size_t k = 0; k < s->follow_count; k++) {
    const set_stated *f = &s->follows[k];
    const double by = f->measured ? cross_off(d, s, i) : d->r->lane[d->p->source[f->source].lane][i];
    sy_car *next = &d->r->car[k % 2];
    if (sy_car_step(car, &s->stated[f->stated], by, next, NULL) != SY_OK) return NULL;
    car = next;
  }
  return car;
}

static void solve_set(const drawing *d, const plan_set *s) {
  sy_spread_room *r = d->r;
  r->now = d->p->base[s->now], r->drawn = d->p->base[s->drawn];
  r->now.carriers |= d->p->touched[s->now], r->drawn.carriers |= d->p->touched[s->drawn];
  for (size_t i = 0; i < SY_DRAWS; i++) {
    const sy_car *car = step_car(d, s, i);
    totals_at(d, s->now, i, &r->now);
    if (s->drawn != s->now) totals_at(d, s->drawn, i, &r->drawn);
    const sy_totals *drawn = s->drawn != s->now ? &r->drawn : &r->now;
    const bool stands =
        car != NULL && s->set->solve(car, &r->now, drawn, NULL, true, r->state.room, NULL) == SY_OK;
    for (int k = 0; k < s->count; k++) {
      const sy_answer_row *row = &s->set->row[s->asked[k].row];
      r->value[s->first + (size_t)k][i] =
          stands ? s->asked[k].scale * row->value(r->state.room, row->at + s->asked[k].index) : (double)NAN;
    }
  }
}

static void run_lanes(const drawing *d, const plan_set *s) {
  const sy_lane_sums *sums = &d->r->sums[s->now];
  sy_lane_sum by[SY_BALANCE_SUMS];
  for (int k = 0; k < SY_BALANCE_SUMS; k++) by[k] = (sy_lane_sum){sums->of[k], 0.0};
  for (int a = 0; a < s->count; a++) {
    double *value = d->r->value[s->first + (size_t)a];
    d->p->balance(&s->lane[a], by, SY_DRAWS, value, false);
    for (int i = 0; i < SY_DRAWS; i++)
      if (!(sums->of[0][i] > 0)) value[i] = (double)NAN; /* as sy_balance_make: nothing aboard has a mass */
  }
}

static void add_effects(const drawing *d, const plan_set *s) {
  const sy_spread *p = d->p;
  for (size_t a = s->first; a < s->first + (size_t)s->count; a++) {
    for (int i = 0; i < SY_DRAWS; i++) d->r->value[a][i] = p->value[a];
    for (size_t j = 0; j < p->sources; j++) {
      const double by = p->effect[a * p->sources + j];
      if (by != 0) d->k->add(by, d->r->lane[p->source[j].lane], d->r->value[a]);
    }
  }
}

void sy_spread_block(const sy_spread *p, uint64_t block, sy_spread_room *room) {
  const drawing d = {p, p->kernels, room, (uint32_t)(block * (SY_DRAWS / 4))};
  for (size_t i = 0; i < p->sources; i++)
    if (p->source[i].lane != SY_NO_ERROR) draw_lane(&d, i, room->lane[p->source[i].lane]);
  if (p->all_global) condition(&d);
  begin(&d);
  draw_lones(&d, 0);
  if (p->pooled != 0) {
    draw_lones(&d, p->pooled);
    draw_pools(&d);
  }
  for (size_t i = 0; i < p->lines; i++) draw_line(&d, &p->line[i]);
  for (size_t i = 0; i < p->sets; i++) {
    if (p->set[i].runs_linear)
      add_effects(&d, &p->set[i]);
    else if (p->set[i].in_lanes)
      run_lanes(&d, &p->set[i]);
    else
      solve_set(&d, &p->set[i]);
  }
}
