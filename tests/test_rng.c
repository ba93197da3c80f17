#include "near.h"

#include "numeric/rng_lanes.h"

/* Known answers of Threefry 4x32 with 20 rounds: file kat_vectors of the Random123 library, version 1.14.0, by the authors of
** J. Salmon, M. Moraes, R. Dror, D. Shaw, Parallel Random Numbers: As Easy as 1, 2, 3, SC 2011. The third uses digits of pi. */
static const struct {
  sy_rng_words counter, key, answer;
} known[] = {
    {{{0, 0, 0, 0}}, {{0, 0, 0, 0}}, {{0x9c6ca96a, 0xe17eae66, 0xfc10ecd4, 0x5256a7d8}}},
    {{{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}},
     {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}},
     {{0x2a881696, 0x57012287, 0xf6c7446e, 0xa16a6732}}},
    {{{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}},
     {{0xa4093822, 0x299f31d0, 0x082efa98, 0xec4e6c89}},
     {{0x59cd1dbb, 0xb8879579, 0x86b5d00c, 0xac8b6d84}}},
};

static void threefry_gives_the_authors_answers(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    const sy_rng_words got = sy_rng_threefry(known[i].key, known[i].counter);
    for (int w = 0; w < 4; w++) assert_int_equal(got.word[w], known[i].answer.word[w]);
  }
}

static void key_holds_the_whole_seed(void **state) {
  (void)state;
  const sy_rng_words key = sy_rng_key(0x0123456789abcdefu);
  assert_int_equal(key.word[0], 0x89abcdef);
  assert_int_equal(key.word[1], 0x01234567);
  assert_int_equal(key.word[2] | key.word[3], 0);
}

/* Counters run over the end of the low word. */
static void lanes_are_eight_counters_in_a_row(void **state) {
  (void)state;
  const sy_rng_words key = {{3, 1, 4, 15}};
  const uint64_t first = 0x7fffffffcu;
  uint32_t k[5], got[4][SY_RNG_LANES];
  sy_rng_schedule(key, k);
  sy_rng_lanes(k, first, 92, 65, got);
  for (unsigned lane = 0; lane < SY_RNG_LANES; lane++) {
    const uint64_t at = first + lane;
    const sy_rng_words want =
        sy_rng_threefry(key, (sy_rng_words){{(uint32_t)at, (uint32_t)(at >> 32), 92, 65}});
    for (int w = 0; w < 4; w++) assert_int_equal(got[w][lane], want.word[w]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(threefry_gives_the_authors_answers),
      cmocka_unit_test(key_holds_the_whole_seed),
      cmocka_unit_test(lanes_are_eight_counters_in_a_row),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
