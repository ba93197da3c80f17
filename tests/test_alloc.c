/* Where memory comes from: wherever an allocator is asked for, NULL is malloc. The functions tested are all those whose
** prototype names a sy_alloc. */
#include "base/alloc.h"

#include <string.h>

#include "base/csv.h"
#include "base/encoding.h"
#include "mass/ledger.h"
#include "mass/mesh.h"
#include "near.h"

static void block_without_allocator_grows_under_the_default_one(void **state) {
  (void)state;
  char *block = sy_alloc_new(NULL, 16);
  assert_non_null(block);
  memcpy(block, "fifteen letters", 16);
  const sy_alloc usual = sy_alloc_or_default(NULL);
  block = usual.resize(usual.user, block, 16, 4096);
  assert_string_equal(block, "fifteen letters");
  sy_alloc_free(NULL, block, 4096);
  sy_alloc_free(NULL, NULL, 0);
}

static void *refuse(void *user, void *old, size_t old_size, size_t new_size) {
  (void)old, (void)old_size, (void)new_size;
  ++*(int *)user;
  return NULL;
}

static void allocator_that_is_given_is_the_one_that_is_used(void **state) {
  (void)state;
  int calls = 0;
  const sy_alloc mean = {refuse, &calls}, kept = sy_alloc_or_default(&mean);
  assert_ptr_equal(kept.user, &calls);
  assert_null(sy_alloc_new(&mean, 16));
  sy_csv *csv = NULL;
  assert_int_equal(sy_csv_read("a;b\n", 4, &mean, &csv, NULL), SY_LIMIT);
  assert_null(sy_ledger_builder_new(&mean, NULL));
  assert_int_equal(calls, 3);
}

/* UTF-16, so that the text needs a block of its own */
static void text_without_allocator_is_decoded(void **state) {
  (void)state;
  sy_decoded decoded;
  assert_int_equal(sy_encoding_decode("k\0g\0", 4, NULL, &decoded, NULL), SY_OK);
  assert_int_equal(decoded.size, 2);
  assert_memory_equal(decoded.text, "kg", 2);
  assert_non_null(decoded.block);
  sy_decoded_free(NULL, &decoded);
}

static void table_without_allocator_is_read(void **state) {
  (void)state;
  sy_csv *csv = NULL;
  assert_int_equal(sy_csv_read("part;mass\nengine;96,2\n", 22, NULL, &csv, NULL), SY_OK);
  assert_string_equal(sy_csv_at(csv, 1, 1).text, "96,2");
  sy_csv_free(csv);
}

static const char *const tetrahedron =
    "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";

static void mesh_without_allocator_is_read_and_made(void **state) {
  (void)state;
  sy_mesh *mesh = NULL;
  assert_int_equal(sy_mesh_read(tetrahedron, strlen(tetrahedron), NULL, &mesh, NULL), SY_OK);
  assert_int_equal(sy_mesh_check(mesh, NULL), SY_OK);
  sy_mesh_free(mesh);
  const double corner[12] = {0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1};
  const uint32_t face[12] = {0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3};
  assert_int_equal(sy_mesh_make(corner, 4, face, 4, NULL, &mesh, NULL), SY_OK);
  assert_near(sy_mesh_sums(mesh).m, 1.0 / 6.0, 1e-15); /* a few roundings */
  sy_mesh_free(mesh);
}

/* Edits, a copy of the ledger's text and a second builder all go by the first one's allocator. */
static void ledger_without_allocator_is_built_and_edited(void **state) {
  (void)state;
  sy_ledger_builder *b = sy_ledger_builder_new(NULL, NULL);
  assert_non_null(b);
  sy_part part = sy_part_default();
  part.mass = 23.85;
  assert_int_equal(sy_ledger_add_part(b, "engine", "cold\nloud", &part, NULL), SY_OK);
  sy_ledger *ledger = NULL, *moved = NULL, *more = NULL;
  assert_int_equal(sy_ledger_finish(b, &ledger, NULL), SY_OK);
  sy_ledger_builder_free(b);
  const sy_route first = {.depth = 1, .child = {0}}, top = {.depth = 0};
  assert_int_equal(sy_ledger_shift(ledger, &first, (sy_vec3){-0.137, 0, 0}, &moved, NULL), SY_OK);
  b = sy_ledger_builder_new(NULL, moved);
  assert_int_equal(sy_ledger_add_part(b, "gearbox", NULL, &part, NULL), SY_OK);
  assert_int_equal(sy_ledger_append(moved, &top, b, &more, NULL), SY_OK);
  sy_ledger_builder_free(b);
  sy_totals totals;
  sy_ledger_totals(more, &totals);
  assert_near(totals.all.m, 2 * 23.85, 1e-13); /* one rounding of 47.7 */
  sy_ledger_release(ledger);
  sy_ledger_release(moved);
  sy_ledger_release(more);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(block_without_allocator_grows_under_the_default_one),
      cmocka_unit_test(allocator_that_is_given_is_the_one_that_is_used),
      cmocka_unit_test(text_without_allocator_is_decoded),
      cmocka_unit_test(table_without_allocator_is_read),
      cmocka_unit_test(mesh_without_allocator_is_read_and_made),
      cmocka_unit_test(ledger_without_allocator_is_built_and_edited),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
