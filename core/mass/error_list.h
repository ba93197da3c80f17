/* error_list.h - the elementary errors behind the sums of ledgers, one by one, and where each acts.
**
** Units     SI: kg, m. Frame ISO 8855:2011, the vehicle's.
** Errors    those that propagate.h counts, found by the same walk: of each line its mass (of a tank each of the masses and volumes that
**           it is
**           made of) and its place along x, y and z of its group, each entry of the inertia of a whole that was weighed, the density that
**           parts of usual density share, bias and gain of each instrument, and what the readings of records err by: what several records have
**           in common, such as where an axle stands, by itself. An error that several
**           pieces or ledgers have in common stands once. Independent of one another, mean 0, but for errors of records' readings, which
**           are made of independent ones of sd 1.
** Stakes    a piece of a line as it stands in one ledger: its masses and places are in the vehicle's frame, and the errors that move
**           them are
**           named. With errors e the piece's mass changes by dm, the sum of what its mass errors do, each at its own place; its place by
**           dr; and
**           the ten sums by count times
**             m       dm
**             first   sum_k dm_k (p_k + dr) + moved dr
**             second  sum_k dm_k (p_k + dr)(p_k + dr)^T + moved ((p + dr)(p + dr)^T - p p^T) + own (power dm / m + usual),
**           which is exact, products and squares of errors too, but for the last term: an inertia of usual density grows as m^(5/3).
** Mapped    pieces of a group that counts as it was weighed (whole.h) leave its sums again, by a map that is linear in their own ten sums.
** Memory    the list owns all; pieces point into the ledgers, which must live as long.
*/
#ifndef SY_MASS_ERROR_LIST_H
#define SY_MASS_ERROR_LIST_H

#include "measured.h"

typedef enum sy_error_kind {
  SY_ERROR_MASS, /* and of a tank, in this order: */
  SY_ERROR_DRY_MASS,
  SY_ERROR_DENSITY,
  SY_ERROR_VOLUME,
  SY_ERROR_SHARE,
  SY_ERROR_X,
  SY_ERROR_Y,
  SY_ERROR_Z,
  SY_ERROR_INERTIA, /* xx yy zz xy xz yz */
  SY_ERROR_GROWTH = SY_ERROR_INERTIA + 6,
  SY_ERROR_USUAL,
  SY_ERROR_BIAS,
  SY_ERROR_GAIN,
  SY_ERROR_READING,
  SY_ERROR_PLACE, /* of readings of several records (sy_record.common) */
  SY_ERROR_KINDS
} sy_error_kind;

typedef struct sy_elementary {
  sy_error_kind kind;
  double sd;           /* kg, m, m^3, kg/m^3, kg m^2, or 1, by its kind */
  uint64_t line;       /* identity of the first piece that has it; 0: of no line */
  const sy_part *part; /* that piece; NULL: of no line */
  uint32_t
      number; /* of the part; of an instrument (from 1); of a reading: record times SY_RECORD_READINGS plus reading; of a place: as records
                 have it */
  uint32_t family; /* 0: of the ledgers asked about; else of a record's own file */
  uint32_t again;  /* how many errors of the same pieces and kind stand before it: these state other values */
} sy_elementary;

enum { SY_NO_ERROR = -1, SY_STAKE_CARRIERS = 8 };

typedef struct sy_stake {
  uint32_t term; /* of the ledgers that were asked */
  uint32_t line; /* counted from 0: pieces of one line stand together */
  const sy_part *part;
  double count, mass, moved; /* pieces; kg of one; kg that an error of its place moves */
  sy_vec3 at;                /* m, of its mass */
  sy_sym3 own;               /* kg m^2, second moments about its cg */
  double power;              /* own moments grow by that times dm / mass; 0: they do not */
  int error[5];              /* of its mass, by kind, and what one unit does: kg, and where */
  double effect[5];
  sy_vec3 act_at[5];
  int bias, gain; /* of its instrument, kg per unit; they act at `at` */
  double bias_share, gain_mass;
  int place[3];
  sy_vec3 along[3]; /* what one metre of each does */
  int inertia;      /* the first of six; they are in the vehicle's directions */
  sy_mat3 turn;     /* from the piece's directions to the vehicle's */
  int usual;
  int growth; /* of its mass, kg per unit, acts at `at`; SY_NO_ERROR until sy_error_list_growth */
  double growth_mass;
  int map;           /* SY_NO_ERROR, or number of the linear map that its sums go through */
  unsigned carriers; /* how many follow; fraction of its sums that each carries */
  uint8_t carrier[SY_STAKE_CARRIERS];
  double fraction[SY_STAKE_CARRIERS];
} sy_stake;

typedef struct sy_error_list {
  sy_alloc alloc;
  sy_elementary *error;
  size_t errors, error_room;
  sy_stake *stake;
  size_t stakes, stake_room;
  double (*map)[10][10]; /* [sum out][sum in], in the order m, first, second xx yy zz xy xz yz */
  size_t maps, map_room;
  size_t figures;    /* of all records; 0: none */
  size_t of_figures; /* errors that these know: all but those of growth */
  double
      *figure; /* of_figures x figures: what one unit of each error does to each figure less what was read */
  double *beside; /* of_figures: to the number beside the sums, less what was read */
} sy_error_list;

/* ledgers  at most SY_MOST_TERMS, of one family or carrying the same records
** weighed  also the mass errors of sd 0 of what was weighed on an instrument: it errs by that alone, and could be weighed anew
** Errors   SY_LIMIT  more ledgers; memory is out;  SY_CLASH  they carry different records, or the pieces of a line do not agree */
SY_API sy_status sy_error_list_make(const sy_alloc *alloc, const sy_ledger *const *ledgers, size_t count,
                                    bool weighed, sy_error_list **out, sy_error *err);
SY_API void sy_error_list_free(sy_error_list *list); /* NULL is fine */

/* Allowances for growth as errors beside, one a line: 0 is nothing added, 1 all of the allowance (kind SY_ERROR_GROWTH, of which sd is 1).
** fraction and fixed: by the number of a part less 1, how much of its mass may be added, and kg beside; `numbers` of them. Once.
** Errors  SY_LIMIT  memory is out */
SY_API sy_status sy_error_list_growth(sy_error_list *list, const double *fraction, const double *fixed,
                                      size_t numbers, sy_error *err);

/* What one unit of each error does to an answer, to first order: by[term] are its sensitivities to the sums of each ledger. Adds to
** out[errors]. mean: of the errors where it is taken, or NULL: 0. */
SY_API void sy_error_list_effects(const sy_error_list *list, const sy_sensitivity *by, const double *mean,
                                  double *out);

/* What errors e do to the ten sums of each ledger: adds to all[term]. */
SY_API void sy_error_list_sums(const sy_error_list *list, const double *e, sy_sums *all);

/* The same for totals, with what each carrier has of it: adds to totals[term], term < terms. */
SY_API void sy_error_list_totals(const sy_error_list *list, const double *e, sy_totals *totals, size_t terms);

/* Where the error of that number which readings have in common stands; SY_NO_ERROR where none has it. */
SY_API int sy_error_list_place(const sy_error_list *list, uint32_t number);

/* Gain of the figures of the records that the ledgers carry: S^-1 b in place of b, `figures` of them. */
SY_API void sy_error_list_solve(const sy_ledger *ledger, double *b);

/* For errors of other sizes than stated: a symmetric matrix, `figures` each way, by its lower factor; false where it is not positive
** definite. */
SY_API bool sy_error_list_factor(double *matrix, size_t figures);

#endif
