/* text_file.h - getting the bytes of a vehicle file and of tables beside it, and whether they are text at all. */
#ifndef SYL_READER_TEXT_FILE_H
#define SYL_READER_TEXT_FILE_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

#include "bind/errors.h"

enum { SYL_MOST_BYTES = 4 << 20 };

/* Is it UTF-8 without zero bytes, not empty, not above SYL_MOST_BYTES? If not, `out` says what it is instead. */
bool syl_text_check(const char *bytes, size_t size, syl_problem *out);

/* One line that can be shown and looked up: neither empty nor with control characters in it. */
bool syl_is_line(const char *text, size_t length);

/* Bytes of a byte order mark at the start: 0 or 3. */
size_t syl_text_mark(const char *bytes, size_t size);

/* Adds to the module table on top of the stack:
**   read_file(path, mebibytes?) -> bytes   of a regular file up to 4 MiB or so many; anything else raises "read". Never waits.
**   read_beside(file, name, mebibytes?) -> bytes, path   the same for `name` in the folder of `file` or below it: no absolute path, no
**                              "..", and no link on the way
**   was_read(path) -> boolean  is it one of the files that these two have read, under whatever name? */
void syl_open_text_file(lua_State *L);

#endif
