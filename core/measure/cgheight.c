#include "measure/cgheight.h"

#include <math.h>

#include "base/finite.h"

sy_cgheight_session sy_cgheight_session_default(void) {
  return (sy_cgheight_session){
      .car = sy_lift_car_default(), .mass = (double)NAN, .load_dof = (double)INFINITY, .drift = (double)NAN};
}

sy_status sy_cgheight_lateral(const double *load, const double *sd, size_t count, const double place[4],
                              double *y, double *u, sy_error *err) {
  if (count == 0) return sy_fail(err, SY_RANGE, "readings", "count", "is 0");
  for (int i = 0; i < 4; i++)
    if (!isfinite(place[i])) return sy_fail(err, SY_RANGE, "vehicle", "y", "of a wheel is not finite");
  if (!(place[0] > place[1] && place[2] > place[3]))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "track",
                   "has a left wheel that is not left of the right one");
  double weights = 0, sum = 0;
  for (size_t k = 0; k < count; k++) {
    const double *f = &load[4 * k];
    const double total = f[0] + f[1] + f[2] + f[3];
    if (!(total > 0 && isfinite(total)))
      return sy_fail(err, SY_RANGE, "reading", "total", "is %g kg, must be > 0", total);
    if (!(sd[k] > 0 && isfinite(sd[k])))
      return sy_fail(err, SY_RANGE, "reading", "sd", "is %g kg, must be > 0 and finite", sd[k]);
    double here = 0, square = 0;
    for (int i = 0; i < 4; i++) here += f[i] * place[i] / total;
    for (int i = 0; i < 4; i++)
      square += (place[i] - here) / total * sd[k] * ((place[i] - here) / total * sd[k]);
    weights += 1 / square;
    sum += here / square;
  }
  const double found[2] = {sum / weights, 1 / sqrt(weights)};
  const sy_status status = sy_finite_results(found, 2, "reading", "load", err);
  if (status == SY_OK) *y = found[0], *u = found[1];
  return status;
}
