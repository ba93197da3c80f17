/* montecarlo_run.c - runs blocks, tallies what they find, and says what the tallies mean. */
#include "study/montecarlo.h"

#include <math.h>
#include <stdatomic.h>
#include <string.h>

#include "study/blocks.h"
#include "study/montecarlo_plan.h"

/* ---- tallies of one block ---------------------------------------------------------------------------------------------------------- */

static double *answer_numbers(double *numbers, size_t answer) { return numbers + answer * N_ANSWER; }

/* Of the draws that have all answers: how many, sums of each, sums of products row by row. */
static double *all_numbers(const sy_spread *p, double *numbers) { return numbers + p->answers * N_ANSWER; }

static void start_numbers(const sy_spread *p, double *numbers) {
  memset(numbers, 0, p->numbers * sizeof *numbers);
  for (size_t a = 0; a < p->answers; a++) {
    answer_numbers(numbers, a)[N_LOW] = (double)INFINITY;
    answer_numbers(numbers, a)[N_HIGH] = -(double)INFINITY;
  }
}

/* Places 4 c + q of a block lie at c + 64 q: is the draw among the first `draws`? */
static size_t draw_at(uint64_t block, size_t place) {
  return (size_t)(block * SY_DRAWS) + 4 * (place % (SY_DRAWS / 4)) + place / (SY_DRAWS / 4);
}

typedef struct known_lanes {
  sy_lane off;  /* value less the first-order one, 0 where there is none */
  sy_lane mask; /* 1 where there is one */
  double count;
} known_lanes;

/* Which places of a block hold draws that are asked for. */
static void mark_draws(uint64_t block, uint64_t draws, sy_lane here) {
  for (size_t i = 0; i < SY_DRAWS; i++) here[i] = draw_at(block, i) < draws ? 1.0 : 0.0;
}

static void count_limits(double below, double above, const sy_lane value, const sy_lane mask, double *n) {
  for (int i = 0; i < SY_DRAWS && !isnan(below); i++) n[N_BELOW] += mask[i] > 0 && value[i] < below;
  for (int i = 0; i < SY_DRAWS && !isnan(above); i++) n[N_ABOVE] += mask[i] > 0 && value[i] > above;
}

static void tally_answer(const sy_spread *p, const sy_draw_kernels *k, const sy_lane here, size_t a,
                         sy_spread_room *r, known_lanes *known, double *numbers) {
  double *n = answer_numbers(numbers, a), ends[2] = {n[N_LOW], n[N_HIGH]};
  const double middle = isfinite(p->first[a].value) ? p->first[a].value : 0.0;
  uint32_t *counts = r->counts + a * SY_SPREAD_COUNTS;
  int32_t bin[SY_DRAWS];
  k->judge(r->value[a], here, middle, p->first[a].from, 1.0 / p->width[a], SY_SPREAD_BINS, known->mask,
           known->off, bin, ends);
  n[N_LOW] = ends[0], n[N_HIGH] = ends[1];
  known->count = k->plain_sum(known->mask);
  for (int i = 0; i < SY_DRAWS; i++)
    if (known->mask[i] > 0) counts[bin[i]]++;
  count_limits(p->below[a], p->above[a], r->value[a], known->mask, n);
  n[N_KNOWN] = known->count;
  n[N_FIRST] = k->plain_sum(known->off);
  n[N_SQUARE] = k->product_sum(known->off, known->off);
  for (size_t i = 0; i < p->inputs[a]; i++) {
    const double *e = r->lane[p->source[p->input[a][i]].lane];
    sy_lane masked;
    for (int j = 0; j < SY_DRAWS; j++) masked[j] = known->mask[j] * e[j];
    double *of = n + N_INPUTS + i * N_OF_INPUT;
    of[I_FIRST] = k->plain_sum(masked);
    of[I_SQUARE] = k->product_sum(masked, masked);
    of[I_PRODUCT] = k->product_sum(masked, known->off);
  }
}

static void tally_pairs(const sy_spread *p, const sy_draw_kernels *k, const known_lanes *known,
                        double *numbers) {
  double *n = all_numbers(p, numbers);
  sy_lane all;
  bool any_unknown = false;
  for (int i = 0; i < SY_DRAWS; i++) {
    all[i] = 1.0;
    for (size_t a = 0; a < p->answers; a++) all[i] *= known[a].mask[i];
    any_unknown = any_unknown || all[i] == 0;
  }
  n[0] = k->plain_sum(all);
  double *product = n + 1 + p->answers;
  sy_lane left;
  for (size_t a = 0; a < p->answers; a++) {
    for (int i = 0; i < SY_DRAWS; i++) left[i] = any_unknown ? all[i] * known[a].off[i] : known[a].off[i];
    n[1 + a] = k->plain_sum(left);
    for (size_t b = 0; b <= a; b++) *product++ = k->product_sum(left, known[b].off);
  }
}

/* ---- runs ---------------------------------------------------------------------------------------------------------------------------- */

enum { MOST_ROOMS = SY_BLOCKS_MOST_THREADS };

typedef struct run {
  const sy_spread *p;
  uint64_t first, draws;
  double *numbers; /* blocks x numbers */
  sy_spread_room *room[MOST_ROOMS];
  known_lanes *known[MOST_ROOMS];
  atomic_flag taken[MOST_ROOMS];
  int rooms;
} run;

/* A room that no other thread is in: there are as many as threads. */
static int enter(run *r) {
  for (int i = 0;; i = (i + 1) % r->rooms)
    if (!atomic_flag_test_and_set(&r->taken[i])) return i;
}

static void run_block(void *with, size_t block) {
  run *r = with;
  const sy_spread *p = r->p;
  const sy_draw_kernels *k = p->kernels;
  const int mine = enter(r);
  double *numbers = r->numbers + block * p->numbers;
  start_numbers(p, numbers);
  sy_spread_block(p, r->first + block, r->room[mine]);
  sy_lane here;
  mark_draws(r->first + block, r->draws, here);
  for (size_t a = 0; a < p->answers; a++)
    tally_answer(p, k, here, a, r->room[mine], &r->known[mine][a], numbers);
  tally_pairs(p, k, r->known[mine], numbers);
  atomic_flag_clear(&r->taken[mine]);
}

static bool make_rooms(run *r, int threads) {
  const sy_alloc *alloc = &r->p->alloc;
  for (r->rooms = 0; r->rooms < threads; r->rooms++) {
    const int i = r->rooms;
    atomic_flag_clear(&r->taken[i]);
    r->known[i] = NULL;
    r->room[i] = sy_spread_room_new(r->p);
    if (r->room[i] == NULL) return false;
    r->known[i] = sy_alloc_new(alloc, (r->p->answers + 1) * sizeof **r->known);
    if (r->known[i] == NULL) {
      sy_spread_room_free(r->p, r->room[i]);
      return false;
    }
  }
  return true;
}

static void end_rooms(run *r) {
  for (int i = 0; i < r->rooms; i++) {
    sy_alloc_free(&r->p->alloc, r->known[i], (r->p->answers + 1) * sizeof **r->known);
    sy_spread_room_free(r->p, r->room[i]);
  }
}

static sy_status no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "spread", NULL, "memory is out"); }

static int threads_for(int threads, size_t count) {
  if (threads > MOST_ROOMS) threads = MOST_ROOMS;
  if ((size_t)(threads > 0 ? threads : 1) > count) threads = (int)count;
  return threads > 1 ? threads : 1;
}

sy_status sy_spread_run(const sy_spread *p, uint64_t first, size_t count, uint64_t draws, int threads,
                        double *numbers, uint32_t *counts, sy_error *err) {
  run r = {.p = p, .first = first, .draws = draws};
  const size_t bytes = (count * p->numbers + 1) * sizeof(double);
  const int workers = threads_for(threads, count);
  r.numbers = sy_alloc_new(&p->alloc, bytes);
  const bool fine = r.numbers != NULL && make_rooms(&r, workers);
  sy_status status = fine ? sy_blocks_run(0, count, workers, run_block, &r) : no_memory(err);
  if (fine && status != SY_OK) status = sy_fail(err, status, "spread", "blocks", "run over the end");
  if (status == SY_OK) {
    sy_spread_nothing(p, numbers);
    for (size_t b = 0; b < count; b++) sy_spread_fold(p, r.numbers + b * p->numbers, numbers);
    memset(counts, 0, p->answers * SY_SPREAD_COUNTS * sizeof *counts);
    for (int i = 0; i < r.rooms; i++)
      for (size_t c = 0; c < p->answers * SY_SPREAD_COUNTS; c++) counts[c] += r.room[i]->counts[c];
  }
  end_rooms(&r);
  sy_alloc_free(&p->alloc, r.numbers, bytes);
  return status;
}

sy_status sy_spread_values(const sy_spread *p, uint64_t block, double *values, sy_error *err) {
  sy_spread_room *room = sy_spread_room_new(p);
  if (room == NULL) return no_memory(err);
  sy_spread_block(p, block, room);
  memcpy(values, room->value, p->answers * sizeof(sy_lane));
  sy_spread_room_free(p, room);
  return SY_OK;
}

sy_spread *sy_spread_restored(const sy_alloc *alloc, size_t answers, const sy_spread_first *first,
                              const size_t *inputs) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_spread *p = answers <= SY_SPREAD_ANSWERS ? sy_alloc_new(&own, sizeof *p) : NULL;
  if (p == NULL) return NULL;
  memset(p, 0, sizeof *p);
  p->alloc = own, p->answers = answers;
  p->numbers = answers * N_ANSWER + numbers_of_pairs(answers);
  for (size_t a = 0; a < answers; a++) {
    p->first[a] = first[a];
    p->width[a] = (first[a].to - first[a].from) / SY_SPREAD_BINS;
    p->inputs[a] = inputs[a] < SY_SPREAD_INPUTS ? inputs[a] : (size_t)SY_SPREAD_INPUTS;
  }
  return p;
}

size_t sy_spread_numbers(const sy_spread *p) { return p->numbers; }

void sy_spread_nothing(const sy_spread *p, double *numbers) { start_numbers(p, numbers); }

void sy_spread_fold(const sy_spread *p, const double *numbers, double *total) {
  for (size_t i = 0; i < p->numbers; i++) {
    const size_t of_answer = i < p->answers * N_ANSWER ? i % N_ANSWER : (size_t)N_KNOWN;
    if (of_answer == N_LOW)
      total[i] = numbers[i] < total[i] ? numbers[i] : total[i];
    else if (of_answer == N_HIGH)
      total[i] = numbers[i] > total[i] ? numbers[i] : total[i];
    else
      total[i] += numbers[i];
  }
}

/* ---- results
** --------------------------------------------------------------------------------------------------------------------------- */

static double variance_of(double n, double first, double square) {
  const double mean = first / n, sum = square - n * mean * mean;
  return n >= SY_SPREAD_LEAST ? fmax(sum, 0.0) / (n - 1.0) : (double)NAN;
}

sy_spread_result sy_spread_result_of(const sy_spread *p, const double *total, size_t answer) {
  const double *n = total + answer * N_ANSWER, known = n[N_KNOWN];
  const double middle = isfinite(p->first[answer].value) ? p->first[answer].value : 0.0;
  sy_spread_result r = {.drawn = known, .below = n[N_BELOW], .above = n[N_ABOVE]};
  r.mean = known > 0 ? middle + n[N_FIRST] / known : (double)NAN;
  r.sd = sqrt(variance_of(known, n[N_FIRST], n[N_SQUARE]));
  r.mean_error = r.sd / sqrt(known);
  r.sd_error =
      r.sd /
      sqrt(2.0 * known); /* of nearly normal ones: JCGM 101:2008, 7.9.4 takes as many draws as that needs */
  r.low = known > 0 ? n[N_LOW] : (double)NAN;
  r.high = known > 0 ? n[N_HIGH] : (double)NAN;
  return r;
}

double sy_spread_covariance(const sy_spread *p, const double *total, size_t a, size_t b) {
  const double *n = total + p->answers * N_ANSWER, *product = n + 1 + p->answers, count = n[0];
  const size_t high = a > b ? a : b, low = a > b ? b : a;
  if (count < SY_SPREAD_LEAST) return (double)NAN;
  return (product[high * (high + 1) / 2 + low] - n[1 + a] * n[1 + b] / count) / (count - 1.0);
}

double sy_spread_correlation(const sy_spread *p, const double *total, size_t a, size_t b) {
  const double va = sy_spread_covariance(p, total, a, a), vb = sy_spread_covariance(p, total, b, b);
  if (!(va > 0 && vb > 0)) return (double)NAN;
  return a == b ? 1.0 : fmax(-1.0, fmin(1.0, sy_spread_covariance(p, total, a, b) / sqrt(va * vb)));
}

double sy_spread_input_correlation(const sy_spread *p, const double *total, size_t answer, size_t i) {
  const double *n = total + answer * N_ANSWER, *of = n + N_INPUTS + i * N_OF_INPUT, count = n[N_KNOWN];
  const double va = variance_of(count, n[N_FIRST], n[N_SQUARE]);
  const double vb = variance_of(count, of[I_FIRST], of[I_SQUARE]);
  if (i >= p->inputs[answer] || !(va > 0 && vb > 0)) return (double)NAN;
  const double both = (of[I_PRODUCT] - of[I_FIRST] * n[N_FIRST] / count) / (count - 1.0);
  return fmax(-1.0, fmin(1.0, both / sqrt(va * vb)));
}

double sy_spread_percentile(const sy_spread *p, const uint64_t *counts, size_t answer, double share) {
  const uint64_t *own = counts + answer * SY_SPREAD_COUNTS;
  double all = 0, below = (double)own[SY_SPREAD_UNDER];
  for (size_t i = 0; i < SY_SPREAD_COUNTS; i++) all += (double)own[i];
  const double rank = share * all;
  if (!(all > 0) || rank < below) return (double)NAN;
  for (size_t i = 0; i < SY_SPREAD_BINS; i++) {
    const double here = (double)own[i];
    if (here > 0 && below + here >= rank)
      return p->first[answer].from + p->width[answer] * ((double)i + (rank - below) / here);
    below += here;
  }
  return (double)NAN;
}

size_t sy_spread_answers(const sy_spread *p) { return p->answers; }

sy_spread_first sy_spread_first_of(const sy_spread *p, size_t answer) { return p->first[answer]; }

size_t sy_spread_inputs(const sy_spread *p, size_t answer, size_t source[SY_SPREAD_INPUTS]) {
  memcpy(source, p->input[answer], p->inputs[answer] * sizeof *source);
  return p->inputs[answer];
}

size_t sy_spread_drawn(const sy_spread *p) {
  size_t count = 0;
  for (size_t i = 0; i < p->sources; i++) count += p->source[i].lane != SY_NO_ERROR;
  for (size_t i = 0; i < p->owns; i++) count++;
  for (size_t i = 0; i < p->lones; i++)
    for (int k = 0; k < 4; k++) {
      const size_t source = p->lone[i].source[k];
      count += source != NONE && p->source[source].lane == SY_NO_ERROR &&
               !(k > 0 && p->lone[i].pooled >> (k - 1) & 1u);
    }
  for (int axis = 0; axis < 3; axis++) count += p->pooled >> axis & 1u;
  return count;
}
