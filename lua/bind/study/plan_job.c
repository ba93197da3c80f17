#include "bind/study/plan_job.h"

#include <math.h>
#include <string.h>

#include "study/blocks.h"

static size_t case_of(const syl_plan_job *j, double *const *value, size_t i) {
  size_t at = 0;
  bool moved = false;
  for (size_t k = 0; k < j->words; k++) {
    const double given = value[j->word[k].input][i],
                 v = j->word[k].empty ? (given == 0.0 ? 1.0 : 2.0) : given;
    if (!(v >= 1.0 && v <= (double)j->word[k].count)) return j->cases;
    at = at * j->word[k].count + ((size_t)v - 1);
  }
  for (size_t k = 0; k < j->wheels; k++) moved = moved || value[j->wheel[k].input][i] != j->wheel[k].stands;
  return j->wheels > 0 ? 2 * at + moved : at;
}

static void miss(syl_plan_job *j, size_t variant) {
  size_t before = atomic_load(&j->missed);
  while ((before == 0 || before > variant + 1) &&
         !atomic_compare_exchange_weak(&j->missed, &before, variant + 1)) {
  }
}

static void leave_unknown(const sy_plan_into *into, size_t outputs, size_t count) {
  for (size_t o = 0; o < outputs; o++) {
    for (size_t i = 0; i < count && into->column[o] != NULL; i++) into->column[o][i] = (double)NAN;
    for (size_t i = 0; i < count && into->sd[o] != NULL; i++) into->sd[o][i] = (double)NAN;
    if (into->summary[o] != NULL) into->summary[o]->unknown += count;
  }
}

/* Variants from `from` on whose values lie at `value`, all of one case. */
static void solve_run(syl_plan_job *j, size_t block, size_t from, size_t count, size_t which,
                      const double *const *value, bool *singly) {
  for (size_t s = 0; s < j->sets; s++) {
    const syl_plan *plan = which < j->cases ? j->plan[s][which] : NULL;
    double *column[SY_MOST_ASKED], *sd[SY_MOST_ASKED];
    sy_summary *summary[SY_MOST_ASKED];
    for (size_t o = 0; o < j->outputs[s]; o++) {
      column[o] = j->column[s][o] != NULL ? j->column[s][o] + from : NULL;
      sd[o] = j->sd[s][o] != NULL ? j->sd[s][o] + from : NULL;
      summary[o] = j->summary[s][o] != NULL ? &j->part[block * j->part_outputs + j->before[s] + o] : NULL;
    }
    const sy_plan_into into = {column, sd, summary, j->number + (from - j->first), j->stream, singly};
    if (plan != NULL && sy_plan_run(&plan->ready, value, count, &into, NULL) == SY_OK) continue;
    leave_unknown(&into, j->outputs[s], count);
    if (plan != NULL || which >= j->cases) miss(j, from);
  }
}

/* By input, up to j->chunk of them, in `room`. */
static void read_values_of(const syl_plan_job *j, size_t from, size_t count, double room[SYL_PLAN_ROOM],
                           double *value[SY_PLAN_MOST_INPUTS]) {
  for (unsigned k = 0; k < j->inputs; k++) {
    value[k] = room + k * j->chunk;
    syl_column_read(j->point[k], from, count, value[k]);
  }
}

/* As many as are of one case and follow each other: where they end. */
static size_t end_of_run(const syl_plan_job *j, double *const *value, size_t at, size_t count,
                         size_t *which) {
  *which = case_of(j, value, at);
  size_t end = j->words == 0 && j->wheels == 0 ? count : at + 1;
  while (end < count && case_of(j, value, end) == *which) end++;
  return end;
}

static void do_chunk(syl_plan_job *j, size_t block, size_t from, size_t count) {
  double room[SYL_PLAN_ROOM], *value[SY_PLAN_MOST_INPUTS];
  bool singly[SYL_PLAN_CHUNK];
  size_t at = 0, alone = 0;
  memset(singly, 0, count * sizeof *singly);
  read_values_of(j, from, count, room, value);
  while (at < count) {
    size_t which;
    const size_t end = end_of_run(j, value, at, count, &which);
    const double *here[SY_PLAN_MOST_INPUTS];
    for (unsigned k = 0; k < j->inputs; k++) here[k] = value[k] + at;
    solve_run(j, block, from + at, end - at, which, here, singly + at);
    at = end;
  }
  if (memchr(singly, 1, count) == NULL) return; /* most often */
  for (size_t i = 0; i < count; i++) alone += singly[i];
  atomic_fetch_add(&j->singly, alone);
}

static void do_block(void *with, size_t block) {
  syl_plan_job *j = with;
  const size_t end = block * j->block + j->block < j->count ? block * j->block + j->block : j->count;
  for (size_t at = block * j->block; at < end; at += j->chunk)
    do_chunk(j, block, j->first + at, end - at < j->chunk ? end - at : j->chunk);
}

/* An extreme of output o of set s was noted as of variant `number`, the first of a run: of which it is. */
static void settle(const syl_plan_job *j, sy_summary *summary, size_t s, size_t o, uint64_t number) {
  double room[SYL_PLAN_ROOM], *value[SY_PLAN_MOST_INPUTS];
  const double *here[SY_PLAN_MOST_INPUTS];
  const size_t at = (size_t)(number - j->number), in_block = at % j->block;
  size_t count = j->chunk - in_block % j->chunk, which; /* to the end of the chunk, of the block, of all */
  count = count < j->block - in_block ? count : j->block - in_block;
  count = count < j->count - at ? count : j->count - at;
  read_values_of(j, j->first + at, count, room, value);
  for (unsigned k = 0; k < j->inputs; k++) here[k] = value[k];
  const size_t run = end_of_run(j, value, 0, count, &which);
  if (which < j->cases && j->plan[s][which] != NULL)
    (void)sy_plan_settle(&j->plan[s][which]->ready, here, run, number, o, summary, NULL);
}

static size_t blocks_of(const syl_plan_job *j) { return (j->count + j->block - 1) / j->block; }

size_t syl_plan_job_parts(const syl_plan_job *j) { return blocks_of(j) * j->part_outputs; }

bool syl_plan_job_run(syl_plan_job *j, int threads) {
  return sy_blocks_run(0, blocks_of(j), threads, do_block, j) == SY_OK;
}

void syl_plan_job_join(const syl_plan_job *j) {
  const size_t blocks = blocks_of(j);
  for (size_t s = 0; s < j->sets; s++)
    for (size_t o = 0; o < j->outputs[s]; o++) {
      sy_summary joined = sy_summary_begin();
      if (j->summary[s][o] == NULL) continue;
      for (size_t b = 0; b < blocks; b++)
        sy_summary_join(&joined, &j->part[b * j->part_outputs + j->before[s] + o]);
      if (joined.known > 0) {
        settle(j, &joined, s, o, joined.at_min);
        settle(j, &joined, s, o, joined.at_max);
      }
      sy_summary_join(j->summary[s][o], &joined);
    }
}
