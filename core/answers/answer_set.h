/* answer_set.h - a set of named answers about a car: what they are called, their units, how they are worked out and how they follow the
** ledgers' sums and the car's rates and settings.
**
** A set is solved once for a car (sy_answer_set.solve); each of its rows then reads one answer, or one an axle or wheel, off the
** solved state. A row that states how its answer follows the sums, or a stated number, is taken at its word; what it leaves out is
** differenced by ask.c, the one place where answers are.
** Limits   an answer that is the force or angle at which a wheel's load comes to nothing has a kink there. Such a row says what is
**          differenced instead: the load a little before (`near`), and how fast it falls with the answer (`fall`).
** Memory   nothing is allocated. A solved state lies in a sy_answer_state, some kilobytes.
** A new answer is one row, the function that reads it, and its test.
*/
#ifndef SY_ANSWERS_ANSWER_SET_H
#define SY_ANSWERS_ANSWER_SET_H

#include <stdint.h>

#include "car.h"

typedef enum sy_unit {
  SY_UNIT_RATIO,
  SY_UNIT_FRACTION, /* shown in percent */
  SY_UNIT_KILOGRAM,
  SY_UNIT_NEWTON, /* of a wheel's load: shown as what a scale reads */
  SY_UNIT_METRE,
  SY_UNIT_RADIAN,
  SY_UNIT_KILOGRAM_METRE_2,
  SY_UNIT_METRE_3, /* shown in litres */
  SY_UNIT_G        /* acceleration by that of gravity */
} sy_unit;

/* "kg", "N", "rad"; "" for ratio and fraction. */
SY_API const char *sy_unit_name(sy_unit unit);

/* Room for what a set keeps of a solved car. */
typedef union sy_answer_state {
  double align;
  void *align_too;
  unsigned char room[40 << 10];
} sy_answer_state;

typedef enum sy_answer_per { SY_PER_CAR, SY_PER_AXLE, SY_PER_WHEEL } sy_answer_per;

typedef struct sy_answer_row {
  const char
      *name; /* of one an axle or a wheel: what stands before its number (from 1) or its key (sy_wheel_key) */
  sy_answer_per per; /* how many answers the row has */
  int at;            /* what the functions are asked for: `at`, or of an axle or wheel `at` plus its index */
  sy_unit unit;
  /* The answer; NaN where it has no meaning. */
  double (*value)(const void *state, int at);
  /* How it rests on the sums of both ledgers; of one ledger (now == drawn) both count. NULL: differenced. */
  void (*by_sums)(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn);
  /* What one unit of a stated number does; false: differenced. NULL: always differenced. */
  bool (*by_stated)(const void *state, int at, const sy_stated *stated, double *by);
  /* Of a limit: what is differenced in its stead, read off a state solved beside the one that holds the limit, and by how much that
  ** falls per unit of the answer. Both NULL elsewhere. */
  double (*near)(const void *state, int at);
  double (*fall)(const void *state, int at);
} sy_answer_row;

/* The ten sums, as bits. */
enum {
  SY_SUM_M = 1 << 0,
  SY_SUM_X = 1 << 1, /* first moments */
  SY_SUM_Y = 1 << 2,
  SY_SUM_Z = 1 << 3,
  SY_SUM_XY = 1 << 4, /* second moments */
  SY_SUM_XZ = 1 << 5,
  SY_SUM_XX = 1 << 6,
  SY_SUM_YZ = 1 << 7,
  SY_SUM_YY = 1 << 8,
  SY_SUM_ZZ = 1 << 9,
  SY_SUMS = 10
};

typedef struct sy_answer_set {
  const char *name; /* names of all its answers begin with it and a point, but for those of the balance */
  const sy_answer_row *row;
  int rows;
  bool on_drawn;   /* its answers rest on the drawn state too */
  unsigned sums;   /* those that answers which are differenced rest on */
  unsigned fields; /* bit set: the stated fields its answers rest on */
  /* Solve for these sums instead of the ledgers' own. base: NULL, or the car's solved state: then liquid, and what a limit is looked for
  ** at, stay as they are there, unless `runs`: then liquid follows. */
  sy_status (*solve)(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                     bool runs, void *state, sy_error *err);
  /* The same without a base where only some rows are asked for, bits by row: what the others would read is not worked out. NULL: solve is as
  ** short. A set that has it has at most 64 rows. */
  sy_status (*solve_rows)(const sy_car *car, const sy_totals *now, const sy_totals *drawn, uint64_t wanted,
                          void *state, sy_error *err);
  /* Of a set whose answers rest on neither ledgers nor stated numbers: the answer with its own errors (found.h). Its rows' by_sums and
  ** by_stated are not asked. NULL: the set is not of that kind. */
  const sy_found *(*found)(const void *state, int at);
  /* What rounding leaves of an uncertainty that is none, in the answer's unit. NULL: nothing. */
  double (*rounding)(const sy_answer_row *row, double value);
  /* Did the state take a search of its own, since a wheel is off the ground, a stop is met, springs bend or liquid runs? NULL: none does. */
  bool (*searched)(const void *state);
} sy_answer_set;

/* One answer of a set: a row, and which axle or wheel (else 0). Means the same for every vehicle. */
typedef struct sy_asked {
  int row, index;
  double scale; /* value and uncertainty are given times this; at most 1e12 */
} sy_asked;

enum { SY_MOST_ASKED = 64 };

/* How many answers the row, or the whole set, has for that vehicle. */
SY_API int sy_answer_row_count(const sy_answer_row *row, const sy_vehicle *vehicle);
SY_API int sy_answer_count(const sy_answer_set *set, const sy_vehicle *vehicle);

/* The i-th of all answers, row by row, scale 1; i < sy_answer_count. */
SY_API sy_asked sy_answer_nth(const sy_answer_set *set, const sy_vehicle *vehicle, int i);

enum { SY_ANSWER_NAME = 48, SY_WHEEL_KEY = 8 };

/* "lf"; three wheels f lr rr or lf rf r; more axles l1 r1 c2 l3 r3. */
SY_API void sy_wheel_key(const sy_vehicle *vehicle, int wheel, char out[SY_WHEEL_KEY]);

/* The name within the set: "front_share", "lf", "axle.2". */
SY_API void sy_answer_name(const sy_answer_set *set, const sy_vehicle *vehicle, sy_asked asked,
                           char out[SY_ANSWER_NAME]);

/* The answer of that name within the set, scale 1; false when there is none for this vehicle. */
SY_API bool sy_answer_find(const sy_answer_set *set, const sy_vehicle *vehicle, const char *name,
                           sy_asked *out);

#endif
