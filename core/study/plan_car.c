#include "study/plan_car.h"

#include <math.h>
#include <string.h>

#include "base/units.h"

/* ---- making ------------------------------------------------------------------------------------------------------------ */

/* What no carrier carries is 0, so that every number of the sums is one. */
static void fill_carried(sy_totals *t) {
  static const sy_sums nothing;
  for (int c = 0; c < SY_CARRIER_COUNT; c++)
    if (!(t->carriers >> c & 1u)) t->carried[c] = nothing;
}

static void point_inside(sy_plan_car *c) {
  c->car.now = c->car.drawn = NULL;
  c->car.tanks.tank = c->tank;
  c->car.stated = NULL, c->car.stated_count = 0;
  c->car.beside = NULL;
  if (c->shaft_count > 0) c->car.shaft = c->found, c->car.shaft_count = c->shaft_count;
  if (c->gaps.count > 0) c->car.gap = c->gap_found, c->car.gap_count = c->gaps.count;
}

sy_status sy_plan_car_make(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                           const sy_shaft *shaft, size_t shaft_count, const sy_plan_gaps *gaps,
                           sy_plan_car *out, sy_error *err) {
  if (car->tanks.count > SY_PLAN_TANKS)
    return sy_fail(err, SY_LIMIT, "car", "tanks", "are %zu, at most %d can be varied with", car->tanks.count,
                   (int)SY_PLAN_TANKS);
  if (shaft_count > SY_PLAN_SHAFTS)
    return sy_fail(err, SY_LIMIT, "car", "shafts", "are %zu, at most %d can be varied with", shaft_count,
                   (int)SY_PLAN_SHAFTS);
  memset(out, 0, sizeof *out);
  out->car = *car;
  out->now = *now, out->drawn = *drawn;
  for (size_t k = 0; k < car->stated_count; k++) out->places_err |= sy_stated_place(&car->stated[k]);
  for (size_t k = 0; k < car->stated_count; k++)
    if (car->stated[k].field == SY_STATED_CROSS_SHARE)
      out->cross_sd = sy_stated_measured(&car->stated[k]) ? (double)NAN : car->stated[k].sd;
  fill_carried(&out->now);
  fill_carried(&out->drawn);
  for (size_t i = 0; i < car->tanks.count; i++) out->tank[i] = car->tanks.tank[i];
  for (size_t i = 0; i < shaft_count; i++) {
    out->shaft[i] = shaft[i];
    out->shaft[i].error = NULL, out->shaft[i].error_count = 0;
    out->shaft[i].droop_error.sd = out->shaft[i].bump_error.sd = 0;
  }
  out->shaft_count = shaft_count;
  if (gaps != NULL) out->gaps = *gaps;
  point_inside(out);
  return SY_OK;
}

void sy_plan_car_copy(const sy_plan_car *from, sy_plan_car *out) {
  *out = *from;
  point_inside(out);
}

/* ---- numbers ------------------------------------------------------------------------------------------------------------ */

typedef struct list {
  double **at;
  size_t count;
} list;

static void note(list *l, double *number) {
  if (l->count < SY_PLAN_NUMBERS) l->at[l->count++] = number;
}

static void note_some(list *l, double *first, size_t count) {
  for (size_t i = 0; i < count; i++) note(l, first + i);
}

static void note_vector(list *l, sy_vec3 *v) {
  note(l, &v->x);
  note(l, &v->y);
  note(l, &v->z);
}

static void note_tensor(list *l, sy_sym3 *t) {
  double *const at[6] = {&t->xx, &t->yy, &t->zz, &t->xy, &t->xz, &t->yz};
  for (int i = 0; i < 6; i++) note(l, at[i]);
}

static void note_sums(list *l, sy_sums *s) {
  note(l, &s->m);
  note_vector(l, &s->first);
  note_tensor(l, &s->second);
}

static void note_totals(list *l, sy_totals *t) {
  note_sums(l, &t->all);
  for (int c = 0; c < SY_CARRIER_COUNT; c++) note_sums(l, &t->carried[c]);
}

static void note_axle(list *l, sy_axle *a) {
  double *const at[8] = {&a->x,           &a->bar_rate,    &a->roll_centre, &a->lateral_rate,
                         &a->brake_links, &a->drive_links, &a->brake_angle, &a->drive_angle};
  for (int i = 0; i < 8; i++) note(l, at[i]);
}

static void note_wheel(list *l, sy_wheel *w) {
  double *const at[11] = {
      &w->x,           &w->y,    &w->loaded_radius, &w->tyre_rate, &w->spring_rate, &w->motion_ratio,
      &w->perch_pitch, &w->bump, &w->droop,         &w->stop_gap,  &w->stop_rate};
  for (int i = 0; i < 11; i++) note(l, at[i]);
  for (int i = 0; i < w->curve.count && i < SY_MAX_RATIOS; i++) {
    note(l, &w->curve.travel[i]);
    note(l, &w->curve.ratio[i]);
  }
}

static void note_vehicle(list *l, sy_vehicle *v) {
  int wheels = 0;
  for (int a = 0; a < v->axle_count; a++) {
    note_axle(l, &v->axle[a]);
    wheels += v->axle[a].wheels;
  }
  for (int w = 0; w < wheels; w++) note_wheel(l, &v->wheel[w]);
  note(l, &v->torsion);
  note(l, &v->cross_share);
}

static void note_setting(list *l, sy_car *c) {
  note_some(l, c->setting.pad, SY_MAX_WHEELS);
  note_some(l, c->setting.perch, SY_MAX_WHEELS);
  note_some(l, c->setting.preload, SY_MAX_AXLES);
  note_some(l, c->setting.downforce, SY_MAX_AXLES);
  double *const at[10] = {
      &c->raised_front, &c->raised_rear, &c->nose_up, &c->left_up,           &c->forward,
      &c->left,         &c->mu,          NULL,        &c->brake_front_share, &c->drive_front_share};
  for (int i = 0; i < 10; i++)
    if (at[i] != NULL) note(l, at[i]);
}

static void note_tank(list *l, sy_settle_tank *t) {
  note(l, &t->volume);
  note(l, &t->mass);
  note_some(l, &t->turn.m[0][0], 9);
  note_vector(l, &t->middle);
  note_sums(l, &t->booked);
}

static void note_shaft(list *l, sy_shaft *s) {
  sy_vec3 *const at[7] = {&s->inner.at, &s->inner.axis, &s->outer.at,  &s->outer.axis,
                          &s->path.at,  &s->path.pivot, &s->path.hinge};
  for (int i = 0; i < 7; i++) note_vector(l, at[i]);
  note(l, &s->droop);
  note(l, &s->bump);
  note(l, &s->steer);
}

static void note_envelope(list *l, sy_envelope *e) {
  note_some(l, &e->place.turn.m[0][0], 9);
  note_vector(l, &e->place.at);
  note_vector(l, &e->sweep);
  for (int i = 0; i < e->count && e->kind == SY_ENVELOPE_POINTS && i < SY_ENVELOPE_POINTS_MOST; i++)
    note_vector(l, &e->point[i]);
}

size_t sy_plan_car_numbers(sy_plan_car *car, double *at[SY_PLAN_NUMBERS]) {
  list l = {at, 0};
  note_totals(&l, &car->now);
  note_totals(&l, &car->drawn);
  note_some(&l, car->now.cov.c, sizeof car->now.cov.c / sizeof *car->now.cov.c);
  note_some(&l, car->cross_cov, 5);
  note(&l, &car->cross_sd);
  note_vehicle(&l, &car->car.vehicle);
  note_sums(&l, &car->car.drawn_liquid);
  note_setting(&l, &car->car);
  for (size_t i = 0; i < car->car.tanks.count; i++) note_tank(&l, &car->tank[i]);
  for (size_t i = 0; i < car->shaft_count; i++) note_shaft(&l, &car->shaft[i]);
  for (size_t i = 0; i < car->gaps.envelopes; i++) note_envelope(&l, &car->gaps.envelope[i]);
  return l.count;
}

/* ---- what is not a number ------------------------------------------------------------------------------------------------ */

static bool same_number(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

static bool same_vector(sy_vec3 a, sy_vec3 b) {
  return same_number(a.x, b.x) && same_number(a.y, b.y) && same_number(a.z, b.z);
}

static bool alike_tanks(const sy_tank *a, const sy_tank *b) {
  return a->kind == b->kind && a->mesh == b->mesh && same_vector(a->size, b->size) &&
         same_vector(a->axis, b->axis) && same_number(a->diameter, b->diameter) &&
         same_number(a->length, b->length);
}

static bool alike_vehicles(const sy_vehicle *a, const sy_vehicle *b) {
  if (a->axle_count != b->axle_count) return false;
  int wheels = 0;
  for (int i = 0; i < a->axle_count; i++) {
    if (a->axle[i].wheels != b->axle[i].wheels) return false;
    wheels += a->axle[i].wheels;
  }
  for (int i = 0; i < wheels; i++)
    if (a->wheel[i].curve.count != b->wheel[i].curve.count) return false;
  return true;
}

static bool alike_gaps(const sy_plan_gaps *a, const sy_plan_gaps *b) {
  if (a->count != b->count || a->pairs != b->pairs || a->envelopes != b->envelopes) return false;
  bool alike = true;
  for (size_t i = 0; i < a->envelopes && alike; i++) {
    const sy_envelope *e = &a->envelope[i], *f = &b->envelope[i];
    alike = e->kind == f->kind && e->mesh == f->mesh && e->count == f->count &&
            same_number(e->rounding, f->rounding) && same_vector(e->half, f->half) &&
            same_vector(e->end[0], f->end[0]) && same_vector(e->end[1], f->end[1]) &&
            same_number(e->radius[0], f->radius[0]) && same_number(e->radius[1], f->radius[1]);
  }
  for (size_t i = 0; i < a->pairs && alike; i++) {
    const sy_plan_pair *p = &a->pair[i], *q = &b->pair[i];
    alike = p->gap == q->gap && p->a == q->a && p->b == q->b && p->ground == q->ground &&
            p->marked == q->marked && same_vector(p->mark[0], q->mark[0]) &&
            same_vector(p->mark[1], q->mark[1]);
  }
  for (size_t i = 0; i < a->count && alike; i++) alike = a->asked[i] == b->asked[i];
  return alike;
}

bool sy_plan_car_alike(const sy_plan_car *a, const sy_plan_car *b) {
  bool alike = alike_vehicles(&a->car.vehicle, &b->car.vehicle) &&
               a->car.setting.bars == b->car.setting.bars && a->car.tanks.count == b->car.tanks.count &&
               a->shaft_count == b->shaft_count && a->car.map.split == b->car.map.split &&
               alike_gaps(&a->gaps, &b->gaps);
  for (size_t i = 0; i < a->car.tanks.count && alike; i++)
    alike = alike_tanks(&a->tank[i].tank, &b->tank[i].tank);
  for (size_t i = 0; i < a->shaft_count && alike; i++) {
    const sy_path *p = &a->shaft[i].path, *q = &b->shaft[i].path;
    alike = p->kind == q->kind && p->count == q->count;
    for (size_t k = 0; k < p->count && alike && p->kind == SY_PATH_POINTS; k++)
      alike = p->points[k].travel == q->points[k].travel && same_vector(p->points[k].at, q->points[k].at);
  }
  return alike;
}

/* ---- what follows ---------------------------------------------------------------------------------------------------------- */

static unsigned carriers_of(const sy_totals *t) {
  unsigned bits = 0;
  for (int c = 0; c < SY_CARRIER_COUNT; c++) {
    const sy_sums *s = &t->carried[c];
    const bool any = s->m != 0 || s->first.x != 0 || s->first.y != 0 || s->first.z != 0;
    bits |= any ? 1u << c : 0u;
  }
  return bits;
}

static bool lies_in(const void *number, const void *from, size_t size) {
  const uintptr_t at = (uintptr_t)number, start = (uintptr_t)from;
  return at >= start && at < start + size;
}

void sy_plan_car_note(const sy_plan_car *c, const double *number, sy_plan_moved *moved) {
  const sy_vehicle *v = &c->car.vehicle;
  bool place = number == &v->cross_share;
  for (int a = 0; a < SY_MAX_AXLES; a++) place = place || number == &v->axle[a].x;
  for (int w = 0; w < SY_MAX_WHEELS; w++)
    place = place || number == &v->wheel[w].x || number == &v->wheel[w].y;
  moved->places = moved->places || place;
  for (size_t i = 0; i < c->shaft_count; i++)
    if (lies_in(number, &c->shaft[i], sizeof c->shaft[i])) moved->shafts |= 1u << i;
  for (size_t i = 0; i < c->gaps.envelopes; i++)
    if (lies_in(number, &c->gaps.envelope[i], sizeof c->gaps.envelope[i])) moved->envelopes |= 1u << i;
}

/* m; NaN where it cannot be found. */
static double gap_of(const sy_plan_gaps *g, const sy_plan_pair *p) {
  sy_gap gap;
  sy_vec3 low;
  if (p->ground)
    return sy_envelope_reach(&g->envelope[p->a], (sy_vec3){0, 0, -1}, &low, NULL) == SY_OK ? low.z
                                                                                           : (double)NAN;
  if (sy_clearance(&g->envelope[p->a], &g->envelope[p->b], &gap, NULL) != SY_OK) return (double)NAN;
  if (!p->marked) return gap.gap;
  const sy_vec3 way = sy_vec3_sub(p->mark[1], p->mark[0]);
  const double length = sy_vec3_length(way);
  return length > 0.0 ? sy_vec3_dot(sy_vec3_sub(gap.at[1], gap.at[0]), way) / length : 0.0;
}

static void find_gaps(sy_plan_car *car, unsigned moved) {
  const sy_plan_gaps *g = &car->gaps;
  for (size_t i = 0; i < g->pairs; i++) {
    const sy_plan_pair *p = &g->pair[i];
    const unsigned both = 1u << p->a | (p->ground ? 0u : 1u << p->b);
    if (both & moved) car->pair_gap[i] = gap_of(g, p);
  }
  for (size_t i = 0; i < g->count; i++) {
    double least = (double)INFINITY;
    for (size_t k = 0; k < g->pairs; k++)
      if (g->pair[k].gap == i && !(car->pair_gap[k] >= least)) least = car->pair_gap[k]; /* also a NaN */
    car->gap_found[i] = (sy_gap_found){sy_found_of(least), g->asked[i]};
  }
}

sy_status sy_plan_car_follow(sy_plan_car *car, sy_plan_moved moved, sy_error *err) {
  static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  car->now.carriers = carriers_of(&car->now);
  car->drawn.carriers = carriers_of(&car->drawn);
  for (size_t i = 0; i < car->shaft_count; i++)
    if (moved.shafts >> i & 1u && sy_shaft_find(&car->shaft[i], &car->found[i], NULL, NULL) != SY_OK) {
      const sy_found unknown = sy_found_of((double)NAN);
      car->found[i] = (sy_shaft_found){unknown, unknown, unknown};
    }
  if (moved.envelopes != 0) find_gaps(car, moved.envelopes);
  return moved.places ? sy_loadmap_make(&car->car.vehicle, level, &car->car.map, err) : SY_OK;
}
