/* draw_lanes.h - the kernels behind random.h and montecarlo.h, compiled once for each level of instructions. Private to core/study.
**
** Lanes are draws: a block of SY_DRAWS side by side, in the order of random.h. No lane knows of another, so every level gives the same
** bits.
*/
#ifndef SY_STUDY_KERNELS_DRAW_LANES_H
#define SY_STUDY_KERNELS_DRAW_LANES_H

#include "../random.h"

typedef double sy_lane[SY_DRAWS];

/* The ten sums of a block in the order m, first x y z, second xx yy zz xy xz yz. */
typedef struct sy_lane_sums {
  sy_lane of[10];
} sy_lane_sums;

/* A line with nothing but a mass error and errors of its place along the vehicle's axes, in one ledger. Its sums are added as they are, not
** by what changes. */
typedef struct sy_lone {
  double mass, mass_sd;             /* kg of all its pieces */
  double at[3], sd[3];              /* m */
  double own[6];                    /* m^2: second moments about its cg, of each kg: xx yy zz xy xz yz */
  const float *z_mass, *z_place[3]; /* what is drawn, or zeros */
} sy_lone;

/* Which second moments are summed. */
enum { SY_NO_SECOND, SY_YAW_SECOND /* xx and yy */, SY_ALL_SECOND };

/* Axes along which places are pooled (bits): their errors do not move the line; (m sd)^2 is summed instead. */
typedef struct sy_pool {
  sy_lane variance[3]; /* (kg m)^2 */
} sy_pool;

typedef struct sy_draw_kernels {
  void (*draw)(sy_distribution kind, const uint32_t key[5], uint64_t path, uint32_t quantity, uint32_t first,
               float *out);
  /* Two lines at once; `second` and `pooled` as above: none with pooled 0 or 7, yaw with 0 or 4 (z), all with 0. */
  void (*lone)(const sy_lone two[2], int second, unsigned pooled, sy_lane_sums *sums, sy_pool *pool);
  /* to += sqrt(variance) z */
  void (*pool)(const double *variance, const float *z, double *to);
  /* out = by z */
  void (*scale)(double by, const float *z, double *out);
  /* to += by e */
  void (*add)(double by, const double *e, double *to);
  /* sums += those of a mass of `by` e at place + shift; and what shifting a mass does. second: SY_NO_SECOND or all of them. */
  void (*point)(double by, const double *e, const double place[3], sy_lane *shift, int second,
                sy_lane_sums *sums);
  void (*move)(double mass, const double place[3], sy_lane *shift, int second, sy_lane_sums *sums);
  /* mask[i] is here[i] where value[i] is finite, else 0; off[i] the value less `middle` there, else 0; bin[i] which of `bins` of 1 /
  ** per_bin from
  ** `from` on, `bins` below them and bins + 1 above. ends: least and greatest of the values in the mask, as they were where there is
  ** none. */
  void (*judge)(const double *value, const double *here, double middle, double from, double per_bin, int bins,
                double *mask, double *off, int32_t *bin, double ends[2]);
  /* sum of a b, and of a, over the block, in one order of adding */
  double (*product_sum)(const double *a, const double *b);
  double (*plain_sum)(const double *a);
} sy_draw_kernels;

extern const sy_draw_kernels sy_draw_kernels_v1, sy_draw_kernels_v3, sy_draw_kernels_v4;

/* The best that this processor runs; of one level, or NULL. */
const sy_draw_kernels *sy_draw_kernels_best(void);
const sy_draw_kernels *sy_draw_kernels_of(int level);

#endif
