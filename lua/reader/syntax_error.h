/* syntax_error.h - what the compiler says of a vehicle file, in the words of one who wrote it with an editor and not as a programmer:
** the character that Lua does not read by its name, and the bracket that is still open where the text ends.
*/
#ifndef SYL_READER_SYNTAX_ERROR_H
#define SYL_READER_SYNTAX_ERROR_H

#include <stddef.h>

#include "bind/errors.h"

/* Fills code, message, hint and line of `out` (all else is empty) from the compiler's `message`, without its place, about the `size`
** bytes of UTF-8 at `text`. line: as the compiler has it, or 0. Looks at the text up to its end at most twice. */
void syl_explain_syntax(const char *text, size_t size, const char *message, int line, syl_problem *out);

#endif
