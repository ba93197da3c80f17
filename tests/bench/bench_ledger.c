/* One change of a car of some hundred parts, and a car of a million; bench_ledger.py writes the file and compares. */
#include "serve.h"

#include "mass/propagate.h"
#include "statics/trial.h"

enum { GROUP = 25, MILLION = 1000000 };

typedef struct car {
  const double *column[9]; /* m x y z Izz, standard uncertainties of m x y z */
  size_t parts;
  sy_ledger *ledger;
  sy_totals totals;
  sy_totals *item; /* of every part */
  sy_loadmap map;
  size_t next; /* part to move */
  double sink; /* keeps the work from being left out */
  size_t million_bytes;
} car;

static void must(sy_status status, const sy_error *err) {
  if (status == SY_OK) return;
  fprintf(stderr, "%s, %s: %s\n", err->part, err->field, err->message);
  exit(1);
}

static sy_part part_of(const car *c, size_t i) {
  sy_part p = sy_part_default();
  p.mass = c->column[0][i];
  p.cg = (sy_vec3){c->column[1][i], c->column[2][i], c->column[3][i]};
  p.inertia = (sy_sym3){c->column[4][i], c->column[4][i], c->column[4][i], 0, 0, 0};
  p.mass_sd = c->column[5][i];
  p.cg_sd = (sy_vec3){c->column[6][i], c->column[7][i], c->column[8][i]};
  p.cg_stated = p.cg;
  return p;
}

/* Groups of 25, none turned, so that a part's place is the file's. */
static sy_ledger *build_car(const car *c) {
  const sy_alloc alloc = sy_alloc_default();
  const sy_group group = sy_group_default();
  sy_ledger_builder *b = sy_ledger_builder_new(&alloc, NULL);
  sy_ledger *ledger = NULL;
  sy_error err;
  for (size_t i = 0; i < c->parts; i++) {
    const sy_part part = part_of(c, i);
    if (i % GROUP == 0) must(sy_ledger_open_group(b, "group", NULL, &group, &err), &err);
    must(sy_ledger_add_part(b, "part", NULL, &part, &err), &err);
    if (i % GROUP == GROUP - 1 || i + 1 == c->parts) must(sy_ledger_close_group(b, &err), &err);
  }
  must(sy_ledger_finish(b, &ledger, &err), &err);
  sy_ledger_builder_free(b);
  return ledger;
}

static sy_route next_route(car *c) {
  c->next = (c->next + 37) % c->parts;
  return (sy_route){.depth = 2, .child = {(uint32_t)(c->next / GROUP), (uint32_t)(c->next % GROUP)}};
}

static car car_of(const char *path) {
  size_t count;
  const double *data = bench_read(path, &count);
  car c = {.parts = (size_t)data[0]};
  const double *column = data + 3;
  for (int k = 0; k < 9; k++, column += c.parts) c.column[k] = column;
  sy_vehicle v = sy_vehicle_default();
  sy_error err;
  for (int i = 0; i < 2; i++) {
    sy_axle a = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    a.x = i == 0 ? 0 : -data[1];
    w.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, a, data[2], w);
  }
  must(sy_loadmap_make(&v, (sy_vec3){0, 0, -9.80665}, &c.map, &err), &err);
  c.ledger = build_car(&c);
  sy_ledger_totals(c.ledger, &c.totals);
  c.item = malloc(c.parts * sizeof *c.item);
  if (c.item == NULL) exit(1);
  for (size_t i = 0; i < c.parts; i++) {
    const sy_route route = next_route(&c);
    must(sy_ledger_item_totals(c.ledger, &route, &c.item[c.next], &err), &err);
  }
  return c;
}

static void add_answers(car *c, const sy_trial_result *r) {
  c->sink += r->mass + r->cg.x + r->yaw_inertia + r->load[0] + r->load[3];
}

/* The trial is made from totals at hand, then asked once. */
static void what_if(void *user, size_t items) {
  car *c = user;
  for (size_t i = 0; i < items; i++) {
    c->next = c->next + 37 < c->parts ? c->next + 37 : c->next + 37 - c->parts;
    const sy_totals *item = &c->item[c->next];
    const sy_trial trial = {c->totals.all, item->all.m, item->all.first, {1, 0, 0}, &c->map};
    sy_trial_result r;
    sy_trial_at(&trial, 0.05, &r);
    add_answers(c, &r);
  }
}

/* The same, with the totals of car and item asked from the ledger each time. */
static void what_if_from_ledger(void *user, size_t items) {
  car *c = user;
  for (size_t i = 0; i < items; i++) {
    const sy_route route = next_route(c);
    sy_totals all, item;
    sy_ledger_totals(c->ledger, &all);
    if (sy_ledger_item_totals(c->ledger, &route, &item, NULL) != SY_OK) exit(1);
    const sy_trial trial = {all.all, item.all.m, item.all.first, {1, 0, 0}, &c->map};
    sy_trial_result r;
    sy_trial_at(&trial, 0.05, &r);
    add_answers(c, &r);
  }
}

static void move(void *user, size_t items) {
  car *c = user;
  for (size_t i = 0; i < items; i++) {
    const sy_route route = next_route(c);
    sy_ledger *moved;
    sy_totals t;
    sy_error err;
    must(sy_ledger_shift(c->ledger, &route, (sy_vec3){0.05, 0, 0}, &moved, &err), &err);
    sy_ledger_totals(moved, &t);
    sy_ledger_release(moved);
    c->sink += t.all.first.x + t.cov.c[4];
  }
}

static sy_sensitivity sensitivity_of_yaw_inertia(const sy_totals *t) {
  const double x = t->all.first.x / t->all.m, y = t->all.first.y / t->all.m;
  return (sy_sensitivity){x * x + y * y, {-2 * x, -2 * y, 0}, {1, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
}

/* The yaw inertia's: the one headline that needs a walk over the parts. */
static void uncertainty(void *user, size_t items) {
  car *c = user;
  for (size_t i = 0; i < items; i++) {
    const sy_sensitivity sensitivity = sensitivity_of_yaw_inertia(&c->totals);
    double variance;
    sy_error err;
    must(sy_propagate_variance(&(sy_term){.ledger = c->ledger, .sign = 1, .by = &sensitivity}, 1, 1, NULL,
                               &variance, &err),
         &err);
    c->sink += variance;
  }
}

/* ---- a million ------------------------------------------------------------------------------------------------ */

static void *counted(void *user, void *old, size_t old_size, size_t new_size) {
  size_t *live = user;
  void *block = NULL;
  if (new_size > 0)
    block = realloc(old, new_size);
  else
    free(old);
  *live += new_size;
  *live -= old_size;
  return block;
}

/* Built and given back; counted as one item a part. */
static void million(void *user, size_t items) {
  car *c = user;
  size_t live = 0;
  const sy_alloc alloc = {counted, &live};
  for (size_t i = 0; i < items; i += MILLION) {
    sy_ledger_builder *b = sy_ledger_builder_new(&alloc, NULL);
    sy_ledger *ledger = NULL;
    sy_error err;
    for (size_t k = 0; k < MILLION; k++) {
      const sy_part part = part_of(c, k % c->parts);
      must(sy_ledger_add_part(b, "part", NULL, &part, &err), &err);
    }
    must(sy_ledger_finish(b, &ledger, &err), &err);
    sy_ledger_builder_free(b);
    sy_totals t;
    sy_ledger_totals(ledger, &t);
    c->sink += t.all.m;
    c->million_bytes = live;
    sy_ledger_release(ledger);
  }
}

static void print_answers(car *c) {
  const sy_trial trial = {c->totals.all, c->item[7].all.m, c->item[7].all.first, {1, 0, 0}, &c->map};
  const sy_sensitivity sensitivity = sensitivity_of_yaw_inertia(&c->totals);
  sy_trial_result r;
  double variance;
  sy_error err;
  sy_trial_at(&trial, 0.05, &r);
  must(sy_propagate_variance(&(sy_term){.ledger = c->ledger, .sign = 1, .by = &sensitivity}, 1, 1, NULL,
                             &variance, &err),
       &err);
  printf("%.17g %.17g %.17g %.17g %.17g", r.mass, r.cg.x, r.cg.y, r.cg.z, r.yaw_inertia);
  for (int i = 0; i < 4; i++) printf(" %.17g", r.load[i]);
  printf(" %.17g\n", variance);
  million(c, MILLION);
  printf("%.1f\n", (double)c->million_bytes / MILLION);
  fflush(stdout);
}

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  car c = car_of(argv[1]);
  print_answers(&c);
  bench_job jobs[] = {{"what_if", what_if, 0},
                      {"what_if_from_ledger", what_if_from_ledger, 0},
                      {"move", move, 0},
                      {"uncertainty", uncertainty, 0},
                      {"million", million, MILLION}};
  const int code = bench_serve(jobs, sizeof jobs / sizeof *jobs, &c);
  sy_ledger_release(c.ledger);
  return isfinite(c.sink) ? code : 1;
}
