/* vocabulary_functions.h - what file/vocabulary.lua is given to work with: the same functions in a script and in a sandbox.
**
**   type(value), setmetatable(table, metatable), getmetatable(table)
**   where() -> line, file      of the user's text that called the word; file is nil in a sandbox
**   raise{code =, message =, ...}  raises an error object; line and file are those of where() unless given
**   nearest(word, list) -> word or nil
**   marked(name) -> metatable  of a kind of table, known as "steelyard." .. name; made when it is first asked for
**   sandbox                    true in a sandbox
*/
#ifndef SYL_READER_VOCABULARY_FUNCTIONS_H
#define SYL_READER_VOCABULARY_FUNCTIONS_H

#include <lua.h>

#define SYL_VOCABULARY_CHUNK "vocabulary"

/* Push the metatable of a kind of table in the state of a script. */
void syl_push_marked(lua_State *L, const char *name);

/* Push the table of them for a sandbox; they find the sandbox of the state. */
void syl_push_vocabulary_functions(lua_State *S);

/* Adds `vocabulary_functions`, the table of them for scripts, to the module table on top of the stack. */
void syl_open_vocabulary_functions(lua_State *L);

#endif
