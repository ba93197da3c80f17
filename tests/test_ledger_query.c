/* Asking a ledger: items, their totals, names, tags and the order of a visit. */
#include <float.h>
#include <stdio.h>

#include "ledger_tools.h"
#include "mass/massprops.h"

/* engine > {block, pump}, pump twice, a pair, a spare group that is not aboard, names that hold one another. */
static sy_ledger *garage(void) {
  sy_ledger_builder *b = start_ledger(NULL);
  sy_error err;
  sy_group group = sy_group_default();
  group.frame.at = (sy_vec3){-1.8, 0, 0.3};
  sy_part part = point(96.2, 0.1, 0.05, 0.012);
  must(sy_ledger_open_group(b, "powertrain", "drive\nheavy", &group, &err), &err);
  must(sy_ledger_add_part(b, "engine", "drive\nrotating", &part, &err), &err);
  part = point(2.3, 0.3, -0.1, 0);
  must(sy_ledger_add_part(b, "pump", NULL, &part, &err), &err);
  close_group(b);
  part = point(1.7, -0.4, 0.2, 0.3);
  must(sy_ledger_add_part(b, "pump", "wet", &part, &err), &err);
  must(sy_ledger_add_part(b, NULL, NULL, &part, &err), &err); /* no name */
  part = point(27.4, 0, 0.725, 0.285);
  group = sy_group_default();
  add_pair(b, "front corner", &group, &part);
  group.not_aboard = true;
  must(sy_ledger_open_group(b, "spares", "wet rotating", &group, &err), &err);
  must(sy_ledger_add_part(b, "engine", "rotate", &part, &err), &err);
  must(sy_ledger_add_part(b, "left", NULL, &part, &err), &err); /* no side of a pair, whatever its name */
  close_group(b);
  return finish(b);
}

typedef struct trail {
  char text[512];
  bool skip_groups;
} trail;

static bool write_trail(void *user, const sy_item *item) {
  trail *t = user;
  const size_t used = strlen(t->text);
  const sy_route *r = &item->route;
  snprintf(t->text + used, sizeof t->text - used, "%s%u%s%s ", item->part != NULL ? "p" : "g",
           (unsigned)r->child[r->depth - 1], item->aboard ? "" : "-", item->side ? "*" : "");
  return !t->skip_groups;
}

static void visit_goes_in_file_order_and_says_what_is_aboard(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  trail t = {"", false};
  sy_ledger_visit(ledger, write_trail, &t);
  assert_string_equal(t.text, "g0 p0 p1 p1 p2 g3 p0* p1* g4- p0- p1- ");
  trail top = {"", true};
  sy_ledger_visit(ledger, write_trail, &top);
  assert_string_equal(top.text, "g0 p1 p2 g3 g4- ");
  sy_ledger_release(ledger);
}

static void has_mass_is_what_the_sums_say_while_parts_go_out(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  for (uint32_t i = 0; i < 5; i++) { /* the fifth is not aboard from the start */
    const sy_route top = {.depth = 1, .child = {i}};
    sy_totals t;
    sy_ledger *less = NULL;
    sy_ledger_sums(ledger, &t);
    assert_true(sy_ledger_has_mass(ledger) == (t.all.m > 0) && sy_ledger_has_mass(ledger) == (i < 4));
    assert_int_equal(sy_ledger_set_aboard(ledger, &top, false, &less, NULL), SY_OK);
    sy_ledger_release(ledger);
    ledger = less;
  }
  sy_ledger_release(ledger);
  sy_ledger *empty = finish(start_ledger(NULL));
  assert_false(sy_ledger_has_mass(empty));
  sy_ledger_release(empty);
}

static bool same_as_item(void *user, const sy_item *item) {
  const sy_ledger *ledger = user;
  sy_item again;
  sy_error err;
  must(sy_ledger_item(ledger, &item->route, &again, &err), &err);
  assert_true(again.part == item->part && again.group == item->group && again.name == item->name &&
              again.tags == item->tags && again.aboard == item->aboard && again.side == item->side &&
              again.children == item->children);
  assert_memory_equal(&again.outer, &item->outer, sizeof again.outer);
  return true;
}

static void item_says_what_the_visit_says(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 30; seed++) {
    dice d = {seed};
    sy_ledger *ledger = random_ledger(&d, 25);
    sy_ledger_visit(ledger, same_as_item, ledger);
    sy_ledger_release(ledger);
  }
}

static void item_at_the_root_is_the_whole(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  const sy_route top = route0();
  sy_item item;
  sy_totals whole;
  sy_error err;
  must(sy_ledger_item(ledger, &top, &item, &err), &err);
  assert_true(item.part == NULL && item.group != NULL && item.children == 5 && item.name == NULL &&
              item.aboard);
  must(sy_ledger_item_totals(ledger, &top, &whole, &err), &err);
  const sy_totals t = totals_of(ledger);
  assert_true(same_totals(&whole, &t));
  sy_ledger_release(ledger);
}

static void item_with_a_route_to_nowhere_is_refused(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  const sy_route bad[] = {route1(5), route2(0, 2), route2(1, 0), route3(0, 0, 0), {.depth = 33}};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    sy_item item = {.children = 123};
    sy_totals totals = {.parts = 123};
    sy_error err;
    assert_int_equal(sy_ledger_item(ledger, &bad[i], &item, &err), SY_UNKNOWN);
    assert_string_equal(err.part, "ledger");
    assert_int_equal(sy_ledger_item_totals(ledger, &bad[i], &totals, &err), SY_UNKNOWN);
    assert_true(item.children == 123 && totals.parts == 123); /* untouched */
  }
  sy_ledger_release(ledger);
}

static void item_totals_are_in_the_vehicle_s_frame_aboard_or_not(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 50; seed++) {
    dice d = {seed};
    sy_ledger *ledger = random_ledger(&d, 25);
    sy_route routes[2048];
    const size_t count = all_routes(ledger, routes, 2048);
    for (size_t i = 0; i < count; i++) {
      sy_item item;
      sy_totals t;
      sy_error err;
      must(sy_ledger_item(ledger, &routes[i], &item, &err), &err);
      must(sy_ledger_item_totals(ledger, &routes[i], &t, &err), &err);
      if (item.part == NULL) continue;
      const sy_massprops piece = {item.part->mass, item.part->cg, item.part->inertia};
      const sy_massprops want = sy_massprops_place(&piece, &item.outer), got = sy_sums_body(&t.all);
      const double n = (double)item.part->count;
      /* roundings of second moments of mass x (2.5 + 3 x 2.5)^2 */
      const double tol = 64 * DBL_EPSILON * 100 * n * want.mass;
      assert_near(got.mass, n * want.mass, tol);
      assert_near(got.cg.x, want.cg.x, 64 * DBL_EPSILON * 10);
      assert_near(got.cg.z, want.cg.z, 64 * DBL_EPSILON * 10);
      /* each piece has its own inertia, all at one place */
      assert_near(got.inertia.zz, n * want.inertia.zz, tol);
      assert_near(got.inertia.xy, n * want.inertia.xy, tol);
      assert_int_equal(t.parts, 1);
    }
    sy_ledger_release(ledger);
  }
}

/* ---- names and tags ------------------------------------------------------------------------------------------------ */

static void assert_found(const sy_ledger *ledger, bool tag, const char *word, size_t count, sy_route first) {
  sy_route routes[8];
  const size_t found =
      tag ? sy_ledger_find_tag(ledger, word, routes, 8) : sy_ledger_find(ledger, word, routes, 8);
  if (found != count) print_error("\"%s\": found %zu, want %zu\n", word, found, count);
  assert_int_equal(found, count);
  if (count == 0) return;
  assert_int_equal(routes[0].depth, first.depth);
  assert_memory_equal(routes[0].child, first.child, first.depth * sizeof first.child[0]);
}

static void find_by_name_or_path_gives_the_routes_in_file_order(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  assert_found(ledger, false, "engine", 2, route2(0, 0));
  assert_found(ledger, false, "pump", 2, route2(0, 1));
  assert_found(ledger, false, "powertrain", 1, route1(0));
  assert_found(ledger, false, "powertrain/engine", 1, route2(0, 0));
  assert_found(ledger, false, "spares/engine", 1, route2(4, 0));
  assert_found(ledger, false, "front corner/left", 1, route2(3, 0));
  assert_found(ledger, false, "front corner/right", 1, route2(3, 1));
  assert_found(ledger, false, "left", 1, route2(4, 1)); /* the part of that name, no side of a pair */
  assert_found(ledger, false, "right", 0, route0());
  sy_ledger_release(ledger);
}

static void find_of_what_is_not_there_finds_nothing(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  const char *const words[] = {"",
                               "/",
                               "engin",
                               "engines",
                               "powertrain/",
                               "/engine",
                               "powertrain/engine/x",
                               "train/engine",
                               "powertrain/powertrain",
                               "spares/powertrain/engine",
                               "Engine"};
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    assert_found(ledger, false, words[i], 0, route0());
  sy_ledger_release(ledger);
}

static void find_counts_more_than_there_is_room_for(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  sy_route one = {.depth = 99};
  assert_int_equal(sy_ledger_find(ledger, "pump", &one, 1), 2);
  assert_int_equal(one.depth, 2);
  one.depth = 99;
  assert_int_equal(sy_ledger_find(ledger, "pump", &one, 0), 2);
  assert_int_equal(one.depth, 99);
  assert_int_equal(sy_ledger_find(ledger, "pump", NULL, 0), 2);
  sy_ledger_release(ledger);
}

static void find_tag_matches_whole_tags(void **state) {
  (void)state;
  sy_ledger *ledger = garage();
  assert_found(ledger, true, "drive", 2, route1(0));
  assert_found(ledger, true, "heavy", 1, route1(0));
  assert_found(ledger, true, "rotating", 1, route2(0, 0));
  assert_found(ledger, true, "rotate", 1, route2(4, 0));
  assert_found(ledger, true, "wet", 1, route1(1));
  assert_found(ledger, true, "wet rotating", 1, route1(4)); /* a tag may hold a space */
  assert_found(ledger, true, "rot", 0, route0());
  assert_found(ledger, true, "drive\nheavy", 0, route0());
  sy_ledger_release(ledger);
}

/* Names deep inside: every component of a path from any group on. */
static void find_by_path_works_from_any_group_on(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_group group = sy_group_default();
  const sy_part part = point(1, 0, 0, 0.3);
  open_group(b, "a", &group);
  open_group(b, "b", &group);
  open_group(b, "a", &group);
  add(b, "x", &part);
  close_group(b);
  close_group(b);
  add(b, "x", &part);
  close_group(b);
  sy_ledger *ledger = finish(b);
  const sy_route deep = {.depth = 4, .child = {0, 0, 0, 0}};
  assert_found(ledger, false, "x", 2, deep);
  assert_found(ledger, false, "a/x", 2, deep);
  assert_found(ledger, false, "b/a/x", 1, deep);
  assert_found(ledger, false, "a/b/a/x", 1, deep);
  assert_found(ledger, false, "b/x", 0, deep);
  assert_found(ledger, false, "a/b", 1, route2(0, 0));
  sy_ledger_release(ledger);
}

static void same_coordinate_is_judged_one_by_one(void **state) {
  (void)state;
  sy_part a = sy_part_default();
  a.cg_stated = (sy_vec3){1.01, 0.18, 0.37};
  a.cg_sd = (sy_vec3){0.005, 0.006, 0.007};
  a.cg = (sy_vec3){-0.4, 0.2, 0.9}; /* wherever it has been moved to */
  for (int i = 0; i < 6; i++) {
    sy_part b = a;
    double *const v[6] = {&b.cg_stated.x, &b.cg_stated.y, &b.cg_stated.z, &b.cg_sd.x, &b.cg_sd.y, &b.cg_sd.z};
    *v[i] = nextafter(*v[i], 10);
    b.cg = (sy_vec3){0, 0, 0};
    for (int axis = 0; axis < 3; axis++)
      assert_int_equal(sy_same_coordinate(&a, &b, axis, NULL), axis != i % 3);
  }
  /* the image of a pair, as the pair's line says it, and stated by itself: the mirror leaves y and z alone */
  const sy_vec3 normal = {1, 0, 0};
  sy_part image = a, alone = a;
  image.flags |= SY_PART_IMAGE | SY_PART_MIRRORED;
  alone.flags |= SY_PART_IMAGE;
  for (int axis = 0; axis < 3; axis++) {
    assert_true(sy_same_coordinate(&a, &image, axis, &normal));
    assert_int_equal(sy_same_coordinate(&a, &alone, axis, &normal), axis != 0);
    assert_int_equal(sy_same_coordinate(&alone, &image, axis, &normal), axis != 0);
    assert_true(sy_same_coordinate(&alone, &alone, axis, &normal));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(has_mass_is_what_the_sums_say_while_parts_go_out),
      cmocka_unit_test(visit_goes_in_file_order_and_says_what_is_aboard),
      cmocka_unit_test(item_says_what_the_visit_says),
      cmocka_unit_test(item_at_the_root_is_the_whole),
      cmocka_unit_test(item_with_a_route_to_nowhere_is_refused),
      cmocka_unit_test(item_totals_are_in_the_vehicle_s_frame_aboard_or_not),
      cmocka_unit_test(find_by_name_or_path_gives_the_routes_in_file_order),
      cmocka_unit_test(find_of_what_is_not_there_finds_nothing),
      cmocka_unit_test(find_counts_more_than_there_is_room_for),
      cmocka_unit_test(find_tag_matches_whole_tags),
      cmocka_unit_test(find_by_path_works_from_any_group_on),
      cmocka_unit_test(same_coordinate_is_judged_one_by_one),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
