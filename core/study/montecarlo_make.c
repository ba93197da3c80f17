/* montecarlo_make.c - what is drawn, and what it does to first order. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/rng_lanes.h"
#include "study/montecarlo_plan.h"

static sy_status no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "spread", NULL, "memory is out"); }

/* ---- ledgers and sets ----------------------------------------------------------------------------------------------------------- */

static size_t number_of(sy_spread *p, const sy_ledger *ledger, sy_status *status, sy_error *err) {
  for (size_t i = 0; i < p->ledgers; i++)
    if (p->ledger[i] == ledger) return i;
  if (p->ledgers == SY_MOST_TERMS) {
    *status = sy_fail(err, SY_LIMIT, "spread", "ledgers", "are more than %d", (int)SY_MOST_TERMS);
    return 0;
  }
  p->ledger[p->ledgers] = ledger;
  return p->ledgers++;
}

static sy_status take_set(sy_spread *p, const sy_spread_set *from, sy_error *err) {
  plan_set *s = &p->set[p->sets];
  sy_status status = sy_car_check(from->car, err);
  if (status != SY_OK) return status;
  if (from->count < 0 || p->answers + (size_t)from->count > SY_SPREAD_ANSWERS)
    return sy_fail(err, SY_LIMIT, "spread", "answers", "are more than %d", (int)SY_SPREAD_ANSWERS);
  memset(s, 0, sizeof *s);
  s->set = from->set, s->car = *from->car, s->count = from->count, s->first = p->answers;
  memcpy(s->asked, from->asked, (size_t)from->count * sizeof *s->asked);
  s->runs_linear = from->set->found != NULL;
  const size_t stated = from->car->stated_count;
  s->stated = sy_alloc_new(&p->alloc, (stated + 1) * sizeof *s->stated);
  s->follows = sy_alloc_new(&p->alloc, (stated + 1) * sizeof *s->follows);
  p->sets++, p->answers += (size_t)from->count;
  if (s->stated == NULL || s->follows == NULL) return no_memory(err);
  if (stated > 0) memcpy(s->stated, from->car->stated, stated * sizeof *s->stated);
  s->car.stated = s->stated;
  s->now = number_of(p, s->car.now, &status, err);
  s->drawn = s->set->on_drawn ? number_of(p, s->car.drawn, &status, err) : s->now;
  const sy_beside *beside = s->car.beside;
  s->at = beside != NULL && beside->at != NULL ? number_of(p, beside->at, &status, err) : NONE;
  if (s->at != NONE) s->drawn = number_of(p, s->car.drawn, &status, err);
  return status;
}

/* ---- sources ------------------------------------------------------------------------------------------------------------------------ */

static size_t most_sources(const sy_spread *p) {
  size_t most = p->list->errors + 1;
  for (size_t i = 0; i < p->sets; i++)
    most += p->set[i].car.stated_count + (size_t)p->set[i].count * SY_MOST_OWN;
  return most;
}

static size_t add_source(sy_spread *p, sy_spread_source is, double sd) {
  p->source[p->sources] = (drawn_source){.is = is, .sd = sd, .lane = SY_NO_ERROR};
  return p->sources++;
}

static size_t source_of_stated(sy_spread *p, size_t set, const sy_stated *stated) {
  const sy_car *car = &p->set[set].car;
  for (size_t i = p->list->errors; i < p->sources; i++) {
    const sy_spread_source *is = &p->source[i].is;
    if (is->stated != NULL && sy_same_stated(&p->set[is->in].car, is->stated, car, stated)) return i;
  }
  return add_source(p, (sy_spread_source){.stated = stated, .in = set}, stated->sd);
}

static void add_stated(sy_spread *p, size_t set) {
  plan_set *s = &p->set[set];
  for (size_t k = 0; k < s->car.stated_count && !s->runs_linear; k++) {
    const sy_stated *stated = &s->stated[k];
    const bool measured = sy_stated_measured(stated);
    if (!(s->set->fields >> stated->field & 1u)) continue;
    const int place =
        sy_car_stated_read(&s->car, stated) ? sy_error_list_place(p->list, stated->error) : SY_NO_ERROR;
    const size_t source = measured               ? NONE
                          : place != SY_NO_ERROR ? (size_t)place
                                                 : source_of_stated(p, set, stated);
    s->follows[s->follow_count++] = (set_stated){k, source, measured};
  }
}

static size_t source_of_own(sy_spread *p, const sy_own_error *own) {
  for (size_t i = p->list->errors; i < p->sources; i++) {
    const sy_own_error *other = p->source[i].is.own;
    if (other != NULL && other->key == own->key && other->value == own->value && other->sd == own->sd)
      return i;
  }
  const size_t at = add_source(p, (sy_spread_source){.own = own}, 1.0);
  p->source[at].own = *own;
  p->source[at].is.own = &p->source[at].own;
  return at;
}

/* ---- first order ----------------------------------------------------------------------------------------------------------------------
** */

static double *effects_of(const sy_spread *p, size_t answer) { return p->effect + answer * p->sources; }

static bool is_zero(const sy_sensitivity *g) {
  return g->m == 0 && g->first.x == 0 && g->first.y == 0 && g->first.z == 0 && g->second.xx == 0 &&
         g->second.yy == 0 && g->second.zz == 0 && g->second.xy == 0 && g->second.xz == 0 &&
         g->second.yz == 0;
}

/* What the errors of one ledger do to an answer by way of its sums. */
static void add_by_sums(const sy_spread *p, size_t ledger, double factor, const sy_sensitivity *g,
                        const double *mean, double *effect) {
  sy_sensitivity by[SY_MOST_TERMS + SY_MOST_RECORDS];
  if (factor == 0 || is_zero(g)) return;
  for (size_t t = 0; t < SY_MOST_TERMS + SY_MOST_RECORDS; t++)
    by[t] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
  by[ledger] = (sy_sensitivity){factor * g->m, sy_vec3_scale(factor, g->first),
                                sy_sym3_scale(factor, g->second), g->carriers, g->flat};
  sy_error_list_effects(p->list, by, mean, effect);
}

/* What an answer needs summed. */
static void note_needs(sy_spread *p, const plan_set *s, const sy_sensitivity *g) {
  const sy_sym3 q = g->second;
  if (strcmp(s->set->name, "balance") != 0) {
    p->second = SY_ALL_SECOND;
    p->carriers = SY_ALL_CARRIERS;
    return;
  }
  if (g->carriers != SY_ALL_CARRIERS) p->carriers = SY_ALL_CARRIERS;
  if (q.zz != 0 || q.xy != 0 || q.xz != 0 || q.yz != 0)
    p->second = SY_ALL_SECOND;
  else if ((q.xx != 0 || q.yy != 0) && p->second == SY_NO_SECOND)
    p->second = SY_YAW_SECOND;
}

static void add_cross(const sy_spread *p, const plan_set *s, double by, const double *mean, double *effect) {
  const sy_beside *beside = s->car.beside;
  for (size_t k = 0; k < s->follow_count; k++)
    if (!s->follows[k].measured)
      effect[s->follows[k].source] += by * sy_beside_by_stated(beside, &s->stated[s->follows[k].stated]);
  const double measured = beside != NULL ? by * beside->by_measured : by;
  for (size_t j = 0; j < p->list->of_figures; j++) effect[j] += measured * p->list->beside[j];
  if (s->at == NONE) return;
  add_by_sums(p, s->at, by, &beside->by_at, mean, effect);
  add_by_sums(p, s->drawn, by, &beside->by_drawn, mean, effect);
}

static sy_status linear(sy_spread *p, plan_set *s, const sy_sums *grown, const double *mean, sy_error *err) {
  sy_sensitivity now[SY_MOST_ASKED], drawn[SY_MOST_ASKED];
  const size_t stated = s->car.stated_count;
  double *by = sy_alloc_new(&p->alloc, ((size_t)s->count * stated + 1) * sizeof *by);
  if (by == NULL) return no_memory(err);
  sy_totals t = p->base[s->now], d = p->base[s->drawn];
  t.all = sy_sums_add(&t.all, &grown[s->now]);
  t.carried[SY_CARRIER_BODY] = sy_sums_add(&t.carried[SY_CARRIER_BODY], &grown[s->now]);
  d.all = sy_sums_add(&d.all, &grown[s->drawn]);
  d.carried[SY_CARRIER_BODY] = sy_sums_add(&d.carried[SY_CARRIER_BODY], &grown[s->drawn]);
  const sy_status status = sy_answers_linear(s->set, &s->car, &t, &d, s->asked, s->count, p->value + s->first,
                                             now, drawn, by, err);
  for (int i = 0; i < s->count && status == SY_OK && !s->runs_linear; i++) {
    double *effect = effects_of(p, s->first + (size_t)i);
    note_needs(p, s, &now[i]);
    add_by_sums(p, s->now, 1.0, &now[i], mean, effect);
    if (s->set->on_drawn) add_by_sums(p, s->drawn, 1.0, &drawn[i], mean, effect);
    for (size_t k = 0; k < s->follow_count; k++) {
      const set_stated *f = &s->follows[k];
      const double one = by[(size_t)i * stated + f->stated];
      if (f->measured && p->list->beside != NULL)
        add_cross(p, s, one, mean, effect);
      else if (!f->measured)
        effect[f->source] += one;
    }
  }
  sy_alloc_free(&p->alloc, by, ((size_t)s->count * stated + 1) * sizeof *by);
  return status;
}

/* Answers that were found beforehand: by their own errors. */
static sy_status found(sy_spread *p, plan_set *s, bool count_only, sy_error *err) {
  sy_answer_state state;
  const sy_status status =
      s->set->solve(&s->car, &p->base[s->now], &p->base[s->drawn], NULL, true, state.room, err);
  for (int i = 0; i < s->count && status == SY_OK; i++) {
    const sy_answer_row *row = &s->set->row[s->asked[i].row];
    const sy_found *f = s->set->found(state.room, row->at + s->asked[i].index);
    for (int e = 0; e < f->errors; e++) {
      const size_t source = source_of_own(p, &f->error[e]);
      if (!count_only) effects_of(p, s->first + (size_t)i)[source] += s->asked[i].scale * f->error[e].effect;
    }
  }
  return status;
}

static double variance_of(const drawn_source *s) {
  const double sd = s->sd * sy_distribution_sd(s->kind);
  return sd * sd;
}

/* Effects given the records: each error's own less what the records' figures take back of it. */
void sy_spread_condition(sy_spread *p) {
  const sy_error_list *list = p->list;
  for (size_t a = 0; a < p->answers && list->figures > 0; a++) {
    double *effect = effects_of(p, a), w[SY_MOST_RECORDS * SY_RECORD_FIGURES] = {0};
    for (size_t j = 0; j < list->of_figures; j++)
      for (size_t r = 0; r < list->figures; r++)
        w[r] += list->figure[j * list->figures + r] * effect[j] * list->error[j].sd * list->error[j].sd;
    sy_error_list_solve(p->ledger[0], w);
    for (size_t j = 0; j < list->of_figures; j++)
      for (size_t r = 0; r < list->figures; r++) effect[j] -= w[r] * list->figure[j * list->figures + r];
  }
}

/* The largest of an answer by what one standard deviation of each does. */
static void find_inputs(sy_spread *p, size_t a) {
  const double *effect = effects_of(p, a);
  p->inputs[a] = 0;
  for (size_t j = 0; j < p->sources; j++) {
    const double size = fabs(effect[j]) * sqrt(variance_of(&p->source[j]));
    if (!(size > 0)) continue;
    size_t at = p->inputs[a];
    while (at > 0) {
      const drawn_source *other = &p->source[p->input[a][at - 1]];
      if (!(size > fabs(effect[p->input[a][at - 1]]) * sqrt(variance_of(other)))) break;
      if (at < SY_SPREAD_INPUTS) p->input[a][at] = p->input[a][at - 1];
      at--;
    }
    if (at < SY_SPREAD_INPUTS) p->input[a][at] = j;
    if (p->inputs[a] < SY_SPREAD_INPUTS) p->inputs[a]++;
  }
  for (size_t i = 0; i < p->inputs[a]; i++) p->source[p->input[a][i]].kept = true;
}

static double *mean_of_all(const sy_spread *p) {
  double *mean = sy_alloc_new(&p->alloc, (p->sources + 1) * sizeof *mean);
  for (size_t j = 0; mean != NULL && j < p->sources; j++)
    mean[j] = p->source[j].sd * sy_distribution_mean(p->source[j].kind);
  return mean;
}

sy_status sy_spread_effects(sy_spread *p, sy_error *err) {
  sy_sums grown[SY_MOST_TERMS + SY_MOST_RECORDS];
  double *mean = mean_of_all(p);
  if (mean == NULL) return no_memory(err);
  memset(grown, 0, sizeof grown);
  memset(p->effect, 0, p->answers * p->sources * sizeof *p->effect);
  sy_error_list_sums(p->list, mean, grown);
  sy_status status = SY_OK;
  for (size_t i = 0; i < p->sets && status == SY_OK; i++) {
    status = linear(p, &p->set[i], grown, mean, err);
    if (status == SY_OK && p->set[i].runs_linear) status = found(p, &p->set[i], false, err);
  }
  sy_alloc_free(&p->alloc, mean, (p->sources + 1) * sizeof *mean);
  return status;
}

/* Where nothing is known of how far an answer may spread, this of it. */
#define UNKNOWN_SHARE 0.01
/* And where it does not to first order: wide enough for a number as it is stored, and for the bins to have a width. */
#define LEAST_SHARE 1e-9

/* As the set says, or a few of the number's own. */
double sy_spread_rounding(const sy_spread *p, size_t a) {
  const plan_set *s = p->set;
  while (a >= s->first + (size_t)s->count) s++;
  const sy_asked *asked = &s->asked[a - s->first];
  const double own = 1e-12 * fabs(p->value[a]);
  if (s->set->rounding == NULL || !(fabs(asked->scale) > 0)) return own;
  const double said = s->set->rounding(&s->set->row[asked->row], p->value[a] / asked->scale);
  return fmax(own, fabs(asked->scale) * said);
}

static void set_bins(sy_spread *p, size_t a, double wider) {
  const double *effect = effects_of(p, a);
  double variance = 0;
  for (size_t j = 0; j < p->sources; j++) variance += effect[j] * effect[j] * variance_of(&p->source[j]);
  const double value = p->value[a], spread = isnan(value) ? (double)NAN : sqrt(variance);
  const double rounding = sy_spread_rounding(p, a), sd = spread <= rounding ? 0.0 : spread;
  const double middle = isfinite(value) ? value : 0.0, size = fabs(middle) > 0 ? fabs(middle) : 1.0;
  const double reach = wider * 8.0 * (isfinite(sd) ? fmax(sd, LEAST_SHARE * size) : UNKNOWN_SHARE * size);
  p->first[a] = (sy_spread_first){value, sd, middle - reach, middle + reach, rounding};
  p->width[a] = (p->first[a].to - p->first[a].from) / SY_SPREAD_BINS;
}

/* Answers of a balance of which nothing but the ledger errs go by the plan's kernels, which know how they follow the sums. */
static void set_lanes_of(sy_spread *p, plan_set *s) {
  sy_balance balance;
  s->in_lanes = strcmp(s->set->name, "balance") == 0 && s->follow_count == 0 &&
                sy_balance_make(&p->base[s->now], &s->car.vehicle, &s->car.map, &balance, NULL) == SY_OK;
  for (int i = 0; i < s->count && s->in_lanes; i++) {
    const sy_plan_output out = {&s->set->row[s->asked[i].row], s->asked[i].index, s->asked[i].scale, 0.0};
    s->in_lanes = sy_plan_lane_answer(&balance, &out, &s->lane[i]);
  }
}

/* ---- all of it
** -------------------------------------------------------------------------------------------------------------------------- */

static sy_status make(sy_spread *p, const sy_spread_set *sets, size_t count, const sy_spread_growth *growth,
                      bool weighed, sy_error *err) {
  sy_status status = SY_OK;
  for (size_t i = 0; i < count && status == SY_OK; i++) status = take_set(p, &sets[i], err);
  if (status == SY_OK) status = sy_error_list_make(&p->alloc, p->ledger, p->ledgers, weighed, &p->list, err);
  if (status == SY_OK && growth != NULL)
    status = sy_error_list_growth(p->list, growth->fraction, growth->fixed, growth->numbers, err);
  if (status != SY_OK) return status;
  for (size_t i = 0; i < p->ledgers; i++) sy_ledger_sums(p->ledger[i], &p->base[i]);
  for (size_t i = 0; i < p->list->stakes; i++) {
    const sy_stake *s = &p->list->stake[i];
    for (unsigned c = 0; c < s->carriers && s->term < p->ledgers; c++)
      p->touched[s->term] |= 1u << s->carrier[c];
  }
  const size_t most = most_sources(p);
  p->source = sy_alloc_new(&p->alloc, most * sizeof *p->source);
  if (p->source == NULL) return no_memory(err);
  for (size_t i = 0; i < p->list->errors; i++) {
    const bool grows = p->list->error[i].kind == SY_ERROR_GROWTH;
    add_source(p, (sy_spread_source){.error = &p->list->error[i]}, p->list->error[i].sd);
    if (grows) p->source[i].kind = SY_ALLOWANCE;
  }
  for (size_t i = 0; i < p->sets; i++) add_stated(p, i);
  for (size_t i = 0; i < p->sets && status == SY_OK; i++)
    if (p->set[i].runs_linear) status = found(p, &p->set[i], true, err);
  if (status != SY_OK) return status;
  for (size_t i = 0; i < p->sets; i++) set_lanes_of(p, &p->set[i]);
  p->effect = sy_alloc_new(&p->alloc, (p->answers * p->sources + 1) * sizeof *p->effect);
  if (p->effect == NULL) return no_memory(err);
  p->numbers = p->answers * N_ANSWER + numbers_of_pairs(p->answers);
  return SY_OK;
}

sy_status sy_spread_make(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                         const sy_spread_growth *growth, bool weighed, sy_spread **out, sy_error *err) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  if (count == 0 || count > SY_SPREAD_SETS)
    return sy_fail(err, SY_LIMIT, "spread", "sets", "are %zu, must be 1 to %d", count, (int)SY_SPREAD_SETS);
  sy_spread *p = sy_alloc_new(&own, sizeof *p);
  if (p == NULL) return no_memory(err);
  memset(p, 0, sizeof *p);
  p->alloc = own;
  for (int level = 1; level <= 4; level++) (void)sy_spread_use_level(p, level);
  const sy_status status = make(p, sets, count, growth, weighed, err);
  if (status == SY_OK)
    *out = p;
  else
    sy_spread_free(p);
  return status;
}

sy_status sy_spread_new(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                        const sy_spread_growth *growth, sy_spread **out, sy_error *err) {
  return sy_spread_make(alloc, sets, count, growth, false, out, err);
}

static void forget_plan(sy_spread *p) {
  sy_alloc_free(&p->alloc, p->lone, (p->list->stakes + 2) * sizeof *p->lone);
  sy_alloc_free(&p->alloc, p->line, (p->list->stakes + 1) * sizeof *p->line);
  sy_alloc_free(&p->alloc, p->own, (p->list->errors + 1) * sizeof *p->own);
  p->lone = NULL, p->line = NULL, p->own = NULL;
}

void sy_spread_free(sy_spread *p) {
  if (p == NULL) return;
  const sy_alloc alloc = p->alloc;
  for (size_t i = 0; i < p->sets; i++) {
    const size_t room = p->set[i].car.stated_count + 1;
    sy_alloc_free(&alloc, p->set[i].stated, room * sizeof(sy_stated));
    sy_alloc_free(&alloc, p->set[i].follows, room * sizeof(set_stated));
  }
  if (p->effect != NULL) sy_alloc_free(&alloc, p->effect, (p->answers * p->sources + 1) * sizeof *p->effect);
  if (p->list != NULL) {
    const size_t most = most_sources(p);
    forget_plan(p);
    if (p->source != NULL) sy_alloc_free(&alloc, p->source, most * sizeof *p->source);
  }
  sy_error_list_free(p->list);
  sy_alloc_free(&alloc, p, sizeof *p);
}

bool sy_spread_use_level(sy_spread *p, int level) {
  const sy_draw_kernels *kernels = sy_draw_kernels_of(level);
  if (kernels == NULL) return false;
  p->kernels = kernels;
  p->balance = sy_balance_lanes_v1;
#ifdef __x86_64__
  if (level == 3) p->balance = sy_balance_lanes_v3;
  if (level == 4) p->balance = sy_balance_lanes_v4;
#endif
  return true;
}

size_t sy_spread_sources(const sy_spread *p) { return p->sources; }

sy_spread_source sy_spread_source_of(const sy_spread *p, size_t i) { return p->source[i].is; }

void sy_spread_name(sy_spread *p, size_t i, uint64_t path, uint32_t quantity, sy_distribution kind) {
  drawn_source *s = &p->source[i];
  s->path = path, s->quantity = quantity, s->named = true;
  if (s->kind != SY_ALLOWANCE) s->kind = kind;
}

typedef struct named_source {
  uint64_t path;
  uint32_t quantity;
  size_t source;
} named_source;

static int by_name(const void *a, const void *b) {
  const named_source *l = a, *r = b;
  if (l->path != r->path) return l->path < r->path ? -1 : 1;
  if (l->quantity != r->quantity) return l->quantity < r->quantity ? -1 : 1;
  return l->source < r->source ? -1 : l->source > r->source;
}

/* Two sources of one path and quantity would be drawn alike. */
static sy_status check_names(const sy_spread *p, size_t *first, size_t *second, sy_error *err) {
  named_source *list = sy_alloc_new(&p->alloc, (p->sources + 1) * sizeof *list);
  sy_status status = SY_OK;
  if (list == NULL) return no_memory(err);
  for (size_t i = 0; i < p->sources; i++)
    list[i] = (named_source){p->source[i].path, p->source[i].quantity, i};
  qsort(list, p->sources, sizeof *list, by_name);
  for (size_t i = 1; i < p->sources && status == SY_OK; i++) {
    if (list[i - 1].path != list[i].path || list[i - 1].quantity != list[i].quantity) continue;
    *first = list[i - 1].source, *second = list[i].source;
    status = sy_fail(err, SY_CLASH, "spread", "path", "is that of two sources, which would be drawn alike");
  }
  sy_alloc_free(&p->alloc, list, (p->sources + 1) * sizeof *list);
  return status;
}

sy_status sy_spread_start(sy_spread *p, uint64_t seed, const double *wider, const double *below,
                          const double *above, size_t *first, size_t *second, sy_error *err) {
  for (size_t i = 0; i < p->sources; i++)
    if (!p->source[i].named) return sy_fail(err, SY_MISSING, "spread", "name", "of source %zu", i + 1);
  sy_status status = check_names(p, first, second, err);
  if (status != SY_OK) return status;
  forget_plan(p);
  for (size_t i = 0; i < p->sources; i++) p->source[i].kept = false, p->source[i].lane = SY_NO_ERROR;
  p->second = SY_NO_SECOND, p->carriers = 0;
  status = sy_spread_effects(p, err);
  if (status != SY_OK) return status;
  sy_spread_condition(p);
  for (size_t a = 0; a < p->answers; a++) {
    find_inputs(p, a);
    set_bins(p, a, wider != NULL ? wider[a] : 1.0);
    p->below[a] = below != NULL ? below[a] : (double)NAN;
    p->above[a] = above != NULL ? above[a] : (double)NAN;
  }
  sy_rng_schedule(sy_rng_key(seed), p->key);
  return sy_spread_compile(p) ? SY_OK : no_memory(err);
}
