#include "shop/cardan.h"

#include <math.h>
#include <stdbool.h>

#include "base/units.h"

static bool bends(double beta) { return beta >= 0 && beta < SY_PI / 2; } /* NaN does not */

double sy_cardan_turn(double beta, double psi) {
  if (!bends(beta)) return (double)NAN;
  return atan2(sin(psi), cos(psi) * cos(beta));
}

double sy_cardan_speed(double beta, double psi) {
  if (!bends(beta)) return (double)NAN;
  const double s = sin(beta) * cos(psi);
  return cos(beta) / (1 - s * s);
}

sy_ripple sy_cardan_ripple(double beta) {
  const double none = (double)NAN;
  if (!bends(beta)) return (sy_ripple){none, none, none, none};
  const double c = cos(beta), half = sin(beta / 2);
  /* 1 - cos beta = 2 sin^2(beta/2) keeps its digits at small angles */
  return (sy_ripple){c, 1 / c, sin(beta) * tan(beta), atan(half * half / sqrt(c))};
}

/* Each joint maps the direction (cos psi, sin psi) of its input by diag(cos beta, 1), up to length; between them lies a
** rotation by pi/2 + twist. The product is rotation, stretch, rotation, and a stretch by sigma_min : sigma_max is one joint
** with cos beta_e = sigma_min / sigma_max. With D the determinant c1 c2 and T the sum of the squared entries,
** sigma_max +- sigma_min = sqrt(T +- 2 D) = q+-, so tan^2(beta_e / 2) = q- / q+. Both are written as sums of squares, with
** c1 - c2 and 1 - c1 c2 as products of sines: nothing cancels. */
double sy_cardan_pair(double beta1, double beta2, double twist) {
  if (!bends(beta1) || !bends(beta2)) return (double)NAN;
  const double across = sin(twist), along = cos(twist);
  const double c1 = cos(beta1), c2 = cos(beta2);
  const double sum = sin((beta1 + beta2) / 2), difference = sin((beta1 - beta2) / 2);
  const double q_minus = hypot(across * (sum * sum + difference * difference), along * 2 * sum * difference);
  const double q_plus = hypot(across * (1 + c1 * c2), along * (c1 + c2));
  return 2 * atan(sqrt(q_minus / q_plus));
}
