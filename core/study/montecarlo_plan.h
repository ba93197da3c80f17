/* montecarlo_plan.h - how draws are made, compiled once. Private to core/study. */
#ifndef SY_STUDY_MONTECARLO_PLAN_H
#define SY_STUDY_MONTECARLO_PLAN_H

#include "kernels/balance_lanes.h"
#include "kernels/draw_lanes.h"
#include "montecarlo.h"
#include "plan_balance.h"

/* A source as it is drawn. */
typedef struct drawn_source {
  sy_spread_source is;
  sy_own_error own; /* of one that was found: a copy */
  double sd;        /* of one unit of its distribution: e = sd z */
  uint64_t path;
  uint32_t quantity;
  sy_distribution kind;
  bool named;
  int lane;  /* of e in the block's lanes; SY_NO_ERROR: only while its line is drawn */
  bool kept; /* an input of some answer: drawn by itself, and kept */
} drawn_source;

/* A stated number of a set's car and its source. */
typedef struct set_stated {
  size_t stated, source;
  bool measured; /* follows what records read (answers/beside.h) */
} set_stated;

typedef struct plan_set {
  const sy_answer_set *set;
  sy_car car;
  sy_stated *stated;
  sy_asked asked[SY_MOST_ASKED];
  int count;
  size_t first;        /* of its answers among all */
  size_t now, drawn;   /* ledgers */
  size_t at;           /* of its `beside`, or none */
  set_stated *follows; /* of fields that its answers rest on */
  size_t follow_count;
  bool runs_linear; /* found beforehand */
  bool in_lanes;    /* answers of the balance that a kernel works out of the sums */
  sy_lane_answer lane[SY_MOST_ASKED];
} plan_set;

/* A line that the kernel for plain lines takes. */
typedef struct lone_line {
  sy_lone lone;
  size_t source[4]; /* mass, x y z by vehicle axis; NONE */
  unsigned pooled;
} lone_line;

/* A run of stakes of one line, and the sources that are drawn for it and no other. */
typedef struct any_line {
  size_t first, count;
  size_t from, sources; /* in `own` */
} any_line;

#define NONE SIZE_MAX

struct sy_spread {
  sy_alloc alloc;
  plan_set set[SY_SPREAD_SETS];
  size_t sets, answers;
  const sy_ledger *ledger[SY_MOST_TERMS];
  size_t ledgers;
  sy_totals base[SY_MOST_TERMS];
  sy_error_list *list;
  drawn_source *source;
  size_t sources;
  double *effect; /* answers x sources: of one unit of e, given the records */
  double value[SY_SPREAD_ANSWERS];
  uint32_t key[5];
  const sy_draw_kernels *kernels;
  sy_balance_lanes *balance;
  /* what is summed */
  int second;
  unsigned carriers;               /* 0: sums by carrier are not needed */
  unsigned touched[SY_MOST_TERMS]; /* carriers of what errs in each ledger */
  bool all_global;                 /* records condition every error */
  size_t lanes;                    /* that are kept over a block */
  size_t most_own;                 /* of one line */
  lone_line *lone;
  size_t lones;
  unsigned pooled; /* axes */
  any_line *line;
  size_t lines;
  size_t *own, owns;
  /* answers */
  sy_spread_first first[SY_SPREAD_ANSWERS];
  double width[SY_SPREAD_ANSWERS], below[SY_SPREAD_ANSWERS], above[SY_SPREAD_ANSWERS];
  size_t input[SY_SPREAD_ANSWERS][SY_SPREAD_INPUTS], inputs[SY_SPREAD_ANSWERS];
  size_t numbers;
};

/* The numbers of one answer, one behind another, then those of its inputs; behind all answers those of the draws that have all. */
enum { N_KNOWN, N_FIRST, N_SQUARE, N_LOW, N_HIGH, N_BELOW, N_ABOVE, N_INPUTS, N_OF_INPUT = 3 };
enum { I_FIRST, I_SQUARE, I_PRODUCT };
enum { N_ANSWER = N_INPUTS + SY_SPREAD_INPUTS * N_OF_INPUT };

static inline size_t numbers_of_pairs(size_t answers) { return 1 + answers + answers * (answers + 1) / 2; }

/* As sy_spread_new; weighed: see sy_error_list_make. */
sy_status sy_spread_make(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                         const sy_spread_growth *growth, bool weighed, sy_spread **out, sy_error *err);

/* p->effect and p->value, at the means of what is drawn: before records take anything back, and after. */
sy_status sy_spread_effects(sy_spread *p, sy_error *err);
void sy_spread_condition(sy_spread *p);

/* What rounding leaves of the spread of an answer that has none. */
double sy_spread_rounding(const sy_spread *p, size_t answer);

/* What a thread needs to draw a block. */
typedef struct sy_spread_room {
  sy_lane *lane;             /* lanes of the plan */
  sy_lane *own;              /* of the line that is drawn */
  sy_lane_sums *sums;        /* one a ledger */
  sy_lane_sums *carried;     /* ledgers x SY_CARRIER_COUNT, or NULL */
  sy_lane *value;            /* answers */
  sy_lane_sums piece, moved; /* of one stake */
  sy_pool pool;
  sy_lane shift[3], mass, beside, gone[2];
  sy_answer_state state;
  sy_totals now, drawn;
  sy_car car[2];
  uint32_t *counts; /* answers x SY_SPREAD_COUNTS */
} sy_spread_room;

sy_spread_room *sy_spread_room_new(const sy_spread *p);
void sy_spread_room_free(const sy_spread *p, sy_spread_room *room);

/* Draws a block: values as asked, lane by lane, in room->value. */
void sy_spread_block(const sy_spread *p, uint64_t block, sy_spread_room *room);

/* Draws by the kernels of one level from the next start on; false where this processor has not got it. For tests. */
bool sy_spread_use_level(sy_spread *p, int level);

/* How to draw, once sources are named and inputs known; false: memory is out. */
bool sy_spread_compile(sy_spread *p);

#endif
