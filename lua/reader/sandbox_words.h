/* sandbox_words.h - what steelyard/words.lua is given to work with: the same functions in a script and in a sandbox.
**
**   type(value), setmetatable(table, metatable), getmetatable(table)
**   where() -> line, file      of the user's text that called the word; file is nil in a sandbox
**   raise{code =, message =, ...}  raises an error object; line and file are those of where() unless given
**   nearest(word, list) -> word or nil
**   marked(name) -> metatable  of a kind of table, known as "steelyard." .. name; made when it is first asked for
**   sandbox                    true in a sandbox
*/
#ifndef SYL_READER_SANDBOX_WORDS_H
#define SYL_READER_SANDBOX_WORDS_H

#include <lua.h>

#define SYL_WORDS_CHUNK "words"

/* Push the metatable of a kind of table in the state of a script. */
void syl_push_marked(lua_State *L, const char *name);

/* Push the host table of a sandbox; its functions find the sandbox of the state. */
void syl_push_word_host(lua_State *S);

/* Adds `word_host`, the one for scripts, to the module table on top of the stack. */
void syl_open_word_host(lua_State *L);

#endif
