/* silent_errors.h - what Lua would lose without a word: the first of two equal keys, and the decimals of `mass = 12,5`;
** and which part a line belongs to. */
#ifndef SYL_READER_SILENT_ERRORS_H
#define SYL_READER_SILENT_ERRORS_H

#include "bind/errors.h"
#include "reader/source_map.h"

typedef enum syl_silent_error {
  SYL_SILENT_NONE,
  SYL_SILENT_FOUND,
  SYL_SILENT_LIMIT,
  SYL_SILENT_NO_MEMORY
} syl_silent_error;

/* items, below: the words that make items (`part "x" { ... }`), NULL behind the last; by them what is wrong is given a name. */

/* Looks through `size` bytes of Lua; the one on the lowest line is put into `out`, which is otherwise left alone. SYL_SILENT_LIMIT: the
** text has more entries than are read (source_map.h), which `out` says.
** Does not use Lua, so it may be called while a block of malloc is held. */
syl_silent_error syl_find_silent_error(const char *text, size_t size, const char *const *items,
                                       const sy_alloc *alloc, syl_problem *out);

/* A problem that names a line but no part: adds the part that alone has something on that line, and its field when it has
** one field there. */
void syl_name_line(const char *text, size_t size, const char *const *items, const sy_alloc *alloc,
                   syl_problem *problem);

#endif
