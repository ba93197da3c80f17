/* silent_errors.h - what Lua would lose without a word: the first of two equal keys, and the decimals of `mass = 12,5`;
** and which part a line belongs to. */
#ifndef SYL_READER_SILENT_ERRORS_H
#define SYL_READER_SILENT_ERRORS_H

#include "bind/errors.h"
#include "reader/source_map.h"

typedef enum syl_loss { SYL_LOSS_NONE, SYL_LOSS_FOUND, SYL_LOSS_LIMIT, SYL_LOSS_NO_MEMORY } syl_loss;

/* items, below: the words that make items (`part "x" { ... }`), NULL behind the last; by them what is wrong is given a name. */

/* Looks through `size` bytes of Lua; the loss on the lowest line is put into `out`, which is otherwise left alone. SYL_LOSS_LIMIT: the
** text has more entries than are read (source_map.h), which `out` says.
** Does not use Lua, so it may be called while a block of malloc is held. */
syl_loss syl_find_loss(const char *text, size_t size, const char *const *items, const sy_alloc *alloc,
                       syl_problem *out);

/* A problem that names a line but no part: adds the part that alone has something on that line, and its field when it has
** one field there. */
void syl_name_line(const char *text, size_t size, const char *const *items, const sy_alloc *alloc,
                   syl_problem *problem);

#endif
