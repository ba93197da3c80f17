/* sha256.h - the SHA-256 digest of bytes: which file a result was worked out from.
**
** Source  FIPS PUB 180-4, Secure Hash Standard (August 2015), 4.1.2, 4.2.2, 5.3.3 and 6.2.
** It distinguishes files; nothing here keeps a secret.
*/
#ifndef SY_BASE_SHA256_H
#define SY_BASE_SHA256_H

#include <stddef.h>
#include <stdint.h>

#include "api.h"

enum { SY_SHA256_BYTES = 32, SY_SHA256_BLOCK = 64, SY_SHA256_TEXT = 65 /* 64 digits and the zero */ };

/* A digest under way; a value: a copy goes on by itself. */
typedef struct sy_sha256 {
  uint32_t state[8];
  uint64_t length; /* bytes so far, below 2^61 */
  unsigned char block[SY_SHA256_BLOCK];
} sy_sha256;

/* The digest of nothing yet. */
SY_API sy_sha256 sy_sha256_begin(void);

/* Add `size` bytes; in how many pieces they come makes no difference. `bytes` may be NULL when size is 0. */
SY_API void sy_sha256_add(sy_sha256 *digest, const void *bytes, size_t size);

/* The digest of what was added so far, as 64 lower-case hexadecimal digits and a zero. `digest` stays as it is. */
SY_API void sy_sha256_text(const sy_sha256 *digest, char text[SY_SHA256_TEXT]);

#endif
