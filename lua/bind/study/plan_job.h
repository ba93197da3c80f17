/* plan_job.h - plans run over columns, block by block, by any number of threads.
**
** A block is what one thread does at a time. Within it variants of one case that follow each other go to their plans together, so the bits do
** not depend on blocks or threads; what blocks come to is joined in their order.
*/
#ifndef SYL_BIND_STUDY_PLAN_JOB_H
#define SYL_BIND_STUDY_PLAN_JOB_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

#include "bind/study/column.h"
#include "bind/study/plan.h"
#include "study/summary.h"

enum {
  SYL_PLAN_CHUNK = 512,    /* variants that sy_plan_settle takes */
  SYL_PLAN_ROOM = 1 << 14, /* values of a chunk: threads of some systems have half a megabyte of stack */
  SYL_PLAN_SETS = 16,
  SYL_PLAN_CHOICES = 16
};

/* An input whose values are numbers of words, from 1; or (`empty`) one of a tank, which is the first of two words at 0; or, with `stands`,
** one that leaves the wheels where the file has them at one value. */
typedef struct syl_plan_choice {
  unsigned input;
  size_t count;
  bool empty;
  double stands;
} syl_plan_choice;

typedef struct syl_plan_job {
  size_t first, count, block; /* variants; `first` from 0 */
  size_t chunk;               /* of a block at a time */
  unsigned inputs;
  const syl_column *point[SY_PLAN_MOST_INPUTS];
  syl_plan_choice word[SYL_PLAN_CHOICES], wheel[SYL_PLAN_CHOICES];
  size_t words, wheels, cases; /* cases: combinations of words, twice as many where wheels may move */
  bool stream;                 /* columns are larger than caches */
  size_t sets;
  const syl_plan *const *plan[SYL_PLAN_SETS]; /* by set, then by case; NULL: nothing is known then */
  size_t outputs[SYL_PLAN_SETS], before[SYL_PLAN_SETS]; /* of each set, and of all sets before it */
  size_t kept[SYL_PLAN_SETS];                           /* entries of its columns */
  double **column[SYL_PLAN_SETS],
      **sd[SYL_PLAN_SETS]; /* by set, then by its outputs: where variant 0 lies; NULL where it is not wanted */
  sy_summary **summary[SYL_PLAN_SETS]; /* likewise, what is added to in the end */
  sy_summary *part;                    /* by block, then by output of all sets */
  size_t part_outputs, number;         /* of a block; of the first variant, for summaries */
  atomic_size_t singly;                /* variants that took a search of their own, by any set */
  atomic_size_t missed;                /* 1 + the first variant that has a value without an answer; 0: none */
} syl_plan_job;

/* How many summaries a job needs room for in `part`. */
size_t syl_plan_job_parts(const syl_plan_job *j);

/* All variants, by so many threads; false where there are too many blocks. Then `missed` and `singly` say how it went. */
bool syl_plan_job_run(syl_plan_job *j, int threads);

/* What the blocks came to goes to the summaries that were asked for. */
void syl_plan_job_join(const syl_plan_job *j);

#endif
