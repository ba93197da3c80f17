/* SHA-256 against the values NIST publishes. */
#include "base/sha256.h"

#include <stdlib.h>
#include <string.h>

#include "near.h"

static void assert_digest(const void *bytes, size_t size, const char *want) {
  char got[SY_SHA256_TEXT];
  sy_sha256 digest = sy_sha256_begin();
  sy_sha256_add(&digest, bytes, size);
  sy_sha256_text(&digest, got);
  assert_string_equal(got, want);
}

/* Source: NIST, Cryptographic Standards and Guidelines, Examples with Intermediate Values, SHA-256 ("abc" and the message of two
** blocks), which FIPS 180-4 refers to; from memory, confirmed with GNU sha256sum */
static void text_of_the_standards_messages_is_their_digest(void **state) {
  (void)state;
  assert_digest("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  const char *two_blocks = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
  assert_digest(two_blocks, strlen(two_blocks),
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  assert_digest(NULL, 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

/* Source: NIST, SHA-2 Additional test vectors, SHA-256, 1 to 10: about the ends of a block, and long ones; from memory, confirmed
** with GNU sha256sum */
static void text_of_messages_about_the_end_of_a_block_is_their_digest(void **state) {
  (void)state;
  assert_digest("\xbd", 1, "68325720aabd7c82f30f554b313d0570c95accbb7dc4b5aae11204c08ffe732b");
  assert_digest("\xc9\x8c\x8e\x55", 4, "7abc22c0ae5af26ce93dbb94433a0e0b2e119d014f8e7f65bd56c61ccccd9504");
  static const struct {
    int letter;
    size_t size;
    const char *want;
  } rows[] = {
      {0, 55, "02779466cdec163811d078815c633f21901413081449002f24aa3e80f0b88ef7"},
      {0, 56, "d4817aa5497628e7c77e6b606107042bbba3130888c5f47a375e6179be789fbb"},
      {0, 57, "65a16cb7861335d5ace3c60718b5052e44660726da4cd13bb745381b235a1785"},
      {0, 64, "f5a5fd42d16a20302798ef6ed309979b43003d2320d9f0e8ea9831a92759fb4b"},
      {0, 1000, "541b3e9daa09b20bf85fa273e5cbd3e80185aa4ec298e765db87742b70138a53"},
      {'A', 1000, "c2e686823489ced2017f6059b8b239318b6364f6dcd835d0a519105a1eadd6e4"},
      {'U', 1005, "f4d62ddec0f3dd90ea1380fa16a5ff8dc4c54b21740650f24afc4120903552b0"},
      {0, 1000000, "d29751f2649b32ff572b5e0a9f541ea660a50f94ff0beedfb0b692b924cc8025"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    char *message = malloc(rows[i].size);
    assert_non_null(message);
    memset(message, rows[i].letter, rows[i].size);
    assert_digest(message, rows[i].size, rows[i].want);
    free(message);
  }
}

static void add_in_any_pieces_gives_one_digest(void **state) {
  (void)state;
  unsigned char message[151];
  for (size_t i = 0; i < sizeof message; i++) message[i] = (unsigned char)(37 * i + 11);
  char whole[SY_SHA256_TEXT], pieces[SY_SHA256_TEXT];
  sy_sha256 digest = sy_sha256_begin();
  sy_sha256_add(&digest, message, sizeof message);
  sy_sha256_text(&digest, whole);
  for (size_t first = 0; first <= sizeof message; first++) {
    for (size_t second = first; second <= sizeof message; second += 13) {
      digest = sy_sha256_begin();
      sy_sha256_add(&digest, message, first);
      sy_sha256_text(&digest, pieces); /* leaves it as it is */
      sy_sha256_add(&digest, message + first, second - first);
      sy_sha256_add(&digest, message + second, sizeof message - second);
      sy_sha256_text(&digest, pieces);
      assert_string_equal(pieces, whole);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(text_of_the_standards_messages_is_their_digest),
      cmocka_unit_test(text_of_messages_about_the_end_of_a_block_is_their_digest),
      cmocka_unit_test(add_in_any_pieces_gives_one_digest),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
