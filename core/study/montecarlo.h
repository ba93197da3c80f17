/* montecarlo.h - how answers about a car spread when everything that is stated of it is drawn at random.
**
** Units     SI, and those of the answers times the scale they are asked with.
** Draws     of every elementary error (mass/error_list.h) of the ledgers, of the stated numbers of the cars (answers/car.h), and of what
**           was found of shafts, gaps and tanks (answers/found.h): each once a draw, and it acts wherever it is: in both pieces of a
**           pair, in all that was weighed on one instrument, in all sets of answers. Nothing is linear but: an inertia of usual density
**           grows as its mass (5/3); answers of sets that were found beforehand (shafts, clearances, usable) are drawn by the first-order
**           effects of their errors.
** Solved    for balance and the other sets the sums with the errors in them go to the set's own solve; numbers that are stated step the
**           car.
** Records   of a car as built: errors of ledgers and readings are drawn, then conditioned on the records: e' = e - C H^T S^-1 (H e + v),
**           about the ledgers as corrected. That is the conditional law exactly for normal errors as far as records are linear in them,
**           which is how the corrections were found too; what rests on e' is not linear.
** Pooled    where only the mass and first moments matter along an axis, given the masses these are normal, of variance sum (m sd)^2: one
**           normal then stands for all places of that axis, with the same joint law. Lines whose error has an own entry among the inputs,
**           a place not normally distributed or not along the vehicle's axes, or more errors than mass and place, are drawn one by one.
** Numbers   of random.h: which is by the caller's path and quantity of a source; so no source leaves another's draws changed.
** Statistics  of draws less the first-order value; by blocks of SY_DRAWS in their order, a block by eight lanes. Counts in bins of one
**             width.
** Threads   blocks are divided among them and their results joined in order: the same bits for any number.
** Source    propagation of distributions: JCGM 101:2008, 5 to 7; draws given observations: G. Matheron's conditioning of a simulation by
**           the residual (A. Journel & C. Huijbregts, Mining Geostatistics, 1978, VII.A; from memory).
*/
#ifndef SY_STUDY_MONTECARLO_H
#define SY_STUDY_MONTECARLO_H

#include "../answers/ask.h"
#include "../mass/error_list.h"
#include "random.h"

typedef struct sy_spread sy_spread;

enum {
  SY_SPREAD_SETS = 16,
  SY_SPREAD_ANSWERS = 64,
  SY_SPREAD_BINS = 16384,
  SY_SPREAD_INPUTS = 12, /* of an answer, the largest */
  SY_SPREAD_LEAST = 2    /* draws, for a standard deviation */
};

/* Answers of one set about one car. */
typedef struct sy_spread_set {
  const sy_answer_set *set;
  const sy_car
      *car; /* copied with its stated numbers; ledgers, tanks and what was found live as long as the spread */
  const sy_asked *asked;
  int count;
} sy_spread_set;

/* Allowances by the number of a part less 1 (error_list.h); NULL: growth is left out. */
typedef struct sy_spread_growth {
  const double *fraction, *fixed;
  size_t numbers;
} sy_spread_growth;

/* What is drawn: one of the three. */
typedef struct sy_spread_source {
  const sy_elementary *error;
  const sy_stated *stated; /* of the set `in`, the first that has it */
  const sy_own_error *own; /* found beforehand */
  size_t in;
} sy_spread_source;

/* Errors  SY_LIMIT  more than SY_SPREAD_SETS sets, SY_SPREAD_ANSWERS answers or SY_MOST_TERMS ledgers; memory is out; and those of
**                   sy_answers_linear and sy_error_list_make */
SY_API sy_status sy_spread_new(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                               const sy_spread_growth *growth, sy_spread **out, sy_error *err);
SY_API void sy_spread_free(sy_spread *spread); /* NULL is fine */

SY_API size_t sy_spread_sources(const sy_spread *spread);
SY_API sy_spread_source sy_spread_source_of(const sy_spread *spread, size_t i);

/* How a source is drawn: before sy_spread_start, each. An allowance is drawn as such whatever is named. */
SY_API void sy_spread_name(sy_spread *spread, size_t i, uint64_t path, uint32_t quantity,
                           sy_distribution kind);

/* All are named: works out first order and bins, and how to draw.
** wider   one an answer: times 8 first-order standard deviations to each side of the first-order value; 1, or more where draws fell
**         outside. NULL: 1 of all
** below, above  one an answer, NaN: not asked
** Errors  SY_CLASH  two sources have one path and quantity (their numbers in *first and *second) */
SY_API sy_status sy_spread_start(sy_spread *spread, uint64_t seed, const double *wider, const double *below,
                                 const double *above, size_t *first, size_t *second, sy_error *err);

/* To first order, and where the bins of an answer begin and end. */
typedef struct sy_spread_first {
  double value, sd; /* the value at the mean of all that is drawn */
  double from, to;
  double rounding; /* what rounding leaves of a spread that is none; sd is 0 up to it */
} sy_spread_first;

SY_API size_t sy_spread_answers(const sy_spread *spread);
SY_API sy_spread_first sy_spread_first_of(const sy_spread *spread, size_t answer);

/* The sources that an answer rests on most, to first order, the largest first; returns how many. */
SY_API size_t sy_spread_inputs(const sy_spread *spread, size_t answer, size_t source[SY_SPREAD_INPUTS]);

/* How many numbers are drawn in one draw; of these normal. */
SY_API size_t sy_spread_drawn(const sy_spread *spread);

/* Tallies: numbers that are folded in the order of draws, and counts in SY_SPREAD_BINS bins an answer, behind them those under and over. */
SY_API size_t sy_spread_numbers(const sy_spread *spread);
enum { SY_SPREAD_COUNTS = SY_SPREAD_BINS + 2, SY_SPREAD_UNDER = SY_SPREAD_BINS, SY_SPREAD_OVER };

/* Draws of blocks first .. first + count - 1 of SY_DRAWS, but none from number `draws` on.
** numbers  sy_spread_numbers of them, written; counts: answers x SY_SPREAD_COUNTS, written
** Errors   SY_LIMIT  memory is out */
SY_API sy_status sy_spread_run(const sy_spread *spread, uint64_t first, size_t count, uint64_t draws,
                               int threads, double *numbers, uint32_t *counts, sy_error *err);

/* What is needed to add up draws that were made elsewhere, and nothing to draw with: by what sy_spread_first_of said of each answer, and
** how many
** inputs it has. NULL: memory is out, or there are too many answers. */
SY_API sy_spread *sy_spread_restored(const sy_alloc *alloc, size_t answers, const sy_spread_first *first,
                                     const size_t *inputs);

/* What more draws found to what was found before; a total starts as sy_spread_nothing has it. */
SY_API void sy_spread_nothing(const sy_spread *spread, double *numbers);
SY_API void sy_spread_fold(const sy_spread *spread, const double *numbers, double *total);

typedef struct sy_spread_result {
  double drawn, unknown;       /* draws that have the answer, and that have not */
  double mean, sd;             /* NaN of none, and of less than two */
  double mean_error, sd_error; /* their standard deviations */
  double low, high;
  double below, above; /* how many are */
} sy_spread_result;

SY_API sy_spread_result sy_spread_result_of(const sy_spread *spread, const double *total, size_t answer);

/* Of two answers, over the draws that have all; NaN where one does not spread. And of an answer and its i-th input. */
SY_API double sy_spread_correlation(const sy_spread *spread, const double *total, size_t a, size_t b);
SY_API double sy_spread_covariance(const sy_spread *spread, const double *total, size_t a, size_t b);
SY_API double sy_spread_input_correlation(const sy_spread *spread, const double *total, size_t answer,
                                          size_t i);

/* The value with that share of the known draws below it, between the edges of its bin evenly; NaN where it lies outside all bins. */
SY_API double sy_spread_percentile(const sy_spread *spread, const uint64_t *counts, size_t answer,
                                   double share);

/* The draws of one block themselves, values[answer * SY_DRAWS + place] as asked, places as random.h has them; NaN: none. For tests and
** whoever wants them. Errors as sy_spread_run. */
SY_API sy_status sy_spread_values(const sy_spread *spread, uint64_t block, double *values, sy_error *err);

#endif
