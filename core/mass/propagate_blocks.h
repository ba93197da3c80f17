/* propagate_blocks.h - sums over the errors of all families that terms lie in, answers in blocks of eight. Private to core/mass. */
#ifndef SY_MASS_PROPAGATE_BLOCKS_H
#define SY_MASS_PROPAGATE_BLOCKS_H

#include "propagate_walk.h"

/* What an instrument's two errors do to the answers beside what the ledgers have of them: a reading that was taken on it. */
typedef struct reading_effect {
  const family *family;
  uint32_t number;           /* counted from 1 */
  const double *bias, *gain; /* one an answer */
} reading_effect;

/* What is asked for. */
typedef struct request {
  const sy_term *terms;
  size_t term_count;                 /* <= SY_WALK_TERMS */
  const sy_pairing *const *pairings; /* all from one family */
  size_t pairing_count;              /* <= SY_MOST_PAIRINGS */
  const reading_effect *readings;    /* of families that have a term */
  size_t reading_count;
  const line_listener *listener; /* of sy_blocks_lines, else NULL */
} request;

/* Variances, and covariances, of `count` answers, as sy_propagate_variance and sy_propagate_covariance say. */
void sy_blocks_variance(const request *q, size_t count, double *variance);
void sy_blocks_covariance(const request *q, size_t count, double *covariance);

/* What one unit of the errors of a family's instruments does to answer 0. */
void sy_blocks_instruments(const request *q, const family *f, double bias[SY_MAX_INSTRUMENTS],
                           double gain[SY_MAX_INSTRUMENTS]);

/* One walk of all families for `count` <= SY_WALK_ANSWERS answers, which passes every line to the listener. Which pieces it meets in which
** order does not depend on the sensitivities but for their carriers. */
void sy_blocks_lines(const request *q, size_t count);

/* cross[i * rows + r]: of answer i < count <= SY_WALK_ANSWERS / 2 and answer count + r, which is flat. */
void sy_blocks_cross(const request *q, size_t count, size_t rows, double *cross);

#endif
