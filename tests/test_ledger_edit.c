/* Edits: each gives a new ledger; totals rest on the content and not on the way there. */
#include <float.h>
#include <pthread.h>

#include "first_guess.h"
#include "ledger_tools.h"
#include "mass/massprops.h"

typedef sy_status edit(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out, sy_error *err);

/* ---- one random edit of one item -------------------------------------------------------------------------------- */

static sy_status random_shift(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out,
                              sy_error *err) {
  const sy_vec3 by = {dice_between(d, -0.1, 0.1), dice_between(d, -0.1, 0.1), dice_between(d, -0.1, 0.1)};
  return sy_ledger_shift(from, route, by, out, err);
}

static sy_status random_turn(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out,
                             sy_error *err) {
  const sy_mat3 turn = sy_frame_rotation(dice_between(d, -0.2, 0.2), 0, dice_between(d, -0.2, 0.2));
  const sy_vec3 point = {dice_between(d, -2, 0), dice_between(d, -1, 1), 0.3};
  return sy_ledger_turn(from, route, turn, point, out, err);
}

static sy_status random_aboard(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out,
                               sy_error *err) {
  return sy_ledger_set_aboard(from, route, dice_below(d, 2) == 0, out, err);
}

static sy_status random_put(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out,
                            sy_error *err) {
  sy_item item;
  must(sy_ledger_item(from, route, &item, err), err);
  if (item.part != NULL) {
    const sy_part part = random_part(d);
    return sy_ledger_put(from, route, &part, out, err);
  }
  sy_group group = *item.group;
  group.frame = random_frame(d);
  return sy_ledger_put_group(from, route, &group, out, err);
}

static sy_status random_append(const sy_ledger *from, const sy_route *route, dice *d, sy_ledger **out,
                               sy_error *err) {
  sy_item item;
  must(sy_ledger_item(from, route, &item, err), err);
  if (item.part != NULL || item.group->twin) return random_shift(from, route, d, out, err);
  sy_ledger_builder *items = sy_ledger_builder_new(NULL, from);
  assert_non_null(items);
  add_random_items(items, d, dice_below(d, 20), 1);
  const sy_status status = sy_ledger_append(from, route, items, out, err);
  sy_ledger_builder_free(items);
  return status;
}

enum { ROUTES = 2048 };

static sy_ledger *randomly_edited(sy_ledger *ledger, dice *d, int edits) {
  static edit *const kinds[] = {random_shift, random_turn, random_aboard, random_put, random_append};
  sy_route routes[ROUTES];
  for (int i = 0; i < edits; i++) {
    const size_t count = all_routes(ledger, routes, ROUTES);
    sy_ledger *next = NULL;
    sy_error err;
    must(kinds[dice_below(d, 5)](ledger, &routes[dice_below(d, count)], d, &next, &err), &err);
    sy_ledger_release(ledger);
    ledger = next;
  }
  return ledger;
}

static void any_edits_leave_what_the_same_content_built_anew_has(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= (uint64_t)dice_rounds(300); seed++) {
    dice d = {seed};
    sy_ledger *ledger = randomly_edited(random_ledger(&d, 15), &d, 40);
    sy_ledger *anew = built_anew(ledger);
    assert_same_ledgers(ledger, anew);
    sy_route routes[ROUTES];
    const size_t count = all_routes(ledger, routes, ROUTES);
    for (size_t i = 0; i < count; i++) {
      sy_totals a, b;
      sy_error err;
      must(sy_ledger_item_totals(ledger, &routes[i], &a, &err), &err);
      must(sy_ledger_item_totals(anew, &routes[i], &b, &err), &err);
      assert_true(same_totals(&a, &b));
    }
    sy_ledger_release(anew);
    sy_ledger_release(ledger);
  }
}

/* The baseline and every step on the way stay as they were. */
static void any_edits_leave_their_baselines_alone(void **state) {
  (void)state;
  enum { STEPS = 30 };
  dice d = {4711};
  sy_ledger *step[STEPS + 1];
  sy_totals was[STEPS + 1];
  step[0] = random_ledger(&d, 30);
  was[0] = totals_of(step[0]);
  for (int i = 1; i <= STEPS; i++) {
    step[i] = randomly_edited(sy_ledger_share(step[i - 1]), &d, 1);
    was[i] = totals_of(step[i]);
  }
  for (int i = 0; i <= STEPS; i++) {
    const sy_totals now = totals_of(step[i]);
    assert_true(same_totals(&now, &was[i]));
  }
  for (int i = STEPS; i >= 0; i -= 2) sy_ledger_release(step[i]); /* owners go in no special order */
  for (int i = 1; i <= STEPS; i += 2) {
    const sy_totals now = totals_of(step[i]);
    assert_true(same_totals(&now, &was[i]));
    sy_ledger_release(step[i]);
  }
}

/* ---- there and back, and in any order ---------------------------------------------------------------------------- */

static void shift_there_and_back_leaves_the_same_bits(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= (uint64_t)dice_rounds(300); seed++) {
    dice d = {seed};
    sy_ledger *start = random_ledger(&d, 15), *ledger = sy_ledger_share(start);
    sy_route routes[ROUTES], moved[10];
    sy_vec3 by[10];
    size_t order[10];
    const size_t count = all_routes(ledger, routes, ROUTES);
    for (size_t i = 0; i < 20; i++) {
      if (i == 10) { /* back in another order */
        for (size_t k = 0; k < 10; k++) order[k] = k;
        dice_shuffle(&d, order, 10);
      }
      if (i < 10) {
        by[i] = (sy_vec3){dice_between(&d, -1, 1), dice_between(&d, -1, 1), 50e-3};
        moved[i] = routes[dice_below(&d, count)];
        if (moved[i].depth > 1)
          moved[i].depth = 1 + (uint32_t)dice_below(&d, 2); /* groups too, inside and out */
      }
      const size_t k = i < 10 ? i : order[i - 10];
      sy_ledger *next = NULL;
      sy_error err;
      must(sy_ledger_shift(ledger, &moved[k], sy_vec3_scale(i < 10 ? 1 : -1, by[k]), &next, &err), &err);
      sy_ledger_release(ledger);
      ledger = next;
    }
    assert_same_ledgers(ledger, start);
    sy_ledger_release(ledger);
    sy_ledger_release(start);
  }
}

/* A thousand steps of 0.1 mm are one of 100 mm: 0.0001 is not a sum of powers of two. */
static void shift_in_many_steps_is_one_shift(void **state) {
  (void)state;
  sy_ledger *start = first_guess(NULL, 0.015, true), *ledger = sy_ledger_share(start), *once = NULL;
  const sy_route engine = route1(FIRST_ENGINE);
  sy_error err;
  must(sy_ledger_shift(start, &engine, (sy_vec3){-0.1, 0.1, 0}, &once, &err), &err);
  for (int i = 0; i < 1000; i++) {
    sy_ledger *next = NULL;
    must(sy_ledger_shift(ledger, &engine, (sy_vec3){-0.0001, 0.0001, 0}, &next, &err), &err);
    sy_ledger_release(ledger);
    ledger = next;
  }
  assert_same_ledgers(ledger, once);
  sy_ledger_release(ledger);
  sy_ledger_release(once);
  sy_ledger_release(start);
}

static void edits_of_different_items_in_any_order_give_the_same_bits(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= (uint64_t)dice_rounds(100); seed++) {
    sy_ledger *first = NULL;
    for (int turn = 0; turn < 3; turn++) {
      dice d = {seed}, shuffling = {seed * 10 + (uint64_t)turn};
      sy_ledger *ledger = random_ledger(&d, 15);
      sy_route routes[ROUTES];
      size_t order[ROUTES];
      const size_t count = all_routes(ledger, routes, ROUTES);
      for (size_t i = 0; i < count; i++) order[i] = i;
      dice_shuffle(&shuffling, order, count);
      for (size_t i = 0; i < count; i++) {
        dice own = {seed * 1000 + order[i]}; /* each item's edit is its own, whenever it comes */
        sy_ledger *next = NULL;
        sy_error err;
        edit *const kind = order[i] % 3 ? random_put : random_aboard;
        must(kind(ledger, &routes[order[i]], &own, &next, &err), &err);
        sy_ledger_release(ledger);
        ledger = next;
      }
      if (first == NULL)
        first = ledger;
      else {
        assert_same_ledgers(ledger, first);
        sy_ledger_release(ledger);
      }
    }
    sy_ledger_release(first);
  }
}

static void append_in_another_order_gives_the_same_bits(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= (uint64_t)dice_rounds(100); seed++) {
    sy_ledger *made[2];
    for (int turn = 0; turn < 2; turn++) {
      dice d = {seed};
      made[turn] = random_ledger(&d, 10);
      for (uint64_t k = 0; k < 20; k++) {
        dice own = {seed * 100 + (turn ? 19 - k : k)};
        sy_ledger_builder *items = sy_ledger_builder_new(NULL, made[turn]);
        const sy_route top = route0();
        sy_ledger *next = NULL;
        sy_error err;
        add_random_items(items, &own, 3, 1);
        must(sy_ledger_append(made[turn], &top, items, &next, &err), &err);
        sy_ledger_builder_free(items);
        sy_ledger_release(made[turn]);
        made[turn] = next;
      }
    }
    assert_same_ledgers(made[0], made[1]);
    sy_ledger_release(made[0]);
    sy_ledger_release(made[1]);
  }
}

static void set_aboard_off_and_on_leaves_the_same_bits(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= (uint64_t)dice_rounds(100); seed++) {
    dice d = {seed};
    sy_ledger *start = random_ledger(&d, 12), *ledger = sy_ledger_share(start);
    sy_route routes[ROUTES];
    const size_t count = all_routes(ledger, routes, ROUTES);
    sy_totals nothing;
    for (int pass = 0; pass < 2; pass++) { /* everything removed, then back as it was */
      for (size_t i = 0; i < count; i++) {
        sy_item item;
        sy_error err;
        sy_ledger *next = NULL;
        must(sy_ledger_item(start, &routes[i], &item, &err), &err);
        const bool was =
            item.part != NULL ? !(item.part->flags & SY_PART_NOT_ABOARD) : !item.group->not_aboard;
        must(sy_ledger_set_aboard(ledger, &routes[i], pass == 1 && was, &next, &err), &err);
        sy_ledger_release(ledger);
        ledger = next;
      }
      if (pass == 0) nothing = totals_of(ledger);
    }
    /* nothing aboard leaves no trace: not a bit, not a carrier */
    assert_true(nothing.all.m == 0 && nothing.all.second.xx == 0 && nothing.carriers == 0 &&
                nothing.parts == 0);
    assert_same_ledgers(ledger, start);
    sy_ledger_release(ledger);
    sy_ledger_release(start);
  }
}

/* ---- what each edit does ------------------------------------------------------------------------------------------ */

static sy_massprops body_of(const sy_ledger *ledger, const sy_route *route) {
  sy_totals t;
  sy_error err;
  must(sy_ledger_item_totals(ledger, route, &t, &err), &err);
  return sy_sums_body(&t.all);
}

/* A part two turned groups deep. */
static sy_ledger *nested(dice *d) {
  sy_ledger_builder *b = start_ledger(NULL);
  sy_group outer = sy_group_default(), inner = sy_group_default();
  outer.frame = (sy_frame){sy_frame_rotation(0.4, -0.3, 1.1), {-1.7, 0.2, 0.3}};
  inner.frame = (sy_frame){sy_frame_rotation(-1.2, 0.5, 0.7), {0.31, -0.07, 0.12}};
  sy_part part = random_part(d);
  part.flags &= ~(uint32_t)SY_PART_NOT_ABOARD;
  const sy_part other = point(12, -0.6, 0.25, 0.25);
  open_group(b, "outer", &outer);
  open_group(b, "inner", &inner);
  add(b, "part", &part);
  close_group(b);
  add(b, "other", &other);
  close_group(b);
  return finish(b);
}

/* 64 roundings of numbers up to 100 (kg m2) */
#define NESTED_TOL (64 * DBL_EPSILON * 100)

static void assert_same_body(const sy_massprops *got, const sy_massprops *want) {
  assert_near(got->mass, want->mass, NESTED_TOL);
  /* lengths are kept to a picometre: half of one each way */
  assert_near(got->cg.x, want->cg.x, 1e-12);
  assert_near(got->cg.y, want->cg.y, 1e-12);
  assert_near(got->cg.z, want->cg.z, 1e-12);
  const double tol = NESTED_TOL + want->mass * 4 * 1e-12; /* a length error e changes m r^2 by 2 m r e */
  assert_near(got->inertia.xx, want->inertia.xx, tol);
  assert_near(got->inertia.yy, want->inertia.yy, tol);
  assert_near(got->inertia.zz, want->inertia.zz, tol);
  assert_near(got->inertia.xy, want->inertia.xy, tol);
  assert_near(got->inertia.xz, want->inertia.xz, tol);
  assert_near(got->inertia.yz, want->inertia.yz, tol);
}

static void shift_is_along_the_vehicle_s_directions_inside_turned_groups(void **state) {
  (void)state;
  for (uint32_t depth = 1; depth <= 3; depth++) {
    dice d = {depth};
    sy_ledger *start = nested(&d), *moved = NULL;
    sy_route route = route3(0, 0, 0);
    route.depth = depth;
    sy_error err;
    sy_massprops want = body_of(start, &route);
    must(sy_ledger_shift(start, &route, (sy_vec3){-0.05, 0.013, 0.002}, &moved, &err), &err);
    want.cg = sy_vec3_add(want.cg, (sy_vec3){-0.05, 0.013, 0.002});
    const sy_massprops got = body_of(moved, &route);
    assert_same_body(&got, &want);
    sy_ledger_release(moved);
    sy_ledger_release(start);
  }
}

static void turn_about_a_point_turns_the_body_as_it_lies_in_the_vehicle(void **state) {
  (void)state;
  for (uint32_t depth = 1; depth <= 3; depth++) {
    dice d = {depth};
    sy_ledger *start = nested(&d), *turned = NULL;
    sy_route route = route3(0, 0, 0);
    route.depth = depth;
    sy_error err;
    const sy_mat3 turn = sy_frame_rotation(0.1, -0.2, 0.3);
    const sy_frame about = sy_frame_about(turn, (sy_vec3){-1.2, 0.1, 0.3});
    const sy_massprops before = body_of(start, &route), want = sy_massprops_place(&before, &about);
    must(sy_ledger_turn(start, &route, turn, (sy_vec3){-1.2, 0.1, 0.3}, &turned, &err), &err);
    const sy_massprops got = body_of(turned, &route);
    assert_same_body(&got, &want);
    sy_ledger_release(turned);
    sy_ledger_release(start);
  }
}

static void put_keeps_identity_name_and_tags(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part part = point(3, 0, 0, 0.3);
  sy_error err;
  must(sy_ledger_add_part(b, "engine", "drive\nheavy", &part, &err), &err);
  sy_ledger *start = finish(b), *changed = NULL;
  const sy_route route = route1(0);
  sy_item before, after;
  must(sy_ledger_item(start, &route, &before, &err), &err);
  part.mass = 4.5;
  part.id = 77; /* not followed */
  must(sy_ledger_put(start, &route, &part, &changed, &err), &err);
  must(sy_ledger_item(changed, &route, &after, &err), &err);
  assert_true(after.part->id == before.part->id && after.part->mass == 4.5 && before.part->mass == 3);
  assert_string_equal(after.name, "engine");
  assert_string_equal(after.tags, "drive\nheavy");
  sy_ledger_release(start);
  must(sy_ledger_item(changed, &route, &after, &err), &err);
  assert_string_equal(after.name, "engine"); /* it is its own */
  sy_ledger_release(changed);
}

static void set_tags_gives_other_tags_and_keeps_all_else(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part part = point(3, 0, 0, 0.3);
  const sy_group group = sy_group_default();
  sy_error err;
  must(sy_ledger_add_part(b, "engine", "drive\nheavy", &part, &err), &err);
  must(sy_ledger_open_group(b, "doors", NULL, &group, &err), &err);
  add(b, "left door", &part);
  close_group(b);
  sy_ledger *start = finish(b), *once = NULL, *twice = NULL;
  const sy_route engine = route1(0), doors = route1(1);
  must(sy_ledger_set_tags(start, &engine, NULL, &once, &err), &err);
  must(sy_ledger_set_tags(once, &doors, "glass", &twice, &err), &err);
  assert_int_equal(sy_ledger_find_tag(start, "heavy", NULL, 0), 1);
  assert_int_equal(sy_ledger_find_tag(twice, "heavy", NULL, 0), 0);
  sy_route found;
  assert_int_equal(sy_ledger_find_tag(twice, "glass", &found, 1), 1);
  assert_int_equal(found.child[0], 1);
  sy_item before, after;
  must(sy_ledger_item(start, &doors, &before, &err), &err);
  must(sy_ledger_item(twice, &doors, &after, &err), &err);
  assert_true(before.group->id == after.group->id && after.children == 1);
  const sy_totals was = totals_of(start), is = totals_of(twice);
  assert_true(same_totals(&was, &is));
  sy_ledger_release(start);
  sy_ledger_release(once);
  sy_ledger_release(twice);
}

/* A car does not show by which way its pieces came where they are. */
static void shift_of_a_pair_leaves_what_one_filed_there_has(void **state) {
  (void)state;
  const sy_group top = sy_group_default();
  sy_part here = point(27.4, -0.13, 0.725, 0.285), there = point(27.4, -0.337, 0.725, 0.2917);
  here.cg_sd = there.cg_sd = (sy_vec3){0.003, 0.001, 0.007};
  sy_ledger_builder *b = start_ledger(NULL);
  add_pair(b, "corner", &top, &here);
  sy_ledger *start = finish(b), *moved = NULL;
  b = start_ledger(NULL);
  add_pair(b, "corner", &top, &there);
  sy_ledger *filed = finish(b);
  const sy_route route = route1(0);
  sy_error err;
  must(sy_ledger_shift(start, &route, (sy_vec3){-0.207, 0, 0.0067}, &moved, &err), &err);
  const sy_totals got = totals_of(moved), want = totals_of(filed);
  assert_true(same_totals(&got, &want));
  sy_item item;
  must(sy_ledger_item(moved, &route, &item, &err), &err);
  assert_true(item.group->twin && item.group->frame.at.x == 0);
  sy_ledger_release(start);
  sy_ledger_release(moved);
  sy_ledger_release(filed);
}

/* One of them weighed or moved alone: two parts at the same places give the same bits. */
static void pieces_of_a_pair_add_up_as_two_parts_do(void **state) {
  (void)state;
  const sy_group top = sy_group_default();
  const sy_part left = point(59.5, 0.15, 0.278, 0.03);
  sy_part right = point(1.9, 0.15, -0.348, 0.044);
  sy_ledger_builder *b = start_ledger(NULL);
  add_pair(b, "mounts", &top, &left);
  sy_ledger *pair = finish(b), *changed = NULL;
  b = start_ledger(NULL);
  add(b, "left mount", &left);
  add(b, "right mount", &right);
  sy_ledger *parts = finish(b);
  const sy_route route = route2(0, 1);
  sy_error err;
  must(sy_ledger_put(pair, &route, &right, &changed, &err), &err);
  const sy_totals got = totals_of(changed), want = totals_of(parts);
  assert_true(memcmp(&got.all, &want.all, sizeof got.all) == 0);
  assert_int_equal(got.parts, 1);
  assert_int_equal(want.parts, 2);
  sy_ledger_release(pair);
  sy_ledger_release(changed);
  sy_ledger_release(parts);
}

/* A pair turned about the middle between its pieces stays where it is, and the errors of its places go on pointing as stated. */
static void turn_of_a_pair_turns_its_pieces_and_keeps_their_errors(void **state) {
  (void)state;
  const sy_group top = sy_group_default();
  sy_part piece = point(20, -2.4, 0.71, 0.3);
  piece.cg_sd = (sy_vec3){0.004, 0, 0};
  piece.inertia = (sy_sym3){0.3, 0.5, 0.9, 0, 0, 0};
  sy_ledger_builder *b = start_ledger(NULL);
  add_pair(b, "corner", &top, &piece);
  sy_ledger *start = finish(b), *turned = NULL;
  const sy_route route = route1(0), left = route2(0, 0);
  sy_error err;
  const sy_mat3 nose_up = sy_frame_rotation(0, -90 * 3.14159265358979323846 / 180, 0);
  must(sy_ledger_turn(start, &route, nose_up, (sy_vec3){-2.4, 0, 0.3}, &turned, &err), &err);
  sy_item item;
  must(sy_ledger_item(turned, &left, &item, &err), &err);
  const double tol = 8 * DBL_EPSILON; /* a few roundings of lengths of metres and moments below 1 */
  assert_near(item.part->cg.x, -2.4, 8 * tol);
  assert_near(item.part->cg.y, 0.71, tol);
  assert_near(item.part->cg.z, 0.3, 8 * tol);
  assert_near(item.part->inertia.xx, 0.9, tol);
  assert_near(item.part->inertia.zz, 0.3, tol);
  assert_near(totals_of(turned).cov.c[4], totals_of(start).cov.c[4], tol); /* still along x */
  sy_ledger_release(start);
  sy_ledger_release(turned);
}

static void routes_stay_good_in_every_derived_ledger(void **state) {
  (void)state;
  dice d = {31};
  sy_ledger *start = random_ledger(&d, 20);
  sy_route routes[ROUTES];
  const size_t count = all_routes(start, routes, ROUTES);
  sy_ledger *later = randomly_edited(sy_ledger_share(start), &d, 60);
  for (size_t i = 0; i < count; i++) {
    sy_item a, b;
    sy_error err;
    must(sy_ledger_item(start, &routes[i], &a, &err), &err);
    must(sy_ledger_item(later, &routes[i], &b, &err), &err);
    assert_true((a.part != NULL) == (b.part != NULL));
    if (a.part != NULL && b.part != NULL) assert_true(a.part->id == b.part->id);
    if (a.part == NULL && b.part == NULL) assert_true(a.group->id == b.group->id);
  }
  sy_ledger_release(later);
  sy_ledger_release(start);
}

static void shift_of_a_whole_first_guess_gives_the_worked_changes(void **state) {
  (void)state;
  sy_ledger *start = first_guess(NULL, 0, false), *engine_back = NULL, *both_back = NULL, *half = NULL,
            *down = NULL;
  sy_error err;
  const sy_route engine = route1(FIRST_ENGINE), transaxle = route1(FIRST_TRANSAXLE);
  const sy_vec3 back = {-0.05, 0, 0}, lower = {0, 0, -0.02};
  must(sy_ledger_shift(start, &engine, back, &engine_back, &err), &err);
  must(sy_ledger_shift(engine_back, &transaxle, back, &both_back, &err), &err);
  must(sy_ledger_shift(start, &engine, lower, &half, &err), &err);
  must(sy_ledger_shift(half, &transaxle, lower, &down, &err), &err);
  sy_ledger *const all[] = {start, engine_back, both_back, down};
  double front[4], height[4], mass[4];
  for (int i = 0; i < 4; i++) {
    const sy_totals t = totals_of(all[i]);
    mass[i] = t.all.m;
    front[i] = t.all.m + t.all.first.x / FIRST_GUESS_WHEELBASE; /* m (L + x)/L */
    height[i] = t.all.first.z / t.all.m;
  }
  /* half a unit of the last printed digit */
  assert_near(front[1] - front[0], -3.4286, 0.00005);
  assert_near(front[1] / mass[1], 0.42019, 0.000005);
  assert_near(front[2] - front[0], -4.6939, 0.00005);
  assert_near(front[2] / mass[2], 0.41855, 0.000005);
  assert_near(height[3], 0.336982, 0.0000005);
  const struct {
    size_t without[2];
    double mass, share;
  } states[] = {{{FIRST_DRIVER, FIRST_DRIVER}, 690.8, 0.40575},
                {{FIRST_FUEL, FIRST_FUEL}, 741.0, 0.42268},
                {{FIRST_FUEL, FIRST_DRIVER}, 661.0, 0.40270}};
  for (int i = 0; i < 3; i++) {
    const sy_route a = route1((uint32_t)states[i].without[0]), b = route1((uint32_t)states[i].without[1]);
    sy_ledger *one = NULL, *two = NULL;
    must(sy_ledger_set_aboard(start, &a, false, &one, &err), &err);
    must(sy_ledger_set_aboard(one, &b, false, &two, &err), &err);
    const sy_totals t = totals_of(two);
    assert_near(t.all.m, states[i].mass, 0.05);
    assert_near(1 + t.all.first.x / t.all.m / FIRST_GUESS_WHEELBASE, states[i].share, 0.000005);
    sy_ledger_release(two);
    sy_ledger_release(one);
  }
  sy_ledger_release(half);
  for (int i = 0; i < 4; i++) sy_ledger_release(all[i]);
}

/* ---- refusals ------------------------------------------------------------------------------------------------------ */

typedef sy_status route_edit(const sy_ledger *ledger, const sy_route *route, sy_ledger **out, sy_error *err);

static sy_status put_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  const sy_part part = point(1, 0, 0, 0.3);
  return sy_ledger_put(l, r, &part, out, err);
}
static sy_status put_group_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  const sy_group group = sy_group_default();
  return sy_ledger_put_group(l, r, &group, out, err);
}
static sy_status shift_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  return sy_ledger_shift(l, r, (sy_vec3){0.1, 0, 0}, out, err);
}
static sy_status turn_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  return sy_ledger_turn(l, r, sy_frame_rotation(0.1, 0, 0), (sy_vec3){0, 0, 0}, out, err);
}
static sy_status take_off(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  return sy_ledger_set_aboard(l, r, false, out, err);
}
static sy_status append_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  sy_ledger_builder *items = sy_ledger_builder_new(NULL, l);
  const sy_part part = point(1, 0, 0, 0.3);
  add(items, "more", &part);
  const sy_status status = sy_ledger_append(l, r, items, out, err);
  sy_ledger_builder_free(items);
  return status;
}
static sy_status tags_it(const sy_ledger *l, const sy_route *r, sy_ledger **out, sy_error *err) {
  return sy_ledger_set_tags(l, r, "heavy", out, err);
}
static route_edit *const route_edits[] = {put_it,   put_group_it, shift_it, turn_it,
                                          take_off, append_it,    tags_it};

/* A group "box" with a part "lamp", and a pair. */
static sy_ledger *small_ledger(void) {
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_group box = sy_group_default();
  const sy_part lamp = point(1.2, 0.1, 0, 0.2), wheel = point(20, 0, 0.7, 0.3);
  open_group(b, "box", &box);
  add(b, "lamp", &lamp);
  close_group(b);
  add_pair(b, "corner", &box, &wheel);
  return finish(b);
}

static void every_edit_with_a_route_to_nowhere_is_refused(void **state) {
  (void)state;
  sy_ledger *ledger = small_ledger();
  sy_route bad[] = {route1(2), route2(0, 1), route2(2, 0), route3(0, 0, 0), route2(1, 2), {.depth = 33}};
  for (size_t k = 0; k < sizeof route_edits / sizeof *route_edits; k++)
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
      sy_ledger *out = ledger; /* must stay */
      sy_error err;
      assert_int_equal(route_edits[k](ledger, &bad[i], &out, &err), SY_UNKNOWN);
      assert_string_equal(err.part, "ledger");
      assert_ptr_equal(out, ledger);
    }
  sy_ledger_release(ledger);
}

static void every_edit_of_the_wrong_kind_of_item_is_refused(void **state) {
  (void)state;
  sy_ledger *ledger = small_ledger();
  const struct {
    route_edit *edit;
    sy_route route;
    sy_status status;
    const char *part, *field;
  } cases[] = {
      {put_it, route1(0), SY_TYPE, "box", ""},         {put_group_it, route2(0, 0), SY_TYPE, "lamp", ""},
      {append_it, route2(0, 0), SY_TYPE, "lamp", ""},  {append_it, route1(1), SY_CLASH, "corner", "pair"},
      {put_group_it, route0(), SY_TYPE, "ledger", ""}, {shift_it, route0(), SY_TYPE, "ledger", ""},
      {turn_it, route0(), SY_TYPE, "ledger", ""},      {take_off, route0(), SY_TYPE, "ledger", ""},
      {tags_it, route0(), SY_TYPE, "ledger", ""},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_ledger *out = NULL;
    sy_error err;
    assert_int_equal(cases[i].edit(ledger, &cases[i].route, &out, &err), cases[i].status);
    assert_string_equal(err.part, cases[i].part);
    assert_string_equal(err.field, cases[i].field);
    assert_null(out);
  }
  sy_ledger_release(ledger);
}

static void every_edit_with_a_value_out_of_range_names_part_and_field(void **state) {
  (void)state;
  sy_ledger *ledger = small_ledger(), *out = NULL;
  const sy_route lamp = route2(0, 0), box = route1(0);
  sy_error err;
  sy_part part = point(-1, 0, 0, 0.3);
  assert_int_equal(sy_ledger_put(ledger, &lamp, &part, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "lamp");
  assert_string_equal(err.field, "mass");
  sy_group group = sy_group_default();
  group.frame.at.x = (double)NAN;
  assert_int_equal(sy_ledger_put_group(ledger, &box, &group, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "box");
  assert_string_equal(err.field, "at");
  const double far[] = {(double)NAN, (double)INFINITY, 1001};
  for (int i = 0; i < 3; i++) {
    assert_int_equal(sy_ledger_shift(ledger, &lamp, (sy_vec3){far[i], 0, 0}, &out, &err), SY_RANGE);
    assert_string_equal(err.part, "lamp");
    assert_string_equal(err.field, i < 2 ? "move" : "at");
  }
  assert_int_equal(sy_ledger_turn(ledger, &box, sy_mat3_identity(), (sy_vec3){(double)NAN, 0, 0}, &out, &err),
                   SY_RANGE);
  assert_string_equal(err.field, "turn");
  sy_mat3 mirror = sy_mat3_identity();
  mirror.m[1][1] = -1;
  assert_int_equal(sy_ledger_turn(ledger, &box, mirror, (sy_vec3){0, 0, 0}, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "box");
  assert_string_equal(err.field, "turn");
  assert_null(out);
  sy_ledger_release(ledger);
}

static void append_of_items_that_are_not_ready_is_refused(void **state) {
  (void)state;
  sy_ledger *ledger = small_ledger(), *out = NULL;
  sy_error err;
  const sy_route top = route0();
  sy_ledger_builder *stranger = start_ledger(NULL);
  const sy_part part = point(1, 0, 0, 0.3);
  add(stranger, "more", &part);
  assert_int_equal(sy_ledger_append(ledger, &top, stranger, &out, &err), SY_CLASH);
  assert_string_equal(err.part, "ledger");
  sy_ledger_builder_free(stranger);
  sy_ledger_builder *open = sy_ledger_builder_new(NULL, ledger);
  const sy_group group = sy_group_default();
  open_group(open, "half done", &group);
  assert_int_equal(sy_ledger_append(ledger, &top, open, &out, &err), SY_CLASH);
  assert_string_equal(err.part, "half done");
  assert_null(out);
  sy_ledger_builder_free(open);
  sy_ledger_release(ledger);
}

/* Parts that fit by themselves and not together: the edit is refused, not the sum wrong. */
static void put_that_makes_the_sums_too_large_is_refused(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  sy_part heavy = point(1e5, 1e3, 0, 0);
  heavy.count = 10; /* 1e12 kg m2 of at most 2^40 = 1.1e12 */
  const sy_part light = point(1, 0, 0, 0);
  add(b, "heavy", &heavy);
  add(b, "light", &light);
  sy_ledger *ledger = finish(b), *out = NULL;
  const sy_route route = route1(1);
  sy_error err;
  assert_int_equal(sy_ledger_put(ledger, &route, &heavy, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "ledger");
  assert_string_equal(err.field, "mass");
  assert_null(out);
  sy_ledger_release(ledger);
}

/* ---- threads ------------------------------------------------------------------------------------------------------- */

enum { THREAD_SEEDS = 12 };

typedef struct work {
  sy_ledger *shared;
  sy_totals end[THREAD_SEEDS];
} work;

/* Derives from the shared ledger, edits, lets go: over and over. */
static void *derive_and_release(void *user) {
  work *w = user;
  for (uint64_t seed = 0; seed < THREAD_SEEDS; seed++) {
    dice d = {seed};
    sy_ledger *mine = randomly_edited(sy_ledger_share(w->shared), &d, 30);
    w->end[seed] = totals_of(mine);
    sy_ledger_release(mine);
  }
  return NULL;
}

static void two_threads_on_one_shared_ledger_get_the_same_totals(void **state) {
  (void)state;
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger *shared = first_guess(&alloc, 0.015, true);
  const sy_totals before = totals_of(shared);
  const size_t live = atomic_load(&m.live);
  work one = {.shared = shared}, two = {.shared = shared};
  pthread_t first, second;
  assert_int_equal(pthread_create(&first, NULL, derive_and_release, &one), 0);
  assert_int_equal(pthread_create(&second, NULL, derive_and_release, &two), 0);
  assert_int_equal(pthread_join(first, NULL), 0);
  assert_int_equal(pthread_join(second, NULL), 0);
  for (int i = 0; i < THREAD_SEEDS; i++) assert_true(same_totals(&one.end[i], &two.end[i]));
  const sy_totals after = totals_of(shared);
  assert_true(same_totals(&before, &after));
  assert_int_equal(atomic_load(&m.live), live);
  sy_ledger_release(shared);
  assert_int_equal(atomic_load(&m.live), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(any_edits_leave_what_the_same_content_built_anew_has),
      cmocka_unit_test(any_edits_leave_their_baselines_alone),
      cmocka_unit_test(shift_there_and_back_leaves_the_same_bits),
      cmocka_unit_test(shift_in_many_steps_is_one_shift),
      cmocka_unit_test(edits_of_different_items_in_any_order_give_the_same_bits),
      cmocka_unit_test(append_in_another_order_gives_the_same_bits),
      cmocka_unit_test(set_aboard_off_and_on_leaves_the_same_bits),
      cmocka_unit_test(shift_is_along_the_vehicle_s_directions_inside_turned_groups),
      cmocka_unit_test(turn_about_a_point_turns_the_body_as_it_lies_in_the_vehicle),
      cmocka_unit_test(put_keeps_identity_name_and_tags),
      cmocka_unit_test(set_tags_gives_other_tags_and_keeps_all_else),
      cmocka_unit_test(shift_of_a_pair_leaves_what_one_filed_there_has),
      cmocka_unit_test(pieces_of_a_pair_add_up_as_two_parts_do),
      cmocka_unit_test(turn_of_a_pair_turns_its_pieces_and_keeps_their_errors),
      cmocka_unit_test(routes_stay_good_in_every_derived_ledger),
      cmocka_unit_test(shift_of_a_whole_first_guess_gives_the_worked_changes),
      cmocka_unit_test(every_edit_with_a_route_to_nowhere_is_refused),
      cmocka_unit_test(every_edit_of_the_wrong_kind_of_item_is_refused),
      cmocka_unit_test(every_edit_with_a_value_out_of_range_names_part_and_field),
      cmocka_unit_test(append_of_items_that_are_not_ready_is_refused),
      cmocka_unit_test(put_that_makes_the_sums_too_large_is_refused),
      cmocka_unit_test(two_threads_on_one_shared_ledger_get_the_same_totals),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
