/* sandbox.h - runs the text of a vehicle file as data.
**
** The text runs in a Lua state of its own: no library is open, only the words of file/vocabulary.lua exist, memory,
** steps and time are capped (sandbox_limits.h). What comes back is a copy; nothing of the state stays.
*/
#ifndef SYL_READER_SANDBOX_H
#define SYL_READER_SANDBOX_H

#include <lua.h>

/* Adds to the module table on top of the stack:
**   run_file(bytes, file, language, caps?) -> raw, true for a file that is mere data (data_file.h)
**       bytes     the text; `file` names it in errors
**       language  {sorts = {[word] = sort} (data_file.h), words = a table that file/vocabulary.lua gets, code = its text or code, or a
**                 function that gives it: a file that is only data (data_file.h) needs no sandbox}
**       caps      for tests, and with them a sandbox whatever the text: {live =, total =, text =, fields =, steps =, seconds =, requests =}, see syl_caps
**       raw       what vocabulary.lua returns as its result: {vehicle = item or nil, made = {all items in order}}, and
**                 raw.silent_error, an error object, when Lua lost something without a word (silent_errors.h)
**     Errors  read  not text    syntax  not Lua    run  Lua stopped    limit  a cap    content, unknown  a word refused
**   vocabulary_functions: see vocabulary_functions.h    read_file: see text_file.h    source_map: see source_map.h */
void syl_open_sandbox(lua_State *L);

#endif
