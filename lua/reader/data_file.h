/* data_file.h - a vehicle file that is nothing but data is read as such.
**
** Most vehicle files are one `vehicle { ... }` of numbers, with units or without, texts, tables and the words that make items, shapes
** and uncertainties. Such a text cannot loop, grow or fail, so it needs no state of its own, no caps and no copy: the tables are made as
** the text is read. Everything else (names of one's own, functions, sums, odd escapes, an error of any kind) is left to the sandbox,
** which also reports what is wrong. What this accepts, the sandbox takes as well, and gives the same tables (tests/lua/test_data_file.lua
** and the fuzz target hold the two against each other).
*/
#ifndef SYL_READER_DATA_FILE_H
#define SYL_READER_DATA_FILE_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* Push what core.run_file gives for the text and return true; or push nothing and return false: the text is more than data, or not
** right. sorts: stack index of {[word] = "item", "shape", "sd", "within" or "unknown"}, see file/language.lua; other words are left to the
** sandbox. language: that of language.words, whose `units` are the unit words. Raises when memory is out. */
bool syl_read_data(lua_State *L, const char *text, size_t size, int sorts, int language);

#endif
