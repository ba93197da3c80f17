#include "bind/statics/sensitivities.h"

#include <math.h>

/* What answers rest on: mass, first moments, the products that say how roll moments lie along the car, and the square that says how
** heights do when it pitches. */
enum { SUM_COUNT = 7 };

/* kg, kg m or kg m^2. Answers are smooth, and exact to about 1e-12 of themselves: both errors of a central difference stay far below a
** doubt's own. */
static const double step = 1e-3;

static void shift(sy_totals *t, int which, double by) {
  sy_sums *sums[2] = {&t->all, &t->carried[SY_CARRIER_BODY]};
  if (!(t->carriers & 1u)) *sums[1] = (sy_sums){0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  t->carriers |= 1u;
  for (int k = 0; k < 2; k++) {
    double *const at[SUM_COUNT] = {&sums[k]->m,        &sums[k]->first.x,   &sums[k]->first.y,
                                   &sums[k]->first.z,  &sums[k]->second.xy, &sums[k]->second.xz,
                                   &sums[k]->second.xx};
    *at[which] += by;
  }
}

static void add_slope(sy_sensitivity *s, int which, double slope) {
  switch (which) {
  case 0: s->m = slope; break;
  case 1: s->first.x = slope; break;
  case 2: s->first.y = slope; break;
  case 3: s->first.z = slope; break;
  case 4: s->second.xy = 0.5 * slope; break; /* counts twice: sums.h */
  case 5: s->second.xz = 0.5 * slope; break;
  default: s->second.xx = slope; break;
  }
}

/* Slopes by the sums of `now` (1), of `drawn` (2) or of both at once (3), times sign. */
static void slopes_by(const sy_totals *now, const sy_totals *drawn, int which, double sign,
                      syl_answers *answers, void *user, int count, sy_sensitivity *out) {
  for (int i = 0; i < count; i++) out[i] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS};
  for (int k = 0; k < SUM_COUNT; k++) {
    double value[2][SYL_MOST_SLOPES];
    bool good = true;
    for (int side = 0; side < 2; side++) {
      const double by = side == 0 ? step : -step;
      sy_totals n = *now, d = *drawn;
      if (which & 1) shift(&n, k, by);
      if (which & 2) shift(&d, k, by);
      good = good && answers(user, &n, &d, value[side]);
    }
    for (int i = 0; i < count; i++)
      add_slope(&out[i], k, good ? sign * (value[0][i] - value[1][i]) / (2.0 * step) : (double)NAN);
  }
}

void syl_sums_variance(const sy_ledger *now, const sy_ledger *drawn, syl_answers *answers, void *user,
                       int count, double *variance) {
  sy_totals n, d;
  sy_sensitivity to[SYL_MOST_SLOPES], from[SYL_MOST_SLOPES];
  sy_ledger_sums(now, &n);
  sy_ledger_sums(drawn, &d);
  if (now == drawn) {
    slopes_by(&n, &d, 3, 1.0, answers, user, count, to);
    (void)sy_propagate_variance(&(sy_term){now, 1.0, to}, 1, (size_t)count, NULL, variance,
                                NULL); /* one term is not too many */
    return;
  }
  slopes_by(&n, &d, 1, 1.0, answers, user, count, to);
  slopes_by(&n, &d, 2, -1.0, answers, user, count, from); /* the answer is `to` less `from` */
  const sy_term terms[2] = {{drawn, -1.0, from}, {now, 1.0, to}};
  (void)sy_propagate_variance(terms, 2, (size_t)count, NULL, variance, NULL);
}
