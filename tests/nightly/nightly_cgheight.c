/* Do the stated 95 % intervals hold the truth in 95 % of sessions? 13 kinds of session, 10,000 random vehicles each, four answers: height,
** mass, place behind the front axle, front share. Truth is a rigid body turned point by point and weighed on four pads with an error drawn
** for everything that is stated to have one; nothing of the library makes it. Where normal errors make the most of an answer's
** variance its coverage must be 94 to 96.5 %, where a limit or a display's step does (marked *) 94 % or more: a rectangle has no tails.
** Chance moves a figure by 0.2 %. Random numbers are counted (numeric/rng.h): the same table on any number of threads.
*/
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/units.h"
#include "measure/cgheight.h"
#include "numeric/rng.h"

enum { SESSIONS = 10000, MOST = 24, THREADS = 4, SEED = 1995, ANSWERS = 4 };

/* ---- numbers ------------------------------------------------------------------------------------------------------------ */

typedef struct stream {
  sy_rng_words key, counter;
} stream;

static double uniform(stream *s, double low, double high) {
  s->counter.word[0]++;
  const sy_rng_words w = sy_rng_threefry(s->key, s->counter);
  return low + (high - low) * ((double)w.word[0] * 0x1p-32 + (double)w.word[1] * 0x1p-64);
}

static double normal(stream *s) { /* Box & Muller, 1958 */
  const double r = sqrt(-2 * log(uniform(s, 0x1p-65, 1)));
  return r * cos(2 * SY_PI * uniform(s, 0, 1));
}

static size_t below(stream *s, size_t limit) { return (size_t)uniform(s, 0, (double)limit); }

/* ---- kinds of session ----------------------------------------------------------------------------------------------------- */

typedef struct kind {
  const char *name;
  double pad;      /* kg: a pad's sd is drawn up to this, from a fifth of it */
  double worse;    /* the pads' true sd over the stated one */
  double step;     /* kg, of each pad's display */
  double shift;    /* kg: sd of each axle's zeros from run to run */
  double drift;    /* kg: limit of each axle's steady drift over the session, stated */
  double lift_sd;  /* m, or rad by angle, each reading by itself */
  double level_sd; /* the same of the level readings */
  double block_sd; /* m */
  bool by_angle, jack, scatter, stacked, weighed, limit;
} kind;

static const kind kinds[] = {
    {.name = "lifts measured one by one", .pad = 0.5, .worse = 1, .lift_sd = 3e-3},
    {.name = "angles", .pad = 0.3, .worse = 1, .by_angle = true, .lift_sd = 0.1 * SY_DEGREE},
    {.name = "level uncertain by 0.3 deg",
     .pad = 0.3,
     .worse = 1,
     .by_angle = true,
     .level_sd = 0.3 * SY_DEGREE},
    {.name = "blocks used again", .pad = 0.2, .worse = 1, .block_sd = 3e-3},
    {.name = "blocks stacked", .pad = 0.2, .worse = 1, .block_sd = 3e-3, .stacked = true},
    {.name = "lifted at a point", .pad = 0.3, .worse = 1, .lift_sd = 2e-3, .jack = true},
    {.name = "lifted at a point, by angle",
     .pad = 0.3,
     .worse = 1,
     .lift_sd = 0.1 * SY_DEGREE,
     .by_angle = true,
     .jack = true},
    {.name = "mass weighed elsewhere", .pad = 0.5, .worse = 1, .lift_sd = 2e-3, .weighed = true},
    {.name = "pads unknown", .pad = 0.5, .worse = 1, .scatter = true},
    {.name = "pads three times worse", .pad = 0.3, .worse = 3, .lift_sd = 1e-3},
    {.name = "zeros shifted between runs", .pad = 0.2, .worse = 1, .shift = 2, .lift_sd = 1e-3},
    {.name = "zeros drifting, limit stated",
     .pad = 0.1,
     .worse = 1,
     .drift = 2,
     .lift_sd = 1e-3,
     .limit = true},
    {.name = "display of 0.5 kg", .pad = 0.05, .worse = 1, .step = 0.5, .lift_sd = 1e-3, .limit = true},
};
enum { KINDS = sizeof kinds / sizeof *kinds };

/* ---- the true vehicle ------------------------------------------------------------------------------------------------------ */

typedef struct world {
  double wheelbase, radius[2], mass, behind, height, point[2]; /* point: x, z of the jack */
  sy_lift_end lifted;
  bool jack;
} world;

static world random_world(stream *s, const kind *k) {
  world w = {.mass = uniform(s, 200, 2000), .height = uniform(s, 0.25, 0.7), .jack = k->jack};
  w.wheelbase = uniform(s, 1.6, 3.2);
  w.radius[0] = uniform(s, 0.2, 0.4);
  w.radius[1] = uniform(s, 0.2, 0.4);
  w.behind = w.wheelbase * uniform(s, 0.3, 0.7);
  w.lifted = below(s, 2) == 0 ? SY_LIFT_FRONT : SY_LIFT_REAR;
  w.point[0] = w.lifted == SY_LIFT_FRONT ? uniform(s, -0.2, 0.5) : -w.wheelbase - uniform(s, -0.2, 0.5);
  w.point[1] = uniform(s, 0.15, 0.35);
  return w;
}

/* x and z of a body point with the body turned nose up about the origin */
static double along(double x, double z, double tilt) { return x * cos(tilt) - z * sin(tilt); }
static double up(double x, double z, double tilt) { return x * sin(tilt) + z * cos(tilt); }

/* The two supports: wheel centres, or the held point in place of one. */
static void supports(const world *w, bool held, double front[2], double rear[2]) {
  front[0] = 0;
  front[1] = w->radius[0];
  rear[0] = -w->wheelbase;
  rear[1] = w->radius[1];
  double *end = w->lifted == SY_LIFT_FRONT ? front : rear;
  for (int i = 0; held && i < 2; i++) end[i] = w->point[i];
}

static double front_load(const world *w, double tilt, bool held) {
  double front[2], rear[2];
  supports(w, held, front, rear);
  const double f = along(front[0], front[1], tilt), r = along(rear[0], rear[1], tilt);
  return w->mass * (along(-w->behind, w->height, tilt) - r) / (f - r);
}

/* How much the lifted support rises over the other one. */
static double lift_of(const world *w, double tilt) {
  double front[2], rear[2];
  supports(w, w->jack, front, rear);
  const double f = up(front[0], front[1], tilt) - front[1], r = up(rear[0], rear[1], tilt) - rear[1];
  return w->lifted == SY_LIFT_FRONT ? f - r : r - f;
}

static double tilt_of(const world *w, double lift) { /* by halving: it rises steadily */
  const double sign = w->lifted == SY_LIFT_FRONT ? 1 : -1;
  double low = -0.2, high = 0.8;
  for (int i = 0; i < 60; i++) {
    const double middle = (low + high) / 2;
    if (lift_of(w, sign * middle) < lift)
      low = middle;
    else
      high = middle;
  }
  return sign * (low + high) / 2;
}

/* ---- a session ------------------------------------------------------------------------------------------------------------- */

typedef struct session {
  sy_cgheight_session all;
  sy_cgheight_reading list[MOST];
} session;

/* What an axle's two pads show. */
static double weigh(stream *s, const kind *k, double load, double pad, double zero) {
  double sum = 0;
  for (int i = 0; i < 2; i++) {
    const double one = load / 2 + (i == 0 ? 3.1 : -3.1) + k->worse * pad * normal(s) + zero / 2;
    sum += k->step > 0 ? k->step * floor(one / k->step + 0.5) : one;
  }
  return sum;
}

/* Blocks of about equal heights; step n stands on the first n of them, or on one of its own. */
static uint32_t blocks_of(const kind *k, size_t step) {
  if (!(k->block_sd > 0) || step == 0) return 0;
  return k->stacked ? ((uint32_t)1 << step) - 1 : (uint32_t)1 << (step - 1);
}

static void take_readings(stream *s, const kind *k, const world *w, session *out) {
  const size_t steps = 3 + below(s, 3), runs = 2;
  const bool both = !k->jack && !k->weighed && below(s, 2) == 0;
  const double sign = w->lifted == SY_LIFT_FRONT ? 1 : -1;
  const double top = uniform(s, 6, 20) * SY_DEGREE, pad = uniform(s, k->pad / 5, k->pad);
  const double load_sd = sqrt(2) * sqrt(pad * pad + k->step * k->step / 12);
  double block[MOST], zero[2] = {0, 0}, drift[2];
  for (size_t n = 0; n < MOST; n++) block[n] = k->block_sd * normal(s);
  for (int end = 0; end < 2; end++) drift[end] = uniform(s, -k->drift, k->drift);
  const size_t total = runs * (steps + 1);
  size_t count = 0;
  for (size_t run = 0; run < runs; run++) {
    for (int end = 0; end < 2; end++) zero[end] = k->shift * normal(s);
    for (size_t i = 0; i <= steps; i++) {
      const size_t step = run % 2 == 0 ? i : steps - i; /* up and down again */
      const double aim = top * (double)step / (double)steps, own = step > 0 ? k->lift_sd : k->level_sd;
      sy_cgheight_reading r = {.run = run, .lifted = w->lifted, .lift_sd = own, .blocks = blocks_of(k, step)};
      r.lift = k->by_angle ? aim : step > 0 ? lift_of(w, sign * aim) : 0;
      double truth = r.lift + own * normal(s);
      for (size_t n = 0; n < MOST; n++) truth += (r.blocks >> n & 1) != 0 ? block[n] : 0;
      const double tilt = k->by_angle ? sign * truth : tilt_of(w, truth);
      const double front = front_load(w, tilt, w->jack && step > 0);
      const double past = (double)count / (double)(total - 1);
      for (int end = 0; end < 2; end++) {
        const double load = end == SY_LIFT_FRONT ? front : w->mass - front;
        r.load[end] = weigh(s, k, load, pad, zero[end] + past * drift[end]);
        r.load_sd[end] = load_sd;
        r.step_sd[end] = k->step / sqrt(6);
        if ((step > 0 && !both && end == (int)w->lifted) || (k->weighed && end == (int)w->lifted))
          r.load[end] = (double)NAN;
      }
      out->list[count++] = r;
    }
  }
  out->all.count = count;
  out->all.runs = runs;
}

static void measure(stream *s, const kind *k, const world *w, session *out) {
  sy_cgheight_session *all = &out->all;
  *all = sy_cgheight_session_default();
  take_readings(s, k, w, out);
  all->reading = out->list;
  all->by_angle = k->by_angle;
  all->wheelbase_sd = 3e-3;
  all->car.wheelbase = w->wheelbase + all->wheelbase_sd * normal(s);
  for (int end = 0; end < 2; end++) {
    all->radius_sd[end] = 2e-3;
    all->car.radius[end] = w->radius[end] + 2e-3 * normal(s);
    all->held[end][0] = w->point[0];
    all->held[end][1] = w->point[1];
  }
  all->by_body = k->jack;
  for (int n = 0; n < SY_CGHEIGHT_MOST_BLOCKS; n++) all->block_sd[n] = k->block_sd;
  if (k->drift > 0) all->drift = k->drift;
  if (k->weighed) {
    all->mass_sd = 0.5;
    all->mass = w->mass + all->mass_sd * normal(s);
  }
}

/* Pads nobody vouches for: as good as the readings scatter about the fit. */
static sy_status find_pads(session *one, void *memory, sy_cgheight *all, sy_cgheight_row *rows,
                           sy_cgheight_level *levels) {
  for (size_t i = 0; i < one->all.count; i++) one->list[i].load_sd[0] = one->list[i].load_sd[1] = 1;
  const sy_status status = sy_cgheight_fit(&one->all, memory, all, rows, levels, NULL);
  if (status != SY_OK) return status;
  const double found = sqrt(all->chi2 / (double)all->tested);
  one->all.load_dof = (double)all->tested;
  for (size_t i = 0; i < one->all.count; i++) one->list[i].load_sd[0] = one->list[i].load_sd[1] = found;
  return SY_OK;
}

/* ---- coverage ---------------------------------------------------------------------------------------------------------------- */

typedef struct job {
  pthread_t thread;
  int first; /* sessions first, first + THREADS, ... */
  size_t held[KINDS][ANSWERS], failed;
} job;

static bool holds(const sy_cgheight_value *v, double truth) {
  return fabs(v->value - truth) <= v->half_width;
}

static void run_session(job *j, size_t number, int n, void *memory) {
  stream s = {sy_rng_key(SEED), {{0, (uint32_t)n, (uint32_t)number, 0}}};
  const world w = random_world(&s, &kinds[number]);
  session one;
  measure(&s, &kinds[number], &w, &one);
  sy_cgheight all;
  sy_cgheight_row rows[MOST];
  sy_cgheight_level levels[SY_CGHEIGHT_MOST_RUNS];
  sy_status status = kinds[number].scatter ? find_pads(&one, memory, &all, rows, levels) : SY_OK;
  if (status == SY_OK) status = sy_cgheight_fit(&one.all, memory, &all, rows, levels, NULL);
  if (status != SY_OK) {
    j->failed++;
    return;
  }
  j->held[number][0] += holds(&all.height, w.height);
  j->held[number][1] += holds(&all.mass, w.mass);
  j->held[number][2] += holds(&all.behind, w.behind);
  j->held[number][3] += holds(&all.front_share, 1 - w.behind / w.wheelbase);
}

static void *run_job(void *user) {
  job *j = user;
  sy_cgheight_session largest = sy_cgheight_session_default();
  largest.count = MOST;
  largest.runs = MOST / 3;
  void *memory = malloc(sy_cgheight_size(&largest));
  if (memory == NULL) abort();
  for (size_t number = 0; number < KINDS; number++)
    for (int n = j->first; n < SESSIONS; n += THREADS) run_session(j, number, n, memory);
  free(memory);
  return NULL;
}

int main(void) {
  static job jobs[THREADS];
  for (int t = 0; t < THREADS; t++) {
    jobs[t].first = t;
    if (pthread_create(&jobs[t].thread, NULL, run_job, &jobs[t]) != 0) abort();
  }
  size_t failed = 0;
  for (int t = 0; t < THREADS; t++) {
    pthread_join(jobs[t].thread, NULL);
    failed += jobs[t].failed;
  }
  bool fine = failed == 0;
  printf("CG height: share of %d sessions of each kind whose 95 %% interval holds the truth, %%; seed %d\n",
         SESSIONS, SEED);
  printf("%-32s %8s %8s %8s %8s\n", "kind", "height", "mass", "place", "share");
  for (size_t number = 0; number < KINDS; number++) {
    printf("%-32s", kinds[number].name);
    for (int a = 0; a < ANSWERS; a++) {
      size_t held = 0;
      for (int t = 0; t < THREADS; t++) held += jobs[t].held[number][a];
      const double share = 100.0 * (double)held / SESSIONS;
      const bool good = share >= 94 && (kinds[number].limit || share <= 96.5);
      fine = fine && good;
      printf(" %7.2f%s", share, good ? kinds[number].limit ? "*" : " " : "!");
    }
    printf("\n");
  }
  if (failed > 0) printf("%zu sessions were refused\n", failed);
  return fine ? 0 : 1;
}
