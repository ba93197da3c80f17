/* encoding.h - text of unknown encoding as UTF-8.
**
** Tried in this order: a byte order mark (UTF-8, UTF-16 little and big end first); UTF-16 without a mark where it is
** obvious, that is where at least half of all pairs of bytes have a zero in the same half and none in the other; UTF-8;
** Windows-1252. Anything is valid Windows-1252 but for five bytes, so a caller should say when it was taken.
**
** Source  The Unicode Standard, 3.9 (well-formed UTF-8, table 3-7; UTF-16) and 23.8 (byte order mark); Windows-1252:
**         the mapping table cp1252.txt published by Microsoft at unicode.org, in which 81 8D 8F 90 9D are undefined.
*/
#ifndef SY_BASE_ENCODING_H
#define SY_BASE_ENCODING_H

#include <stdbool.h>
#include <stddef.h>

#include "alloc.h"
#include "api.h"
#include "status.h"

typedef enum sy_encoding {
  SY_ENCODING_UTF8,
  SY_ENCODING_UTF16_LE,
  SY_ENCODING_UTF16_BE,
  SY_ENCODING_WINDOWS_1252
} sy_encoding;

/* "UTF-8", "UTF-16, little end first", ...; never NULL. */
SY_API const char *sy_encoding_name(sy_encoding encoding);

typedef struct sy_decoded {
  const char *text; /* UTF-8 without mark: inside the caller's bytes, or in `block` */
  size_t size;
  sy_encoding encoding;
  bool mark;   /* a byte order mark stood in front */
  char *block; /* NULL when the bytes were UTF-8 already */
  size_t block_size;
} sy_decoded;

/* bytes  stay the caller's and must outlive `out`
** out    ended by sy_decoded_free; written only when SY_OK is returned
**
** Errors  SY_CONTENT  a zero byte, half a letter, a byte that no encoding has; the part is "line 12", the field empty
**         SY_LIMIT    no memory
** Mostly UTF-8 with some broken letters is refused too: more whole letters than broken ones mean a damaged file, not
** Windows-1252. */
SY_API sy_status sy_encoding_decode(const char *bytes, size_t size, const sy_alloc *alloc, sy_decoded *out,
                                    sy_error *err);

SY_API void sy_decoded_free(const sy_alloc *alloc, sy_decoded *decoded);

#endif
