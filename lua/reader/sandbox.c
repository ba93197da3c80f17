#include "reader/sandbox.h"

#include <limits.h>
#include <locale.h>
#include <stdio.h>
#include <string.h>
#ifdef __APPLE__
#include <xlocale.h>
#endif

#include <lauxlib.h>

#include "bind/errors.h"
#include "reader/data_file.h"
#include "reader/sandbox_copy.h"
#include "reader/sandbox_limits.h"
#include "reader/silent_errors.h"
#include "reader/source_map.h"
#include "reader/syntax_error.h"
#include "reader/text_file.h"
#include "reader/vocabulary_functions.h"

#define SANDBOX "steelyard.sandbox"

/* what runs inside knows where its texts are */
typedef struct job {
  const char *text, *vocabulary;
  size_t size, vocabulary_size;
  lua_State *L; /* outside */
  int language; /* index there: language.words */
  syl_sandbox *sandbox;
} job;

/* ---- inside the sandbox: errors end in its problem ------------------------------------------------------- */

/* Takes "vehicle:12: " off a message of Lua's and returns the line, or 0. Words that come compiled know no lines: "?:-1: ". */
static int take_line(const char **message) {
  static const char *const chunks[] = {SYL_USER_CHUNK ":", SYL_VOCABULARY_CHUNK ":", "?:-1:"};
  for (size_t i = 0; i < sizeof chunks / sizeof *chunks; i++) {
    const size_t length = strlen(chunks[i]);
    if (strncmp(*message, chunks[i], length) != 0) continue;
    const char *at = *message + length;
    int line = 0;
    if (*at == ' ') *message = at + 1;
    for (; *at >= '0' && *at <= '9'; at++) line = line > INT_MAX / 10 - 1 ? INT_MAX : 10 * line + (*at - '0');
    if (*at == ':' && at[1] == ' ') *message = at + 2;
    return i == 0 ? line : 0;
  }
  return 0;
}

static bool begins(const char *text, const char *start) { return strncmp(text, start, strlen(start)) == 0; }

static void keep_problem(syl_sandbox *sandbox, const char *code, const char *message, int line,
                         const char *hint) {
  sandbox->problem = (syl_problem){.line = line};
  syl_keep_text(sandbox->problem.code, sizeof sandbox->problem.code, code, strlen(code));
  syl_keep_text(sandbox->problem.message, sizeof sandbox->problem.message, message, strlen(message));
  syl_keep_text(sandbox->problem.hint, sizeof sandbox->problem.hint, hint, strlen(hint));
}

#define TOO_DEEP "brackets lie inside one another too deep"

static int fail_syntax(lua_State *S, const char *text, size_t size) {
  const char *message = lua_tostring(S, -1);
  const int line = message == NULL ? 0 : take_line(&message);
  if (message == NULL) message = "cannot be read";
  if (strstr(message, "C levels") != NULL || strstr(message, "overflow") != NULL) {
    keep_problem(syl_sandbox_of(S), "limit", TOO_DEEP, line, "");
    return lua_error(S);
  }
  syl_explain_syntax(text, size, message, line, &syl_sandbox_of(S)->problem);
  return lua_error(S);
}

/* message handler: runs where the error was raised, so the line is still known */
static int on_error(lua_State *S) {
  syl_sandbox *sandbox = syl_sandbox_of(S);
  if (sandbox->problem.code[0] != '\0' || sandbox->stop != SYL_RUNNING) return 1; /* reported already */
  const char *message = lua_type(S, 1) == LUA_TSTRING ? lua_tostring(S, 1) : "stopped";
  int line = take_line(&message);
  if (line == 0) line = syl_user_line(S);
  if (sandbox->text != NULL)
    keep_problem(sandbox, "limit", TOO_DEEP, sandbox->compiling, "");
  else if (begins(message, "stack overflow") || begins(message, "C stack overflow"))
    keep_problem(sandbox, "limit", "functions call one another too deep", line, "");
  else if (begins(message, "attempt to index a string value"))
    keep_problem(sandbox, "run", "a text has no methods here", line,
                 "write the text out, or work it out in a script");
  else
    keep_problem(sandbox, "run", message, line, "");
  return 1;
}

typedef struct source {
  const char *at, *end;
  syl_sandbox *sandbox;
  unsigned pieces;
} source;

/* lua_Reader: a line at a time or less. Lua takes no steps while it compiles, so time is looked at here, and the line is
** kept for the one error of the compiler that does not state it. */
static const char *next_piece(lua_State *S, void *user, size_t *size) {
  (void)S;
  enum {
    LONGEST = 256,
    BETWEEN_LOOKS = 16
  }; /* a look at the clock costs as much as compiling some 50 bytes */
  source *s = user;
  if (s->at == s->end) return NULL;
  if (s->pieces++ % BETWEEN_LOOKS == 0 && syl_sandbox_out_of_time(s->sandbox)) return NULL;
  const char *piece = s->at;
  if (piece == s->sandbox->text || piece[-1] == '\n') s->sandbox->compiling++;
  size_t length = (size_t)(s->end - piece);
  if (length > LONGEST) length = LONGEST;
  const char *newline = memchr(piece, '\n', length);
  *size = newline == NULL ? length : (size_t)(newline + 1 - piece);
  s->at += *size;
  return piece;
}

static void load(lua_State *S, const char *text, size_t size, const char *name, const char *mode) {
  source s = {text, text + size, syl_sandbox_of(S), 0};
  s.sandbox->text = text;
  s.sandbox->compiling = 0;
  const int status = lua_load(S, next_piece, &s, name, mode);
  s.sandbox->text = NULL;
  if (status == LUA_ERRSYNTAX) fail_syntax(S, text, size);
  if (status != LUA_OK) lua_error(S); /* out of memory: syl_sandbox_say_why */
}

static void lend_value(lua_State *L, lua_State *S);

/* Push in S a copy of the table on top of L's stack. */
static void lend_table(lua_State *L, lua_State *S) {
  luaL_checkstack(S, 4, NULL);
  lua_createtable(S, (int)lua_rawlen(L, -1), 0);
  lua_pushnil(L);
  while (lua_next(L, -2)) {
    lua_pushvalue(L, -2);
    lend_value(L, S);
    lua_pop(L, 1);
    lend_value(L, S);
    lua_pop(L, 1);
    lua_rawset(S, -3);
  }
}

/* The same for a number, a text, a table of such or what is true or not. */
static void lend_value(lua_State *L, lua_State *S) {
  switch (lua_type(L, -1)) {
  case LUA_TTABLE: lend_table(L, S); break;
  case LUA_TSTRING: lua_pushstring(S, lua_tostring(L, -1)); break;
  case LUA_TNUMBER:
    if (lua_isinteger(L, -1))
      lua_pushinteger(S, lua_tointeger(L, -1));
    else
      lua_pushnumber(S, lua_tonumber(L, -1));
    break;
  default: lua_pushboolean(S, lua_toboolean(L, -1)); break;
  }
}

/* job -> result of file/vocabulary.lua */
static int run_inside(lua_State *S) {
  const job *j = lua_touserdata(S, 1);
  syl_sandbox_count_steps(j->sandbox);
  load(S, j->vocabulary, j->vocabulary_size, "=" SYL_VOCABULARY_CHUNK, "bt"); /* ours: text or compiled */
  syl_push_vocabulary_functions(S);
  lua_pushvalue(j->L, j->language);
  lend_table(j->L, S);
  lua_pop(j->L, 1);
  lua_call(S, 2, 2); /* the user's environment, the result */
  load(S, j->text, j->size, "=" SYL_USER_CHUNK, "t");
  lua_pushvalue(S, -3);
  if (lua_setupvalue(S, -2, 1) == NULL) return luaL_error(S, "the text has no environment");
  lua_call(S, 0, 0);
  return 1;
}

/* ---- outside ------------------------------------------------------------------------------------------------ */

/* Runs the job; false with sandbox->problem filled. Texts are compared as in the C locale, whatever the program's. */
static bool run_protected(job *j) {
  syl_sandbox *sandbox = j->sandbox;
  lua_State *S = sandbox->S;
  const locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
  const locale_t old = plain == (locale_t)0 ? (locale_t)0 : uselocale(plain);
  lua_pushcfunction(S, on_error);
  lua_pushcfunction(S, run_inside);
  lua_pushlightuserdata(S, j);
  const int status = lua_pcall(S, 1, 1, 1);
  lua_sethook(S, NULL, 0, 0);
  if (old != (locale_t)0) uselocale(old);
  if (plain != (locale_t)0) freelocale(plain);
  if (status == LUA_OK) return true;
  if (sandbox->stop != SYL_RUNNING || sandbox->problem.code[0] == '\0')
    syl_sandbox_say_why(sandbox, &sandbox->problem);
  return false;
}

/* The box that owns a sandbox: collected or closed, the state goes. */
typedef struct box {
  syl_sandbox sandbox;
} box;

static int l_close(lua_State *L) {
  box *b = luaL_checkudata(L, 1, SANDBOX);
  syl_sandbox_close(&b->sandbox);
  return 0;
}

static box *new_box(lua_State *L) {
  box *b = lua_newuserdatauv(L, sizeof *b, 0);
  b->sandbox = (syl_sandbox){.S = NULL};
  if (luaL_newmetatable(L, SANDBOX)) {
    lua_pushcfunction(L, l_close);
    lua_setfield(L, -2, "__gc");
  }
  lua_setmetatable(L, -2);
  return b;
}

static double cap(lua_State *L, const char *name, double otherwise) {
  lua_getfield(L, 4, name);
  const double value = luaL_optnumber(L, -1, otherwise);
  lua_pop(L, 1);
  luaL_argcheck(L, value >= 0 && value <= 1e15, 4, name);
  return value;
}

static syl_caps check_caps(lua_State *L) {
  syl_caps caps = syl_caps_default();
  if (lua_isnoneornil(L, 4)) return caps;
  luaL_checktype(L, 4, LUA_TTABLE);
  caps.live = (size_t)cap(L, "live", (double)caps.live);
  caps.total = (size_t)cap(L, "total", (double)caps.total);
  caps.text = (size_t)cap(L, "text", (double)caps.text);
  caps.fields = (size_t)cap(L, "fields", (double)caps.fields);
  caps.steps = (uint64_t)cap(L, "steps", (double)caps.steps);
  caps.seconds = cap(L, "seconds", caps.seconds);
  caps.requests = (uint64_t)cap(L, "requests", 0);
  return caps;
}

static int raise(lua_State *L, const syl_problem *problem, const char *file) {
  syl_push_problem(L, problem, file);
  return lua_error(L);
}

/* the text or code of file/vocabulary.lua: language.code, or what that gives. Takes the language's place, which keeps it alive. */
static const char *check_vocabulary(lua_State *L, size_t *size) {
  lua_getfield(L, 3, "code");
  if (lua_isfunction(L, -1)) lua_call(L, 0, 1);
  lua_replace(L, 3);
  return luaL_checklstring(L, 3, size);
}

enum { MOST_ITEMS = 16 };

/* The words that make items from words.items = {{word, ...}, ...}; they live as long as the table at `words`. */
static void read_items(lua_State *L, int words, const char *items[MOST_ITEMS + 1]) {
  int count = 0;
  if (lua_getfield(L, words, "items") == LUA_TTABLE)
    for (; count < MOST_ITEMS && lua_rawgeti(L, -1, count + 1) == LUA_TTABLE; count++) {
      items[count] = lua_rawgeti(L, -1, 1) == LUA_TSTRING ? lua_tostring(L, -1) : "";
      lua_pop(L, 2);
    }
  items[count] = NULL;
  lua_settop(L, words);
}

/* core.run_file(bytes, file, language, caps?) -> raw, true for a file that is mere data: see sandbox.h */
static int l_run_file(lua_State *L) {
  job j;
  j.text = luaL_checklstring(L, 1, &j.size);
  const char *file = luaL_checkstring(L, 2);
  const syl_caps caps = check_caps(L);
  syl_problem problem;
  if (!syl_text_check(j.text, j.size, &problem)) return raise(L, &problem, file);
  const size_t mark = syl_text_mark(j.text, j.size);
  j.text += mark;
  j.size -= mark;
  luaL_checktype(L, 3, LUA_TTABLE);
  lua_settop(L, 4);
  enum {
    SORTS = 5,
    WORDS,
    DEEP = 16
  }; /* DEEP: stack for the tables in one another of the words, a key and a value each */
  luaL_checkstack(L, DEEP, NULL);
  lua_getfield(L, 3, "sorts");
  lua_getfield(L, 3, "words");
  luaL_argcheck(L, lua_istable(L, SORTS) && lua_istable(L, WORDS), 3, "sorts and words are tables");
  if (lua_isnil(L, 4) && syl_read_data(L, j.text, j.size, SORTS, WORDS)) {
    lua_pushboolean(L, 1);
    return 2;
  }
  j.vocabulary = check_vocabulary(L, &j.vocabulary_size);
  j.L = L;
  j.language = WORDS;

  const char *items[MOST_ITEMS + 1];
  read_items(L, WORDS, items);
  const sy_alloc alloc = sy_alloc_default();
  syl_problem silent;
  const syl_silent_error found = syl_find_silent_error(j.text, j.size, items, &alloc, &silent);
  if (found == SYL_SILENT_NO_MEMORY) return luaL_error(L, "not enough memory");
  if (found == SYL_SILENT_LIMIT) return raise(L, &silent, file);

  box *b = new_box(L);
  const int owner = lua_gettop(L);
  j.sandbox = &b->sandbox;
  bool fine = syl_sandbox_start(j.sandbox, caps) != NULL;
  if (fine)
    fine = run_protected(&j);
  else
    syl_sandbox_say_why(j.sandbox, &j.sandbox->problem);
  if (!fine) {
    if (strcmp(j.sandbox->problem.code, "limit") != 0)
      syl_name_line(j.text, j.size, items, &alloc, &j.sandbox->problem);
    const bool first = found == SYL_SILENT_FOUND && silent.line <= j.sandbox->problem.line;
    return raise(L, first ? &silent : &j.sandbox->problem, file);
  }
  syl_copy_out(L, j.sandbox, file);
  lua_pushcfunction(L, l_close); /* now, not when the collector comes by */
  lua_pushvalue(L, owner);
  lua_call(L, 1, 0);
  if (found == SYL_SILENT_FOUND) {
    syl_push_problem(L, &silent, file);
    lua_setfield(L, -2, "silent_error");
  }
  return 1;
}

void syl_open_sandbox(lua_State *L) {
  lua_pushcfunction(L, l_run_file);
  lua_setfield(L, -2, "run_file");
  syl_open_vocabulary_functions(L);
  syl_open_text_file(L);
  syl_open_source_map(L);
}
