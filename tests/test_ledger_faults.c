/* Memory runs out at every single request, one after the other: clean refusals, no leak, nothing touched. */
#include "first_guess.h"
#include "ledger_tools.h"

/* One way to make a ledger from `source` (NULL: from nothing). Returns SY_LIMIT with *out untouched, or SY_OK. */
typedef sy_status make(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err);

static void assert_memory_is_out(const sy_error *err) {
  assert_int_equal(err->status, SY_LIMIT);
  assert_string_equal(err->part, "ledger");
  assert_string_equal(err->message, "memory is out");
}

/* Refuses call 1, 2, ... of what `job` asks for until it gets through; returns how many times it was refused. */
static size_t refuse_one_by_one(make *job, bool from_source) {
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger *source = NULL;
  sy_totals before;
  if (from_source) {
    sy_ledger_builder *b = start_ledger(&alloc);
    dice d = {12};
    add_random_items(b, &d, 256, 2); /* full branches: one more child makes the tree a level higher */
    source = finish(b);
    before = totals_of(source);
  }
  const size_t live = atomic_load(&m.live);
  for (size_t refused = 0;; refused++) {
    sy_ledger *const untouched = (sy_ledger *)(uintptr_t)&m;
    sy_ledger *out = untouched;
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    m.refuse = refused + 1;
    const sy_status status = job(source, &alloc, &out, &err);
    m.refuse = 0;
    if (status == SY_OK) {
      assert_true(out != untouched);
      sy_ledger *anew = built_anew(out);
      assert_same_ledgers(anew, out);
      sy_ledger_release(anew);
      sy_ledger_release(out);
    } else {
      assert_memory_is_out(&err);
      assert_ptr_equal(out, untouched);
    }
    assert_int_equal(atomic_load(&m.live), live);
    if (source != NULL) { /* still good, and still alone */
      const sy_totals now = totals_of(source);
      assert_true(same_totals(&now, &before));
    }
    if (status == SY_OK) {
      assert_true(atomic_load(&m.calls) == refused); /* every call was refused once */
      sy_ledger_release(source);
      assert_int_equal(atomic_load(&m.live), 0);
      return refused;
    }
  }
}

/* ---- building ------------------------------------------------------------------------------------------------------ */

static sy_status add_everything(sy_ledger_builder *b, sy_error *err) {
  sy_group group = sy_group_default();
  group.frame.at.x = -1.3;
  sy_part part = point(2.7, 0.1, 0.2, 0.3);
  part.unsprung = (sy_unsprung){{0.5}, {SY_CARRIER_AXLE}, 1};
  for (int i = 0; i < 20; i++) { /* more than the room of 16 the list starts with */
    const sy_status status = sy_ledger_add_part(b, "hanger", "tag\nother", &part, err);
    if (status != SY_OK) return status;
  }
  const sy_fill fill = {.dry = 2.7, .dry_sd = 0.1};
  part.fill = &fill;
  sy_status status = sy_ledger_add_part(b, "tank", NULL, &part, err);
  part.fill = NULL;
  if (status == SY_OK) status = sy_ledger_open_group(b, "subframe", "tag", &group, err);
  if (status == SY_OK) status = sy_ledger_add_part(b, NULL, NULL, &part, err);
  group.twin = true;
  group.twin_normal = (sy_vec3){0, 1, 0};
  if (status == SY_OK) status = sy_ledger_open_group(b, "corner", NULL, &group, err);
  for (int i = 0; i < 2 && status == SY_OK; i++) status = sy_ledger_add_part(b, "side", NULL, &part, err);
  if (status == SY_OK) status = sy_ledger_close_group(b, err);
  if (status == SY_OK) status = sy_ledger_close_group(b, err);
  return status;
}

static sy_status build(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)source;
  sy_ledger_builder *b = sy_ledger_builder_new(alloc, NULL);
  if (b == NULL) { /* two blocks, the only failure without a message */
    *err = (sy_error){SY_LIMIT, "ledger", "", "memory is out"};
    return SY_LIMIT;
  }
  sy_status status = add_everything(b, err);
  if (status == SY_OK) status = sy_ledger_finish(b, out, err);
  sy_ledger_builder_free(b);
  return status;
}

static void build_without_memory_fails_cleanly(void **state) {
  (void)state;
  assert_true(refuse_one_by_one(build, false) >= 30);
}

/* ---- edits ----------------------------------------------------------------------------------------------------------- */

static bool first_group(void *user, const sy_item *item) {
  sy_route *route = user;
  if (route->depth == 0 && item->group != NULL && !item->group->twin && item->children > 0)
    *route = item->route;
  return true;
}

static sy_route a_group(const sy_ledger *ledger) {
  sy_route route = {.depth = 0};
  sy_ledger_visit(ledger, first_group, &route);
  assert_true(route.depth > 0);
  return route;
}

static sy_route a_part(const sy_ledger *ledger) {
  sy_route routes[4096];
  const size_t count = all_routes(ledger, routes, 4096);
  size_t best = 0;
  for (size_t i = 0; i < count; i++) { /* as deep as there is */
    sy_item item;
    sy_error err;
    must(sy_ledger_item(ledger, &routes[i], &item, &err), &err);
    if (item.part != NULL && routes[i].depth > routes[best].depth) best = i;
  }
  assert_true(routes[best].depth > 1);
  return routes[best];
}

static sy_status put(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_part(source);
  sy_part part = point(3, 0.1, 0.2, 0.3);
  part.unsprung = (sy_unsprung){{1}, {SY_CARRIER_WHEEL + 7}, 1}; /* a carrier the branches did not have */
  return sy_ledger_put(source, &route, &part, out, err);
}

static sy_status put_group(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_group(source);
  const sy_group group = sy_group_default();
  return sy_ledger_put_group(source, &route, &group, out, err);
}

static sy_status shift(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_part(source);
  return sy_ledger_shift(source, &route, (sy_vec3){0.1, 0, 0}, out, err);
}

static sy_status turn(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_group(source);
  return sy_ledger_turn(source, &route, sy_frame_rotation(0, 0.1, 0), (sy_vec3){0, 0, 0}, out, err);
}

static sy_status take_off(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_group(source);
  return sy_ledger_set_aboard(source, &route, false, out, err);
}

static bool first_pair(void *user, const sy_item *item) {
  sy_route *route = user;
  if (route->depth == 0 && item->group != NULL && item->group->twin) *route = item->route;
  return true;
}

static sy_status shift_pair(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  sy_route route = {.depth = 0};
  sy_ledger_visit(source, first_pair, &route);
  assert_true(route.depth > 0);
  return sy_ledger_shift(source, &route, (sy_vec3){0.1, 0, 0}, out, err);
}

static sy_status tags(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_part(source);
  return sy_ledger_set_tags(source, &route, "heavy", out, err);
}

static sy_status group_tags(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_group(source);
  return sy_ledger_set_tags(source, &route, "heavy", out, err);
}

static sy_status append_to(sy_ledger *source, const sy_route *route, sy_ledger **out, sy_error *err) {
  sy_ledger_builder *items = sy_ledger_builder_new(NULL, source);
  if (items == NULL) {
    *err = (sy_error){SY_LIMIT, "ledger", "", "memory is out"};
    return SY_LIMIT;
  }
  sy_status status = add_everything(items, err);
  if (status == SY_OK) status = sy_ledger_append(source, route, items, out, err);
  sy_ledger_builder_free(items);
  return status;
}

static sy_status append_at_top(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route top = route0();
  return append_to(source, &top, out, err);
}

static sy_status append_in_group(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route route = a_group(source);
  return append_to(source, &route, out, err);
}

static sy_status append_nothing(sy_ledger *source, const sy_alloc *alloc, sy_ledger **out, sy_error *err) {
  (void)alloc;
  const sy_route top = route0();
  sy_ledger_builder *items = sy_ledger_builder_new(NULL, source);
  if (items == NULL) {
    *err = (sy_error){SY_LIMIT, "ledger", "", "memory is out"};
    return SY_LIMIT;
  }
  const sy_status status = sy_ledger_append(source, &top, items, out, err);
  sy_ledger_builder_free(items);
  return status;
}

static void edits_without_memory_fail_cleanly_and_leave_the_source(void **state) {
  (void)state;
  /* the least a copied path can ask for: its nodes and the ledger */
  assert_true(refuse_one_by_one(put, true) >= 6);
  assert_true(refuse_one_by_one(put_group, true) >= 5);
  assert_true(refuse_one_by_one(shift, true) >= 6);
  assert_true(refuse_one_by_one(turn, true) >= 5);
  assert_true(refuse_one_by_one(take_off, true) >= 5);
  assert_true(refuse_one_by_one(shift_pair, true) >= 7); /* two pieces and what holds them */
  assert_true(refuse_one_by_one(tags, true) >= 6);
  assert_true(refuse_one_by_one(group_tags, true) >= 5);
}

static void append_without_memory_fails_cleanly_and_leaves_the_source(void **state) {
  (void)state;
  assert_true(refuse_one_by_one(append_at_top, true) >= 60); /* growing a level at 256 */
  assert_true(refuse_one_by_one(append_in_group, true) >= 60);
  assert_true(refuse_one_by_one(append_nothing, true) >= 3);
}

/* ---- a failed step does not spoil the next try --------------------------------------------------------------------- */

static void finish_without_memory_leaves_a_builder_that_can_be_freed(void **state) {
  (void)state;
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  for (size_t skip = 1; skip <= 4; skip++) {
    sy_ledger_builder *b = start_ledger(&alloc);
    dice d = {3};
    add_random_items(b, &d, 20, 0);
    m.refuse = atomic_load(&m.calls) + skip;
    sy_ledger *out = NULL;
    sy_error err;
    assert_int_equal(sy_ledger_finish(b, &out, &err), SY_LIMIT);
    assert_memory_is_out(&err);
    assert_null(out);
    m.refuse = 0;
    sy_ledger_builder_free(b);
    assert_int_equal(atomic_load(&m.live), 0);
  }
}

/* Asking for uncertainties, totals and names takes no memory at all. */
static bool go_on(void *user, const sy_item *item) {
  (void)item;
  ++*(size_t *)user;
  return true;
}

static void questions_allocate_nothing(void **state) {
  (void)state;
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_ledger *ledger = first_guess(&alloc, 0.015, true);
  const size_t calls = atomic_load(&m.calls);
  const sy_sensitivity sensitivity = {0.1, {-0.4, 0.2, 0}, {1, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
  double variance[2];
  size_t visited = 0;
  sy_route route;
  (void)totals_of(ledger);
  ledger_variance(ledger, &sensitivity, 1, variance);
  change_variance(ledger, ledger, &sensitivity, &sensitivity, 1, variance + 1);
  sy_ledger_visit(ledger, go_on, &visited);
  assert_int_equal(visited, FIRST_LINES + 4);
  assert_int_equal(sy_ledger_find(ledger, "driver", &route, 1), 1);
  assert_true(variance[0] > 0 && variance[1] == 0);
  assert_true(atomic_load(&m.calls) == calls);
  sy_ledger_release(ledger);
  assert_int_equal(atomic_load(&m.live), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(build_without_memory_fails_cleanly),
      cmocka_unit_test(edits_without_memory_fail_cleanly_and_leave_the_source),
      cmocka_unit_test(append_without_memory_fails_cleanly_and_leaves_the_source),
      cmocka_unit_test(finish_without_memory_leaves_a_builder_that_can_be_freed),
      cmocka_unit_test(questions_allocate_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
