#include "bind/errors.h"

#include <stddef.h>
#include <string.h>

#include <lauxlib.h>

#include "base/text.h"

static const char *const text_fields[] = {"code", "message", "file", "part", "field", "hint", "kind"};

static void set_text(lua_State *L, const char *key, const char *value) {
  if (value == NULL) return;
  lua_pushstring(L, value);
  lua_setfield(L, -2, key);
}

void syl_keep_text(char *buffer, size_t room, const char *text, size_t length) {
  size_t kept = length;
  if (length >= room) {
    kept = room - sizeof "...";
    while (kept > 0 && ((unsigned char)text[kept] & 0xC0) == 0x80)
      kept--; /* not in front of a continuation byte */
  }
  memcpy(buffer, text, kept);
  const char *end = kept < length ? "..." : "";
  memcpy(buffer + kept, end, strlen(end) + 1);
}

/* Push `text` as one short line: control characters as Lua writes them in quotes, cut to about MOST bytes. Names and
** values of a file may be anything. */
static void push_line(lua_State *L, const char *text) {
  enum { MOST = 480 };
  char kept[MOST];
  syl_keep_text(kept, sizeof kept, text, strlen(text));
  luaL_Buffer b;
  luaL_buffinit(L, &b);
  for (const char *c = kept; *c != '\0'; c++) {
    const unsigned char byte = (unsigned char)*c;
    if (byte >= 0x20 && byte != 0x7F) {
      luaL_addchar(&b, *c);
    } else if (byte == '\n') {
      luaL_addstring(&b, "\\n");
    } else {
      const char digits[] = {'\\', (char)('0' + byte / 100), (char)('0' + byte / 10 % 10),
                             (char)('0' + byte % 10)};
      luaL_addlstring(&b, digits, sizeof digits);
    }
  }
  luaL_pushresult(&b);
}

/* The text in a field of the table at `index` as a line, which stays on the stack; NULL when there is none. */
static const char *get_text(lua_State *L, int index, const char *key) {
  lua_getfield(L, index, key);
  if (lua_type(L, -1) != LUA_TSTRING) return NULL;
  push_line(L, lua_tostring(L, -1));
  return lua_tostring(L, -1);
}

static void push_place(lua_State *L, const char *file, lua_Integer line) {
  if (file != NULL && line > 0)
    lua_pushfstring(L, "%s:%I: ", file, (LUAI_UACINT)line);
  else if (file != NULL)
    lua_pushfstring(L, "%s: ", file);
  else if (line > 0)
    lua_pushfstring(L, "line %I: ", (LUAI_UACINT)line);
  else
    lua_pushliteral(L, "");
}

static void push_subject(lua_State *L, const char *kind, const char *part, const char *field) {
  if (part == NULL)
    lua_pushliteral(L, "");
  else if (kind != NULL && kind[0] == '\0')
    lua_pushstring(L, part);
  else
    lua_pushfstring(L, "%s \"%s\"", kind == NULL ? "part" : kind, part);
  lua_pushfstring(L, "%s%s%s", part != NULL && field != NULL ? ", " : "", field == NULL ? "" : field,
                  part != NULL || field != NULL ? ": " : "");
}

/* Push the line of the error object at `index`. */
static void push_failure_line(lua_State *L, int index) {
  const int top = lua_gettop(L);
  luaL_checkstack(L, 30, NULL); /* each field and its line stay there */
  lua_getfield(L, index, "line");
  const lua_Integer line = lua_isinteger(L, -1) ? lua_tointeger(L, -1) : 0;
  const char *file = get_text(L, index, "file");
  const char *kind = get_text(L, index, "kind");
  const char *part = get_text(L, index, "part");
  const char *field = get_text(L, index, "field");
  const char *message = get_text(L, index, "message");
  const char *hint = get_text(L, index, "hint");
  const int before = lua_gettop(L);
  push_place(L, file, line);
  push_subject(L, kind, part, field);
  lua_pushstring(L, message == NULL ? "failed" : message);
  if (hint != NULL) lua_pushfstring(L, " (%s)", hint);
  lua_concat(L, lua_gettop(L) - before);
  lua_replace(L, top + 1);
  lua_settop(L, top + 1);
}

/* tostring(error) -> a line; one more for each further problem, where `more` lists some */
static int l_tostring(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 1);
  push_failure_line(L, 1);
  if (lua_getfield(L, 1, "more") != LUA_TTABLE) {
    lua_pop(L, 1);
    return 1;
  }
  const lua_Integer more = (lua_Integer)lua_rawlen(L, 3);
  for (lua_Integer i = 1; i <= more; i++) {
    if (lua_rawgeti(L, 3, i) == LUA_TTABLE) {
      lua_pushvalue(L, 2);
      lua_pushliteral(L, "\n");
      push_failure_line(L, 4);
      lua_concat(L, 3);
      lua_replace(L, 2);
    }
    lua_settop(L, 3);
  }
  lua_settop(L, 2);
  return 1;
}

/* error .. text, text .. error, error .. error: their lines joined, so that a caught error goes into a message as texts do */
static int l_concat(lua_State *L) {
  luaL_tolstring(L, 1, NULL);
  luaL_tolstring(L, 2, NULL);
  lua_concat(L, 2);
  return 1;
}

void syl_mark_failure(lua_State *L) {
  if (luaL_newmetatable(L, SYL_ERROR)) {
    lua_pushcfunction(L, l_tostring);
    lua_setfield(L, -2, "__tostring");
    lua_pushcfunction(L, l_concat);
    lua_setfield(L, -2, "__concat");
  }
  lua_setmetatable(L, -2);
}

void syl_push_failure(lua_State *L, const syl_failure *failure) {
  lua_createtable(L, 0, 8);
  set_text(L, "code", failure->code);
  set_text(L, "message", failure->message);
  set_text(L, "file", failure->file);
  set_text(L, "part", failure->part);
  set_text(L, "field", failure->field);
  set_text(L, "hint", failure->hint);
  set_text(L, "kind", failure->kind);
  if (failure->line > 0) {
    lua_pushinteger(L, failure->line);
    lua_setfield(L, -2, "line");
  }
  syl_mark_failure(L);
}

static const char *said(const char *text) { return text[0] == '\0' ? NULL : text; }

void syl_push_problem(lua_State *L, const syl_problem *problem, const char *file) {
  syl_push_failure(L, &(syl_failure){.code = problem->code,
                                     .message = problem->message,
                                     .file = file,
                                     .line = problem->line,
                                     .part = said(problem->part),
                                     .field = said(problem->field),
                                     .hint = said(problem->hint),
                                     .kind = said(problem->kind)});
}

int syl_fail(lua_State *L, const syl_failure *failure) {
  syl_push_failure(L, failure);
  return lua_error(L);
}

void syl_push_error(lua_State *L, const sy_error *error) {
  syl_push_failure(L, &(syl_failure){
                          .code = sy_status_name(error->status),
                          .message = error->message,
                          .part = said(error->part),
                          .field = said(error->field),
                          .kind = "", /* the core's parts read "engine" or "axle 2 of 3" */
                      });
}

int syl_raise(lua_State *L, const sy_error *error) {
  syl_push_error(L, error);
  return lua_error(L);
}

const char *syl_nearest(lua_State *L, const char *word, int index) {
  const int list = lua_absindex(L, index);
  const size_t length = (size_t)lua_rawlen(L, list);
  const char **words = lua_newuserdatauv(L, (length + 1) * sizeof *words, 0);
  size_t count = 0;
  for (size_t i = 1; i <= length; i++) {
    if (lua_rawgeti(L, list, (lua_Integer)i) == LUA_TSTRING) words[count++] = lua_tostring(L, -1);
    lua_pop(L, 1);
  }
  const char *nearest = sy_text_nearest(word, words, count);
  lua_pop(L, 1);
  return nearest;
}

/* core.nearest(word, list) -> word of the list, or nil */
static int l_nearest(lua_State *L) {
  const char *word = luaL_checkstring(L, 1);
  luaL_checktype(L, 2, LUA_TTABLE);
  const char *nearest = syl_nearest(L, word, 2);
  lua_pushstring(L, nearest); /* nil for NULL */
  return 1;
}

/* A hint {in Lua, typed}: the second is for one who types on the command line or in a table. Error object on top of the stack. */
static void split_hint(lua_State *L) {
  if (lua_getfield(L, -1, "hint") == LUA_TTABLE) {
    lua_geti(L, -1, 2);
    lua_setfield(L, -3, "typed");
    lua_geti(L, -1, 1);
    lua_setfield(L, -3, "hint");
  }
  lua_pop(L, 1);
}

/* core.fail{code =, message =, file =, line =, part =, field =, hint =, kind =, more =} raises a copy as an error object. hint: a text, or
** a pair. more: a list of further problems, tables with the same fields */
static int l_fail(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_createtable(L, 0, 8);
  for (size_t i = 0; i < sizeof text_fields / sizeof *text_fields; i++) {
    lua_getfield(L, 1, text_fields[i]);
    lua_setfield(L, -2, text_fields[i]);
  }
  lua_getfield(L, 1, "line");
  lua_setfield(L, -2, "line");
  lua_getfield(L, 1, "more");
  lua_setfield(L, -2, "more");
  split_hint(L);
  syl_mark_failure(L);
  return lua_error(L);
}

void syl_open_fail(lua_State *L) {
  lua_pushcfunction(L, l_fail);
  lua_setfield(L, -2, "fail");
  lua_pushcfunction(L, l_nearest);
  lua_setfield(L, -2, "nearest");
  lua_newtable(L);
  syl_mark_failure(L);
  lua_getmetatable(L, -1);
  lua_setfield(L, -3, "error_metatable");
  lua_pop(L, 1);
}
