/* check_word.h - 64 bits by which damage to bytes is seen. It is fast and keeps no secret: who wants to can make other bytes to a word.
**
** A step is one to one in what went before and in what it takes in, so a change within eight bytes never goes unseen, and any other with
** a chance of 2^-64.
*/
#ifndef SYL_BIND_CHECK_WORD_H
#define SYL_BIND_CHECK_WORD_H

#include <lua.h>
#include <stddef.h>
#include <stdint.h>

/* Eight bytes as a number, the lowest first. */
uint64_t syl_number(const char *bytes);

/* The word of `size` bytes behind others whose word is `before`; 0 for the first. */
uint64_t syl_check_word(uint64_t before, const char *bytes, size_t size);

/* Adds to the module table on top of the stack:
**   check_word(bytes, ...) -> integer   of the texts one behind the other; where one ends makes a difference */
void syl_open_check_word(lua_State *L);

#endif
