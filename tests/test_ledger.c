/* Building a ledger and its totals. */
#include "mass/ledger.h"

#include <float.h>

#include "dice.h"
#include "first_guess.h"
#include "ledger_tools.h"
#include "mass/massprops.h"

static double yaw_inertia(const sy_totals *t) { return sy_sums_body(&t->all).inertia.zz; }

static void totals_of_the_first_guess_are_the_worked_ones(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess(NULL, 0, false);
  const sy_totals t = totals_of(ledger);
  const sy_massprops car = sy_sums_body(&t.all);
  /* half a unit of the last printed digit */
  assert_near(car.mass, 770.8, 1e-9); /* the decimals of the masses add up exactly */
  assert_near(car.cg.x, -1.40963, 0.000005);
  assert_near(car.cg.y, -0.02156, 0.000005);
  assert_near(car.cg.z, 0.34295, 0.000005);
  assert_near(car.mass * (FIRST_GUESS_WHEELBASE + car.cg.x) / FIRST_GUESS_WHEELBASE, 327.31, 0.005);
  assert_near((FIRST_GUESS_WHEELBASE + car.cg.x) / FIRST_GUESS_WHEELBASE, 0.42464, 0.000005);
  assert_near(car.inertia.zz, 480.65, 0.005);
  assert_int_equal(t.parts, FIRST_LINES);
  assert_int_equal(t.points, FIRST_LINES);
  sy_ledger_release(ledger);
}

static void totals_of_corners_as_pairs_gain_their_half_tracks(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess(NULL, 0, true);
  const sy_totals t = totals_of(ledger);
  const sy_massprops car = sy_sums_body(&t.all);
  assert_near(car.mass, 770.8, 1e-9);
  assert_near(car.inertia.zz, 549.98, 0.005);
  assert_near(car.inertia.zz / (car.mass * -car.cg.x * (FIRST_GUESS_WHEELBASE + car.cg.x)), 0.48653,
              0.000005);
  assert_int_equal(t.parts, FIRST_LINES); /* a pair is one line */
  sy_ledger_release(ledger);
}

static void totals_gain_exactly_a_parts_own_inertia(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess(NULL, 0, false), *with = NULL;
  const sy_route engine = route1(FIRST_ENGINE);
  sy_item item;
  sy_error err;
  must(sy_ledger_item(ledger, &engine, &item, &err), &err);
  sy_part part = *item.part;
  part.inertia = (sy_sym3){11, 7, 9, 0, 0, 0};
  must(sy_ledger_put(ledger, &engine, &part, &with, &err), &err);
  const sy_totals before = totals_of(ledger), after = totals_of(with);
  assert_near(yaw_inertia(&after) - yaw_inertia(&before), 9,
              16 * DBL_EPSILON * 2100); /* of second moments to 2100 */
  sy_ledger_release(with);
  sy_ledger_release(ledger);
}

/* ---- against sy_massprops_combine, which sums bodies about their joint cg and never forms a ledger ------------- */

typedef struct bodies {
  sy_massprops body[256];
  size_t count;
} bodies;

static bool note_body(void *user, const sy_item *item) {
  bodies *all = user;
  if (!item->aboard) return false;
  if (item->part == NULL) return true;
  const sy_massprops piece = {item->part->mass, item->part->cg, item->part->inertia};
  const sy_massprops placed = sy_massprops_place(&piece, &item->outer);
  for (uint32_t i = 0; i < item->part->count; i++) all->body[all->count++] = placed;
  assert_true(all->count < 240);
  return true;
}

static void assert_body_near(const sy_massprops *got, const sy_massprops *want) {
  /* Second moments about the vehicle's origin reach mass x (2.5 + 3 x 2.5)^2; each level of groups and the shift to
  ** the cg round them some tens of times. */
  const double scale = want->mass * 100, tol = 64 * DBL_EPSILON;
  assert_near(got->mass, want->mass, tol * want->mass);
  assert_near(got->cg.x, want->cg.x, tol * 10);
  assert_near(got->cg.y, want->cg.y, tol * 10);
  assert_near(got->cg.z, want->cg.z, tol * 10);
  assert_near(got->inertia.xx, want->inertia.xx, tol * scale);
  assert_near(got->inertia.yy, want->inertia.yy, tol * scale);
  assert_near(got->inertia.zz, want->inertia.zz, tol * scale);
  assert_near(got->inertia.xy, want->inertia.xy, tol * scale);
  assert_near(got->inertia.xz, want->inertia.xz, tol * scale);
  assert_near(got->inertia.yz, want->inertia.yz, tol * scale);
}

static void totals_of_turned_groups_are_those_of_the_placed_bodies(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 200; seed++) {
    dice d = {seed};
    sy_ledger *ledger = random_ledger(&d, 12);
    bodies all = {.count = 0};
    sy_ledger_visit(ledger, note_body, &all);
    sy_massprops want;
    sy_error err;
    if (all.count > 0) {
      must(sy_massprops_combine(all.body, all.count, &want, &err), &err);
      const sy_totals t = totals_of(ledger);
      const sy_massprops got = sy_sums_body(&t.all);
      assert_body_near(&got, &want);
    }
    sy_ledger_release(ledger);
  }
}

static void totals_by_carrier_share_a_part_by_its_fractions(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part links = point(14, -0.06, 0.2, 0.33); /* a half on each of an axle and the body */
  links.unsprung = (sy_unsprung){{0.5}, {SY_CARRIER_AXLE}, 1};
  sy_part upright = point(27.4, -2.4, 0.725, 0.285); /* all of it on one wheel */
  upright.unsprung = (sy_unsprung){{1}, {SY_CARRIER_WHEEL + 2}, 1};
  sy_part shaft = point(8, -2.3, 0.1, 0.3); /* a quarter to each rear wheel */
  shaft.unsprung = (sy_unsprung){{0.25, 0.25}, {SY_CARRIER_WHEEL + 2, SY_CARRIER_WHEEL + 3}, 2};
  const sy_part tub = point(78, -1.02, 0, 0.36);
  add(b, "links", &links);
  add(b, "upright", &upright);
  add(b, "shaft", &shaft);
  add(b, "tub", &tub);
  sy_ledger *ledger = finish(b);
  const sy_totals t = totals_of(ledger);
  const unsigned wheels = 1u << (SY_CARRIER_WHEEL + 2) | 1u << (SY_CARRIER_WHEEL + 3);
  assert_int_equal(t.carriers, 1u << SY_CARRIER_BODY | 1u << SY_CARRIER_AXLE | wheels);
  const double tol = 8 * DBL_EPSILON * 100; /* a few roundings of sums below 100 */
  assert_near(t.carried[SY_CARRIER_BODY].m, 7 + 4 + 78, tol);
  assert_near(t.carried[SY_CARRIER_AXLE].m, 7, tol);
  assert_near(t.carried[SY_CARRIER_WHEEL + 2].m, 27.4 + 2, tol);
  assert_near(t.carried[SY_CARRIER_WHEEL + 3].m, 2, tol);
  assert_near(t.carried[SY_CARRIER_AXLE].first.x, 7 * -0.06, tol);
  assert_near(t.carried[SY_CARRIER_WHEEL + 2].first.y, 27.4 * 0.725 + 2 * 0.1, tol);
  assert_near(t.carried[SY_CARRIER_WHEEL + 2].second.xx, 27.4 * 2.4 * 2.4 + 2 * 2.3 * 2.3, 8 * tol);
  assert_near(t.all.m, 14 + 27.4 + 8 + 78, tol);
  sy_ledger_release(ledger);
}

static void totals_count_lines_unstated_and_unknown(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part bolt = point(0.137, -1, 0.1, 0.3);
  bolt.count = 40;
  bolt.flags |= SY_PART_UNSTATED;
  bolt.growth = 0.1;
  sy_part glass = point(0, -0.8, 0, 0.9); /* mass not known */
  glass.flags |= SY_PART_UNKNOWN;
  sy_part corner = point(27.4, 0, 0.725, 0.285);
  corner.flags |= SY_PART_UNSTATED;
  sy_part spare = point(11, -2, 0, 0.5);
  spare.flags |= SY_PART_NOT_ABOARD | SY_PART_UNSTATED;
  sy_part block = point(96.2, -1.8, 0, 0.34);
  block.flags &= ~(uint32_t)SY_PART_POINT;
  const sy_group plain = sy_group_default();
  add(b, "bolt", &bolt);
  add(b, "glass", &glass);
  add_pair(b, "corner", &plain, &corner);
  add(b, "spare", &spare);
  add(b, "block", &block);
  sy_ledger *ledger = finish(b);
  const sy_totals t = totals_of(ledger);
  assert_int_equal(t.parts, 4); /* bolts, glass, the pair, block */
  assert_int_equal(t.points, 3);
  assert_int_equal(t.unstated, 2);
  assert_int_equal(t.unknown, 1);
  assert_near(t.unstated_mass, 40 * 0.137 + 2 * 27.4, 1e-12); /* a few roundings of 60 */
  assert_near(t.growth_mass, 0.1 * 40 * 0.137, 1e-14);
  assert_near(t.all.m, 40 * 0.137 + 2 * 27.4 + 96.2, 1e-12);
  sy_ledger_release(ledger);
}

static void totals_of_an_empty_ledger_are_nothing(void **state) {
  (void)state;
  sy_ledger *ledger = finish(start_ledger(NULL));
  const sy_totals t = totals_of(ledger);
  assert_true(t.all.m == 0 && t.parts == 0 && t.carriers == 0 && t.cov.c[0] == 0);
  sy_ledger_release(ledger);
}

/* A group at zero angle is not a turn: the same bits as without. */
static void totals_with_a_turn_of_zero_are_those_without(void **state) {
  (void)state;
  sy_ledger *made[2];
  for (int k = 0; k < 2; k++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_group group = sy_group_default();
    if (k == 1) group.frame.turn = sy_frame_rotation(0, 0, 0);
    dice d = {99};
    open_group(b, "group", &group);
    add_random_items(b, &d, 20, 0);
    close_group(b);
    made[k] = finish(b);
  }
  assert_same_ledgers(made[0], made[1]);
  sy_ledger_release(made[0]);
  sy_ledger_release(made[1]);
}

/* ---- growth ---------------------------------------------------------------------------------------------------- */

typedef struct sequence {
  uint32_t next;
  bool good;
} sequence;

static bool note_order(void *user, const sy_item *item) {
  sequence *s = user;
  s->good = s->good && item->part != NULL && item->part->number == s->next && item->route.depth == 1 &&
            item->route.child[0] == s->next;
  s->next++;
  return true;
}

static sy_ledger_builder *numbered(const sy_ledger *relative, uint32_t from, uint32_t to) {
  sy_ledger_builder *b = relative != NULL ? sy_ledger_builder_new(NULL, relative) : start_ledger(NULL);
  assert_non_null(b);
  for (uint32_t i = from; i < to; i++) {
    dice d = {i};
    sy_part part = random_part(&d);
    part.number = i;
    add(b, "part", &part);
  }
  return b;
}

/* From nothing to `count` children, `step` at a time. */
static sy_ledger *appended(uint32_t count, uint32_t step) {
  sy_ledger *ledger = finish(numbered(NULL, 0, 0));
  for (uint32_t i = 0; i < count; i += step) {
    sy_ledger_builder *items = numbered(ledger, i, i + step < count ? i + step : count);
    sy_ledger *longer = NULL;
    const sy_route top = route0();
    sy_error err;
    must(sy_ledger_append(ledger, &top, items, &longer, &err), &err);
    sy_ledger_builder_free(items);
    sy_ledger_release(ledger);
    ledger = longer;
  }
  return ledger;
}

static void append_one_by_one_in_chunks_and_build_give_the_same(void **state) {
  (void)state;
  /* around the powers of 16, where the radix tree grows a level */
  const uint32_t counts[] = {1, 15, 16, 17, 255, 256, 257, 4095, 4096, 4097};
  for (size_t k = 0; k < sizeof counts / sizeof *counts; k++) {
    sy_ledger *built = finish(numbered(NULL, 0, counts[k]));
    const uint32_t steps[] = {1, 7, 300};
    for (size_t s = 0; s < 3; s++) {
      sy_ledger *grown = appended(counts[k], steps[s]);
      assert_same_ledgers(built, grown);
      sequence order = {0, true};
      sy_ledger_visit(grown, note_order, &order);
      assert_true(order.good);
      assert_int_equal(order.next, counts[k]);
      sy_ledger_release(grown);
    }
    sy_ledger_release(built);
  }
}

static void finish_of_a_million_parts_stays_small_and_exact(void **state) {
  (void)state;
  const uint32_t million = (uint32_t)dice_rounds(1000000);
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger_builder *b = start_ledger(&alloc);
  sy_part part = point(0.137, 0, 0.25, 0.5);
  for (uint32_t i = 0; i < million; i++) {
    part.cg.x = ((int)(i % 1001) - 500) * 0x1p-10; /* exactly representable, and so is its square */
    add(b, "bolt", &part);
  }
  sy_ledger *ledger = finish(b);
  /* "about 300 bytes a part", says ledger.h */
  print_message("%.1f bytes a part\n", (double)atomic_load(&m.live) / million);
  assert_true(atomic_load(&m.live) <= (size_t)400 * million);
  const sy_totals t = totals_of(ledger);
  assert_true(t.all.m == 0.137 * million); /* exact terms, rounded once */
  assert_int_equal(t.parts, million);
  double x = 0; /* whole numbers: exact */
  for (uint32_t i = 0; i < million; i++) x += (int)(i % 1001) - 500;
  assert_near(t.all.first.x, 0.137 * x * 0x1p-10, 1e6 * 0x1p-54 * 0.07); /* each term rounded once */
  const size_t before = atomic_load(&m.live);
  sy_ledger *moved = NULL;
  const sy_route last = route1(million - 1);
  sy_error err;
  must(sy_ledger_shift(ledger, &last, (sy_vec3){1, 0, 0}, &moved, &err), &err);
  /* one path of five branches, the part, the root and the ledger: 5 x 600 bytes and a little */
  assert_true(atomic_load(&m.live) - before < 4096);
  const sy_totals after = totals_of(moved);
  assert_near(after.all.first.x - t.all.first.x, 0.137, 1e-12); /* two roundings of sums to 500 kg m */
  sy_ledger_release(moved);
  assert_int_equal(atomic_load(&m.live), before);
  sy_ledger_release(ledger);
  assert_int_equal(atomic_load(&m.live), 0);
}

/* ---- nesting ---------------------------------------------------------------------------------------------------- */

/* `depth` groups inside one another with a part in the innermost; each shifts by a millimetre and turns a little. */
static sy_ledger_builder *chain(const sy_ledger *relative, int depth) {
  sy_ledger_builder *b = relative != NULL ? sy_ledger_builder_new(NULL, relative) : start_ledger(NULL);
  assert_non_null(b);
  sy_group group = sy_group_default();
  group.frame = (sy_frame){sy_frame_rotation(0.01, -0.02, 0.03), {0.001, 0.002, -0.001}};
  for (int i = 0; i < depth; i++) open_group(b, "shell", &group);
  const sy_part core = point(3.7, 0.2, 0.1, -0.3);
  add(b, "core", &core);
  for (int i = 0; i < depth; i++) close_group(b);
  return b;
}

static void totals_of_the_deepest_chain_are_those_of_the_placed_part(void **state) {
  (void)state;
  const int depth = SY_MAX_NESTING - 1;
  sy_ledger *ledger = finish(chain(NULL, depth));
  sy_frame frame = sy_frame_identity();
  const sy_frame shell = {sy_frame_rotation(0.01, -0.02, 0.03), {0.001, 0.002, -0.001}};
  sy_route route = {.depth = SY_MAX_NESTING};
  for (int i = 0; i < depth; i++) frame = sy_frame_compose(&frame, &shell);
  const sy_vec3 want = sy_frame_apply(&frame, (sy_vec3){0.2, 0.1, -0.3});
  const sy_totals t = totals_of(ledger);
  const sy_massprops got = sy_sums_body(&t.all);
  const double tol = depth * 8 * DBL_EPSILON; /* eight roundings a level of numbers below 1 */
  assert_near(got.mass, 3.7, tol);
  assert_near(got.cg.x, want.x, tol);
  assert_near(got.cg.y, want.y, tol);
  assert_near(got.cg.z, want.z, tol);
  sy_ledger *moved = NULL;
  sy_error err;
  must(sy_ledger_shift(ledger, &route, (sy_vec3){0.5, 0, 0}, &moved, &err), &err);
  const sy_totals after = totals_of(moved);
  assert_near(sy_sums_body(&after.all).cg.x - got.cg.x, 0.5, 2 * tol);
  assert_near(sy_sums_body(&after.all).cg.y, got.cg.y, 2 * tol);
  sy_ledger_release(moved);
  sy_ledger_release(ledger);
}

static void open_group_beyond_the_nesting_limit_is_refused(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_group group = sy_group_default();
  for (int i = 1; i < SY_MAX_NESTING; i++) open_group(b, "shell", &group);
  sy_error err;
  assert_int_equal(sy_ledger_open_group(b, "one more", NULL, &group, &err), SY_LIMIT);
  assert_string_equal(err.part, "one more");
  sy_ledger_builder_free(b);
}

static void append_beyond_the_nesting_limit_is_refused(void **state) {
  (void)state;
  sy_ledger *ledger = finish(chain(NULL, 20));
  sy_ledger_builder *items = chain(ledger, 12);
  sy_route inner = {.depth = 20}, outer = {.depth = 19};
  sy_ledger *out = ledger;
  sy_error err;
  assert_int_equal(sy_ledger_append(ledger, &inner, items, &out, &err), SY_LIMIT);
  assert_string_equal(err.part, "shell");
  assert_ptr_equal(out, ledger);
  must(sy_ledger_append(ledger, &outer, items, &out, &err), &err); /* 19 and 12 are 31 */
  sy_ledger *anew = built_anew(out);
  assert_same_ledgers(out, anew);
  sy_ledger_release(anew);
  sy_ledger_release(out);
  sy_ledger_builder_free(items);
  sy_ledger_release(ledger);
}

/* ---- identity --------------------------------------------------------------------------------------------------- */

typedef struct id_list {
  uint64_t id[64];
  size_t count;
} id_list;

static bool note_id(void *user, const sy_item *item) {
  id_list *list = user;
  list->id[list->count++] = item->part != NULL ? item->part->id : item->group->id;
  assert_true(list->count < 64);
  return true;
}

static void identities_are_new_and_never_given_twice(void **state) {
  (void)state;
  sy_ledger *ledger = finish(numbered(NULL, 0, 5));
  id_list before = {.count = 0}, all = {.count = 0};
  sy_ledger_visit(ledger, note_id, &before);
  /* two cars that grow apart from one: related builders share one count */
  sy_ledger *grown[2];
  for (int k = 0; k < 2; k++) {
    sy_ledger_builder *items = numbered(ledger, 5, 9);
    const sy_route top = route0();
    sy_error err;
    must(sy_ledger_append(ledger, &top, items, &grown[k], &err), &err);
    sy_ledger_builder_free(items);
    id_list now = {.count = 0};
    sy_ledger_visit(grown[k], note_id, &now);
    assert_memory_equal(now.id, before.id, before.count * sizeof *before.id);
    for (size_t i = before.count; i < now.count; i++) all.id[all.count++] = now.id[i];
  }
  for (size_t i = 0; i < before.count; i++) all.id[all.count++] = before.id[i];
  for (size_t i = 0; i < all.count; i++) {
    assert_true(all.id[i] != 0);
    for (size_t j = 0; j < i; j++) assert_true(all.id[i] != all.id[j]);
  }
  for (int k = 0; k < 2; k++) sy_ledger_release(grown[k]);
  sy_ledger_release(ledger);
}

static void identities_given_by_hand_are_not_given_again(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part part = point(1.37, 0, 0, 0.3);
  part.id = 3;
  add(b, "by hand", &part);
  part.id = 4; /* what the count would give next */
  add(b, "by hand", &part);
  part.id = 0;
  for (int i = 0; i < 8; i++) add(b, "counted", &part);
  sy_ledger *ledger = finish(b);
  id_list all = {.count = 0};
  sy_ledger_visit(ledger, note_id, &all);
  assert_true(all.id[0] == 3);
  for (size_t i = 0; i < all.count; i++)
    for (size_t j = 0; j < i; j++) assert_true(all.id[i] != all.id[j]);
  sy_ledger_release(ledger);
}

/* ---- refusals ----------------------------------------------------------------------------------------------------- */

typedef struct refusals {
  sy_part part[40];
  const char *field[40];
  size_t count;
} refusals;

/* One more good part, for the caller to spoil. */
static sy_part *spoil(refusals *r, const char *field) {
  assert_true(r->count < 40);
  r->field[r->count] = field;
  r->part[r->count] = point(2.7, -1, 0.2, 0.3);
  return &r->part[r->count++];
}

static void spoil_every_value(refusals *r) {
  const double uncertainties[] = {-0.1, (double)NAN, (double)INFINITY},
               places[] = {1000.5, -1000.5, (double)NAN, -(double)INFINITY};
  spoil(r, "mass")->mass = -1;
  spoil(r, "mass")->mass = (double)NAN;
  spoil(r, "mass")->mass = (double)INFINITY;
  spoil(r, "mass")->mass = 1.0001e5;
  for (size_t i = 0; i < 3; i++) spoil(r, "mass")->mass_sd = uncertainties[i];
  for (size_t i = 0; i < 3; i++) spoil(r, "at")->cg_sd.y = uncertainties[i];
  for (size_t i = 0; i < 4; i++) spoil(r, "at")->cg.z = places[i];
  spoil(r, "inertia")->inertia.xz = (double)NAN;
  spoil(r, "growth")->growth = -0.01;
  spoil(r, "growth")->growth = (double)NAN;
  spoil(r, "growth")->growth = 10.5;
  spoil(r, "count")->count = 0;
  spoil(r, "count")->count = 1000001;
  spoil(r, "id")->id = (uint64_t)1 << 63;
  spoil(r, "unsprung")->unsprung = (sy_unsprung){{1.1}, {1}, 1};
  spoil(r, "unsprung")->unsprung = (sy_unsprung){{0}, {1}, 1};
  spoil(r, "unsprung")->unsprung = (sy_unsprung){{(double)NAN}, {1}, 1};
  spoil(r, "unsprung")->unsprung = (sy_unsprung){{0.7, 0.4}, {1, 2}, 2};
  spoil(r, "unsprung")->unsprung = (sy_unsprung){{0.5}, {SY_CARRIER_COUNT}, 1};
  spoil(r, "unsprung")->unsprung.count = SY_MAX_UNSPRUNG + 1;
  /* every number by itself is allowed; a second moment of 1e17 kg m2 is not */
  sy_part *far = spoil(r, "mass");
  far->mass = 1e5;
  far->cg.x = 1e3;
  far->count = 1000000;
}

static void add_part_with_a_value_out_of_range_names_part_and_field(void **state) {
  (void)state;
  refusals r = {.count = 0};
  spoil_every_value(&r);
  for (size_t i = 0; i < r.count; i++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_error err;
    assert_int_equal(sy_ledger_add_part(b, "spring hanger", NULL, &r.part[i], &err), SY_RANGE);
    assert_string_equal(err.part, "spring hanger");
    assert_string_equal(err.field, r.field[i]);
    assert_true(err.message[0] != 0);
    assert_int_equal(sy_ledger_add_part(b, "spring hanger", NULL, &r.part[i], NULL), SY_RANGE);
    sy_ledger_builder_free(b);
  }
}

static void open_group_with_a_wrong_placement_names_group_and_field(void **state) {
  (void)state;
  for (int k = 0; k < 7; k++) {
    sy_group group = sy_group_default();
    const char *field = k < 2 ? "at" : k < 5 ? "turned" : k == 5 ? "pair" : "id";
    if (k == 0) group.frame.at.x = (double)NAN;
    if (k == 1) group.frame.at.y = 1001;
    if (k == 2) group.frame.turn.m[0][0] = 1.001;
    if (k == 3) group.frame.turn.m[1][1] = -1; /* a reflection */
    if (k == 4) group.frame.turn.m[2][0] = (double)NAN;
    if (k == 5) group.twin = true; /* without a plane */
    if (k == 6) group.id = UINT64_MAX;
    sy_ledger_builder *b = start_ledger(NULL);
    sy_error err;
    assert_int_equal(sy_ledger_open_group(b, "subframe", NULL, &group, &err), SY_RANGE);
    assert_string_equal(err.part, "subframe");
    assert_string_equal(err.field, field);
    sy_ledger_builder_free(b);
  }
}

static void close_group_and_finish_out_of_turn_are_refused(void **state) {
  (void)state;
  sy_error err;
  sy_ledger_builder *b = start_ledger(NULL);
  assert_int_equal(sy_ledger_close_group(b, &err), SY_CLASH);
  sy_ledger_builder_free(b);
  b = start_ledger(NULL);
  const sy_group group = sy_group_default();
  open_group(b, "subframe", &group);
  sy_ledger *out = NULL;
  assert_int_equal(sy_ledger_finish(b, &out, &err), SY_CLASH);
  assert_string_equal(err.part, "subframe");
  assert_null(out);
  sy_ledger_builder_free(b);
}

static void close_group_of_a_pair_without_two_parts_is_refused(void **state) {
  (void)state;
  for (int parts = 0; parts <= 3; parts++) {
    for (int with_group = 0; with_group <= 1; with_group++) {
      if (parts == 2 && !with_group) continue; /* that one is right */
      sy_ledger_builder *b = start_ledger(NULL);
      sy_group pair = sy_group_default();
      pair.twin = true;
      pair.twin_normal = (sy_vec3){0, 1, 0};
      open_group(b, "front corner", &pair);
      const sy_part part = point(27.4, 0, 0.7, 0.3);
      const sy_group inner = sy_group_default();
      for (int i = 0; i < parts - with_group; i++) add(b, "side", &part);
      if (with_group) {
        open_group(b, "inner", &inner);
        close_group(b);
      }
      sy_error err;
      assert_int_equal(sy_ledger_close_group(b, &err), SY_CLASH);
      assert_string_equal(err.part, "front corner");
      assert_string_equal(err.field, "pair");
      sy_ledger_builder_free(b);
    }
  }
}

static void builder_that_is_given_up_frees_everything(void **state) {
  (void)state;
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger_builder *b = start_ledger(&alloc);
  dice d = {1};
  add_random_items(b, &d, 40, 3);
  const sy_group group = sy_group_default();
  open_group(b, "open", &group);
  add_random_items(b, &d, 40, 2);
  open_group(b, "open too", &group);
  sy_ledger_builder_free(b);
  assert_int_equal(atomic_load(&m.live), 0);
  sy_ledger_builder_free(NULL);
  sy_ledger_release(NULL);
}

/* Sixteen heavy parts a kilometre out: each fits, their sums do not. */
static void finish_with_sums_beyond_the_range_is_refused(void **state) {
  (void)state;
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  for (unsigned carriers = 1; carriers <= SY_CARRIER_COUNT; carriers += 8) {
    sy_ledger_builder *b = start_ledger(&alloc);
    sy_part part = point(1e5, 1e3, 1e3, -1e3);
    part.count = 8;
    sy_error err;
    sy_status status = SY_OK;
    for (unsigned i = 0; i < 400 && status == SY_OK; i++) {
      part.unsprung = (sy_unsprung){{1}, {(uint8_t)(i % carriers)}, 1};
      if (part.unsprung.carrier[0] == 0) part.unsprung.count = 0;
      status = sy_ledger_add_part(b, "boulder", NULL, &part, &err);
    }
    assert_int_equal(status, SY_OK);
    sy_ledger *out = NULL;
    assert_int_equal(sy_ledger_finish(b, &out, &err), SY_RANGE);
    assert_string_equal(err.part, "ledger");
    assert_string_equal(err.field, "mass");
    assert_null(out);
    sy_ledger_builder_free(b);
    assert_int_equal(atomic_load(&m.live), 0);
  }
}

/* Just inside the range in every carrier: their sum is still right. */
static void totals_with_all_carriers_full_do_not_overflow(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part part = point(1e5, 1e3, 0, 0);
  part.count = 10; /* 1e12 kg m2 */
  sy_ledger *out = NULL;
  for (unsigned c = 0; c < SY_CARRIER_COUNT; c++) {
    part.unsprung = (sy_unsprung){{1}, {(uint8_t)c}, 1};
    add(b, "boulder", &part);
  }
  out = finish(b);
  const sy_totals t = totals_of(out);
  assert_true(t.all.second.xx == 25e12);
  assert_true(t.all.m == 25e6);
  sy_ledger_release(out);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(totals_of_the_first_guess_are_the_worked_ones),
      cmocka_unit_test(totals_of_corners_as_pairs_gain_their_half_tracks),
      cmocka_unit_test(totals_gain_exactly_a_parts_own_inertia),
      cmocka_unit_test(totals_of_turned_groups_are_those_of_the_placed_bodies),
      cmocka_unit_test(totals_by_carrier_share_a_part_by_its_fractions),
      cmocka_unit_test(totals_count_lines_unstated_and_unknown),
      cmocka_unit_test(totals_of_an_empty_ledger_are_nothing),
      cmocka_unit_test(totals_with_a_turn_of_zero_are_those_without),
      cmocka_unit_test(append_one_by_one_in_chunks_and_build_give_the_same),
      cmocka_unit_test(finish_of_a_million_parts_stays_small_and_exact),
      cmocka_unit_test(totals_of_the_deepest_chain_are_those_of_the_placed_part),
      cmocka_unit_test(open_group_beyond_the_nesting_limit_is_refused),
      cmocka_unit_test(append_beyond_the_nesting_limit_is_refused),
      cmocka_unit_test(identities_are_new_and_never_given_twice),
      cmocka_unit_test(identities_given_by_hand_are_not_given_again),
      cmocka_unit_test(add_part_with_a_value_out_of_range_names_part_and_field),
      cmocka_unit_test(open_group_with_a_wrong_placement_names_group_and_field),
      cmocka_unit_test(close_group_and_finish_out_of_turn_are_refused),
      cmocka_unit_test(close_group_of_a_pair_without_two_parts_is_refused),
      cmocka_unit_test(builder_that_is_given_up_frees_everything),
      cmocka_unit_test(finish_with_sums_beyond_the_range_is_refused),
      cmocka_unit_test(totals_with_all_carriers_full_do_not_overflow),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
