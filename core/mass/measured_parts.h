/* measured_parts.h - what records are once they are fitted. Private to core/mass. */
#ifndef SY_MASS_MEASURED_PARTS_H
#define SY_MASS_MEASURED_PARTS_H

#include "measured.h"
#include "propagate_blocks.h"

enum {
  SY_MOST_FIGURES = SY_MOST_RECORDS * SY_RECORD_FIGURES,
  SY_MOST_EXTENDED = 64, /* answers that are extended at once */
  SY_MOST_READ_ON = 32,  /* instruments of all records */
  SY_HALF = SY_WALK_ANSWERS / 2
};
_Static_assert(SY_HALF + SY_MOST_FIGURES <= SY_MOST_EXTENDED, "figures beside half a block of answers");

typedef struct kept_record {
  sy_ledger *stated, *adjusted;
  size_t figures, readings, first; /* its figures are first, first + 1 ... of all */
  sy_record_figure figure[SY_RECORD_FIGURES];
  sy_sensitivity by[SY_RECORD_FIGURES]; /* of the figures on the sums, as adjusted */
  double effect[SY_RECORD_FIGURES][SY_RECORD_READINGS];
  double *noise;                       /* readings x readings */
  uint32_t common[SY_RECORD_READINGS]; /* numbers of errors of several records, or 0 */
  size_t instruments;
  sy_record_instrument *instrument;
  sy_sums filed; /* of its ledger as booked */
  sy_vec3
      crossed; /* sum over its pieces of mass correction times place correction, kg m: sums are not linear in both */
  double booked[SY_RECORD_FIGURES], off_sd[SY_RECORD_FIGURES], place_off_sd[SY_RECORD_FIGURES], chi2;
} kept_record;

/* A change of a line: of its mass, of its place as it is stated there, and m cg of errors that do not act at the place. */
typedef struct moved {
  double mass;
  sy_vec3 place, first;
} moved;

/* A weighing of a group (whole.h) as the records leave it. One, however many ledgers have it: so they still share it. */
typedef struct corrected_weighing {
  struct corrected_weighing *next;
  family *family;
  weighing *stated, *corrected;
  moved by;                   /* the weighing's own errors */
  sy_massprops before, after; /* of the pieces as weighed */
  sy_vec3 crossed;            /* of those pieces, in the group's directions; see kept_record */
} corrected_weighing;

struct sy_measured {
  conditions seen; /* first: what a ledger sees of it */
  sy_alloc alloc;
  family *family;
  size_t records, figures, pairings;
  sy_pairing *pairing[SY_MOST_PAIRINGS];
  kept_record *record;
  double *noise;                /* R, figures x figures */
  bool shared;                  /* some error is one of several records */
  double *factor;               /* of S as adjusted: Cholesky's, lower */
  double pull[SY_MOST_FIGURES]; /* S^-1 (read - figures, linear in the errors) */
  double chi2;
  corrected_weighing *weighings;         /* as the ledgers of the records have them */
  size_t beside;                         /* record of the number beside the sums; records: none */
  double by_reading[SY_RECORD_READINGS]; /* of that number */
};

/* Adjusts the ledgers of all records to them. Errors as sy_measured_new. */
sy_status sy_measured_settle(sy_measured *m, sy_error *err);

/* An error of record i, counted from 0. */
sy_status sy_measured_refuse(size_t i, sy_status status, const char *field, const char *why, sy_error *err);

/* The first reading that has the error of that number; false where none has, and of 0. */
bool sy_measured_find(const sy_measured *m, uint32_t number, size_t *record, size_t *reading);

/* The covariance of a reading of one record with one of another. */
double sy_measured_shared(const kept_record *r, size_t j, const kept_record *other, size_t k);

/* The figures of a record by its ledger as adjusted so far, and what they rest on; false where there is no mass to divide by. */
bool sy_measured_look_at(kept_record *r, double figure[SY_RECORD_FIGURES]);

/* The ledger corrected by `pull` as it stands. carry: with the records. crossed: see kept_record, of what is aboard; NULL: not wanted.
** weighings: those corrected so far, added to in front. was: the ledger as it was corrected before, of which `part` goes the rest of the way;
** NULL: all of it. Errors as sy_measured_correct. */
sy_status sy_measured_apply(const sy_measured *m, const sy_ledger *ledger, bool carry, const sy_ledger *was,
                            double part, sy_vec3 *crossed, corrected_weighing **weighings, sy_ledger **out,
                            sy_error *err);

/* Those before `end`. */
void sy_weighings_release(const sy_alloc *alloc, corrected_weighing *first, corrected_weighing *end);

/* S^-1 b in place of b (figures of them), by the factor. */
void sy_measured_solve(const sy_measured *m, double *b);

/* Mean of an instrument's two errors. family: of the instrument. */
typedef struct common_error {
  double bias, gain;
} common_error;
void sy_measured_common(const sy_measured *m, const family *f, common_error out[SY_MAX_INSTRUMENTS]);

/* Terms of errors that readings have too (propagate.h): of `answers` answers, `first` of theirs being the first. */
typedef struct read_errors {
  const sy_term *const *term;
  size_t count, first, answers;
} read_errors;

/* Answers that rest on terms, on the figures of the records (figure less what was read, coefficients by figure), and on the number beside
** them: as one request, but for what the readings have of their own. */
typedef struct extended {
  const sy_measured *m;
  request q;
  const double *figure; /* coefficients, count x figures */
  const double *beside; /* one an answer; NULL: none */
  read_errors read;
  sy_term term[SY_WALK_TERMS];
  sy_sensitivity by[SY_MOST_RECORDS][SY_MOST_EXTENDED];
  reading_effect at[SY_MOST_READ_ON];
  double bias[SY_MOST_READ_ON][SY_MOST_EXTENDED], gain[SY_MOST_READ_ON][SY_MOST_EXTENDED];
} extended;

/* terms: of ledgers, term_count <= SY_MOST_TERMS; count <= SY_MOST_EXTENDED. */
void sy_measured_extend(const sy_measured *m, const sy_term *terms, size_t term_count, read_errors read,
                        size_t count, const double *figure, const double *beside, extended *out);

/* The same of answers that rest on the figures of one record at most: the ledgers of the others, whose sums count nothing then, are left out, but
** for that of the record with the number beside, whose readings err with its instruments; where errors of readings count by themselves, none. */
void sy_measured_extend_one(const sy_measured *m, size_t record, const sy_term *terms, size_t term_count,
                            read_errors read, size_t count, const double *figure, const double *beside,
                            extended *out);

/* What the readings' own errors add to the covariance of two of its answers. */
double sy_extended_noise(const extended *e, size_t a, size_t b);

/* Factors S, rows x rows in `a`, by Cholesky; false where it is not positive definite. */
bool sy_measured_factor(double *a, size_t rows);

/* The covariance of a ledger's sums after its records; and of those of one item, whether or not it is aboard. */
void sy_measured_covariance(const sy_ledger *ledger, sy_cov4 *out);
sy_status sy_measured_item_covariance(const sy_ledger *ledger, const sy_route *route, sy_cov4 *out,
                                      sy_error *err);

/* The ledger with one item alone in it, aboard, at its place. Errors as for an edit. */
sy_status sy_measured_only(const sy_ledger *ledger, const sy_route *route, sy_ledger **out, sy_error *err);

#endif
