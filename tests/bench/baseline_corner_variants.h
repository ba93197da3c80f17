/* baseline_corner_variants.h - the baseline of bench_corner_variants, for its one vehicle: an origin at the front axle. */
#ifndef SY_BENCH_BASELINE_CORNER_VARIANTS_H
#define SY_BENCH_BASELINE_CORNER_VARIANTS_H

#include <stddef.h>

#define BASELINE_BASE  2.4   /* m, wheelbase */
#define BASELINE_FRONT 0.725 /* m, half tracks */
#define BASELINE_REAR  0.73

/* in: wheel rates, tyre rates (lf rf lr rr each), bars (front, rear), torsion, weight, x, y, unsprung weights; out: heave, pitch, roll,
** twist, heights of the wheels. SI. `count` is a multiple of 8. */
void baseline_corner_variants(const double *const in[18], size_t count, double *const out[8]);

#endif
