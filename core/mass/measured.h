/* measured.h - what records of a car read, and the ledger as they leave it: the car as measured.
**
** Units     SI: kg, m. Frame ISO 8855:2011, the vehicle's.
** Record    what was read of a ledger as it then stood: at most four figures of its sums (m, m x, m y, m z), each a sum of readings. The
**           true figure is the one read plus what each reading's own error does to it; these errors have a covariance. A reading also
**           errs by the bias and gain of the instrument it was taken on, which are the errors of parts weighed there.
** Correction  each stated error that the records can move has a mean after them: what is most likely of all errors together (Gauss-Newton
**           to the end, effects taken at the adjusted values). A corrected ledger has it beside what its lines state (SY_PART_CORRECTED):
**           lines go on being the same as their statements are, and a line that states something else has no correction of its own.
** Weighed   a group that counts as it was weighed is corrected by the errors of its weighing, and by those of its pieces as far as they are
**           others than when it was weighed (measured_weighed.c).
** After     with H the effects of all errors on the figures, S = H C H^T + R and w_a = S^-1 cov(H e, a), the covariance of answers a and b of
**           any ledger that shares these records is the sum over all errors of (g_a E - w_a H) (g_b E - w_b H) var, and as much of the
**           readings' own. It is the walk of propagate.h with the ledgers of the records as further terms: nothing is subtracted.
** Source    conditioned least squares with a priori covariances: E. Mikhail & F. Ackermann, Observations and Least Squares, 1976, ch. 11
**           (from memory); the sum without a subtraction: the covariance form of A. Gelb (ed.), Applied Optimal Estimation, 1974, 4.2
**           (from memory), written error by error.
*/
#ifndef SY_MASS_MEASURED_H
#define SY_MASS_MEASURED_H

#include "propagate.h"

typedef struct sy_measured sy_measured;

enum {
  SY_RECORD_FIGURES = 4,
  SY_RECORD_READINGS = 49
}; /* of 16 wheels: a load and two places each, and a height */

typedef struct sy_record_figure {
  double of[4];  /* figure = of . (m, m x, m y, m z) ... */
  bool per_mass; /* ... / m */
  double read;   /* as read */
} sy_record_figure;

/* What one unit of an instrument's two errors does to a reading: to what it would be corrected by. */
typedef struct sy_record_instrument {
  uint32_t number; /* of the ledger's instruments, counted from 1 */
  double bias[SY_RECORD_READINGS], gain[SY_RECORD_READINGS];
} sy_record_instrument;

typedef struct sy_record {
  const sy_ledger *ledger; /* as it stood, not corrected */
  size_t figures, readings;
  sy_record_figure figure[SY_RECORD_FIGURES];
  double effect[SY_RECORD_FIGURES][SY_RECORD_READINGS]; /* of one unit of a reading's error on a figure */
  const double *covariance; /* readings x readings, of what the readings have of their own; copied */
  /* Of one reading's error the number that it has in all records that have it too, each with its own standard uncertainty: a tape that said
  ** where an axle is. 0: of this record alone. Its covariance with others of its record is 0, and a record has a number once. */
  uint32_t common[SY_RECORD_READINGS];
  size_t instruments;
  const sy_record_instrument *instrument; /* copied */
} sy_record;

/* relative  any ledger of the family that is to be corrected
** pairings  from that family to each other family that a record's ledger is of; taken over, also after an error
** Errors  SY_MISSING  no record, or one without a figure or reading
**         SY_LIMIT    more than SY_MOST_RECORDS records; no end of the steps: another car; memory is out
**         SY_UNKNOWN  a record's ledger is of a family that no pairing leads to, or its instrument is not there
**         SY_CLASH    a record's ledger is corrected already; no error that is stated moves any figure
**         SY_RANGE    a number is not finite; the mass of a record's ledger is not above 0
**         SY_GEOMETRY figures that depend on one another
** The part in the error is "record 2": where the steps do not end the one that lies furthest from the ledger. */
SY_API sy_status sy_measured_new(const sy_alloc *alloc, const sy_ledger *relative, const sy_record *records,
                                 size_t count, sy_pairing *const *pairings, size_t pairing_count,
                                 sy_measured **out, sy_error *err);
SY_API void sy_measured_release(sy_measured *measured); /* one owner less; NULL is fine */

/* A number that was read beside the sums, such as how four wheels share a diagonal: known by the readings of one record alone. by: what one
** unit of a reading's error does to it. Once, before a ledger is corrected. Its coefficient in answers is a term without a ledger
** (propagate.h).
** Errors  SY_UNKNOWN  no such record;  SY_RANGE  not finite */
SY_API sy_status sy_measured_beside(sy_measured *measured, size_t record, const double *by, sy_error *err);

/* Its covariance with m, m x, m y and m z of a ledger that carries the records, and behind these its variance; 0 where nothing was read beside
** the sums.
** Errors  SY_UNKNOWN  the ledger carries no records */
SY_API sy_status sy_measured_beside_covariance(const sy_ledger *ledger, double out[5], sy_error *err);

/* The ledger with its lines corrected; it and all that is edited out of it carry the records.
** Errors  SY_CLASH  it carries records already;  SY_LIMIT  memory is out, or it has groups that were weighed in too many ways;
**         SY_RANGE  a corrected sum is too large to keep, or the pieces of a weighed group are left without mass */
SY_API sy_status sy_measured_correct(const sy_measured *measured, const sy_ledger *ledger, sy_ledger **out,
                                     sy_error *err);

/* The records that a ledger carries, or NULL. */
SY_API const sy_measured *sy_ledger_measured(const sy_ledger *ledger);

typedef struct sy_measured_figure {
  double read, booked, adjusted; /* by the readings; of the ledger as booked; and as corrected */
  double off_sd;                 /* standard deviation of read less booked, by all that is stated */
  double place_off_sd; /* the same of figure / mass, where the first figure is the mass; NaN of others */
} sy_measured_figure;

typedef struct sy_measured_record {
  size_t figures, readings;
  sy_measured_figure figure[SY_RECORD_FIGURES];
  double chi2, p;                    /* of its figures against the ledger as booked, by itself */
  double change[SY_RECORD_READINGS]; /* true less read, as far as all records know */
} sy_measured_record;

typedef struct sy_measured_fit {
  double chi2, p;
  size_t dof, records;
} sy_measured_fit;

SY_API sy_measured_fit sy_measured_fit_of(const sy_measured *measured);
SY_API sy_status sy_measured_record_of(const sy_measured *measured, size_t record, sy_measured_record *out,
                                       sy_error *err);
/* Has some reading the error of that number (sy_record.common)? And its mean after all records; 0 of one that none has. */
SY_API bool sy_measured_reads(const sy_measured *measured, uint32_t number);
SY_API double sy_measured_error(const sy_measured *measured, uint32_t number);

/* The record's ledger as corrected; owned by `measured`, without records of its own. NULL: no such record. */
SY_API const sy_ledger *sy_measured_ledger(const sy_measured *measured, size_t record);

#endif
