/* script_words.h - see script_words.c. */
#ifndef SYL_READER_SCRIPT_WORDS_H
#define SYL_READER_SCRIPT_WORDS_H

#include <lua.h>
#include <stdbool.h>

/* Adds to the table on top of the stack the functions that make such words: item_word, braces_word, uncertain_word. */
void syl_add_script_words(lua_State *L);

#endif
