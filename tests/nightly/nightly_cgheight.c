/* Does the stated 95 % interval hold the true height in 95 % of sessions? 10,000 noisy sessions on 10,000 random vehicles: either axle
** lifted, one or both axles read, two to four steps up and down, errors drawn for every load, lift, radius and wheelbase, and a
** gap between the runs. Truth is a rigid body turned point by point. Prints the share; fails outside 93 to 97 %, ten times the 0.2 % of
** chance. With the loads' sd not stated but found from the scatter the interval rests on Student's t.
*/
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "../dice.h"
#include "base/units.h"
#include "measure/cgheight.h"
#include "numeric/uncertain.h"

enum { SESSIONS = 10000, MOST = 16 };

static double normal(dice *d) { /* Box & Muller, 1958 */
  const double r = sqrt(-2 * log(dice_between(d, 0x1p-53, 1)));
  return r * cos(2 * SY_PI * dice_between(d, 0, 1));
}

typedef struct world {
  sy_lift_car car;
  double mass, behind, height;
  sy_lift_end lifted;
} world;

static world random_world(dice *d) {
  world w = {
      .car = sy_lift_car_default(), .mass = dice_between(d, 200, 2000), .height = dice_between(d, 0.25, 0.7)};
  w.car.wheelbase = dice_between(d, 1.6, 3.2);
  w.car.radius[0] = dice_between(d, 0.2, 0.4);
  w.car.radius[1] = dice_between(d, 0.2, 0.4);
  w.behind = w.car.wheelbase * dice_between(d, 0.3, 0.7);
  w.lifted = dice_below(d, 2) == 0 ? SY_LIFT_FRONT : SY_LIFT_REAR;
  return w;
}

static double front_of(const world *w, double tilt) {
  const double c = cos(tilt), s = sin(tilt), length = w->car.wheelbase;
  const double front = -w->car.radius[0] * s, rear = -length * c - w->car.radius[1] * s;
  return w->mass * (-w->behind * c - w->height * s - rear) / (front - rear);
}

/* Fit with the loads' doubt found from the scatter: as a script does that was not told it. */
static sy_status fit_by_scatter(sy_cgheight_session *s, sy_cgheight_reading *list, void *memory,
                                sy_cgheight *all, sy_cgheight_row *rows, sy_cgheight_level *levels) {
  double lift_sd[MOST] = {0};
  for (size_t i = 0; i < s->count; i++) {
    lift_sd[i] = list[i].lift_sd;
    list[i].lift_sd = 0;
    list[i].load_sd[0] = list[i].load_sd[1] = 1;
  }
  const sy_status status = sy_cgheight_fit(s, memory, all, rows, levels, NULL);
  if (status != SY_OK) return status;
  const double found = sqrt(all->chi2 / (double)all->tested);
  s->load_dof = (double)all->tested;
  for (size_t i = 0; i < s->count; i++) {
    list[i].lift_sd = lift_sd[i];
    list[i].load_sd[0] = list[i].load_sd[1] = found;
  }
  return sy_cgheight_fit(s, memory, all, rows, levels, NULL);
}

static double coverage(bool stated) {
  dice d = {stated ? 1995 : 2008};
  size_t held = 0;
  void *memory = NULL;
  for (int i = 0; i < SESSIONS; i++) {
    const world w = random_world(&d);
    sy_cgheight_reading list[MOST];
    sy_cgheight_session s = sy_cgheight_session_default();
    const size_t steps = 2 + dice_below(&d, 3);
    const bool both = dice_below(&d, 2) == 0;
    const double top = dice_between(&d, 6, 20) * SY_DEGREE, pad = dice_between(&d, 0.05, 0.5),
                 gap = 0.5 * normal(&d);
    const double lift_sd = stated ? dice_between(&d, 0, 3e-3) : 0;
    const sy_lift_hold hold = {.lifted = w.lifted};
    for (size_t run = 0; run < 2; run++)
      for (size_t k = 0; k <= steps; k++) {
        const double tilt = top * (double)k / (double)steps * (w.lifted == SY_LIFT_REAR ? -1 : 1);
        const double front = front_of(&w, tilt);
        sy_cgheight_reading r = {.run = run, .lifted = w.lifted, .load_sd = {pad, pad}};
        r.load[0] = front + pad * normal(&d) + (double)run * gap;
        r.load[1] = w.mass - front + pad * normal(&d);
        if (k > 0 && !both) r.load[w.lifted] = (double)NAN;
        if (k > 0) r.lift = sy_lift_of_tilt(&w.car, &hold, tilt) + lift_sd * normal(&d);
        r.lift_sd = k > 0 ? lift_sd : 0;
        list[s.count++] = r;
      }
    s.reading = list;
    s.runs = 2;
    s.drift = 0;
    s.car = w.car;
    s.wheelbase_sd = 3e-3;
    s.radius_sd[0] = s.radius_sd[1] = 2e-3;
    s.car.wheelbase += s.wheelbase_sd * normal(&d);
    for (int end = 0; end < 2; end++) s.car.radius[end] += s.radius_sd[end] * normal(&d);
    void *larger = realloc(memory, sy_cgheight_size(&s));
    if (larger == NULL) abort();
    memory = larger;
    sy_cgheight all;
    sy_cgheight_row rows[MOST];
    sy_cgheight_level levels[2];
    sy_interval interval;
    const sy_status status = stated ? sy_cgheight_fit(&s, memory, &all, rows, levels, NULL)
                                    : fit_by_scatter(&s, list, memory, &all, rows, levels);
    if (status != SY_OK ||
        sy_uncertain_interval(all.height, all.u_height, all.dof, 0.95, &interval, NULL) != SY_OK)
      abort();
    held += interval.low <= w.height && w.height <= interval.high ? 1 : 0;
  }
  free(memory);
  return (double)held / SESSIONS;
}

int main(void) {
  const double stated = coverage(true), found = coverage(false);
  printf("CG height, 95 %% interval: holds the truth in %.2f %% of %d sessions with stated doubts, %.2f %% "
         "with the pads' found from "
         "the scatter\n",
         100 * stated, SESSIONS, 100 * found);
  return stated > 0.93 && stated < 0.97 && found > 0.93 && found < 0.97 ? 0 : 1;
}
