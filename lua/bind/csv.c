/* csv.c - tables as spreadsheets write them. Rows and columns count from 1. */
#include <lauxlib.h>
#include <stdint.h>

#include "base/csv.h"
#include "base/csv_number.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"

#define CSV "steelyard.csv"

/* NULL once closed */
typedef struct box {
  sy_csv *csv;
} box;

static sy_csv *check_csv(lua_State *L) {
  const box *b = luaL_checkudata(L, 1, CSV);
  luaL_argcheck(L, b->csv != NULL, 1, "the table is closed");
  return b->csv;
}

/* A row or column from 1 as an index from 0; one far outside any table when it is below 1. */
static size_t check_index(lua_State *L, int argument) {
  const lua_Integer number = luaL_checkinteger(L, argument);
  return number < 1 ? SIZE_MAX : (size_t)number - 1;
}

static int l_close(lua_State *L) {
  box *b = luaL_checkudata(L, 1, CSV);
  sy_csv_free(b->csv);
  b->csv = NULL;
  return 0;
}

/* core.csv(bytes, file?) -> table; raises what csv.h refuses, with the file's name */
static int l_csv(lua_State *L) {
  size_t size;
  const char *bytes = luaL_checklstring(L, 1, &size);
  const char *file = luaL_optstring(L, 2, NULL);
  const sy_alloc alloc = sy_alloc_default();
  box *b = lua_newuserdatauv(L, sizeof *b, 0);
  b->csv = NULL;
  luaL_setmetatable(L, CSV);
  sy_error err;
  if (sy_csv_read(bytes, size, &alloc, &b->csv, &err) == SY_OK) return 1;
  return syl_fail(L, &(syl_failure){.code = sy_status_name(err.status),
                                    .message = err.message,
                                    .file = file,
                                    .part = err.part[0] == '\0' ? NULL : err.part,
                                    .kind = ""});
}

/* csv:about() -> {rows =, columns =, delimiter = ";", stated = boolean, encoding = "UTF-8"} */
static int l_about(lua_State *L) {
  const sy_csv_about about = sy_csv_describe(check_csv(L));
  lua_createtable(L, 0, 5);
  lua_pushinteger(L, (lua_Integer)about.rows);
  lua_setfield(L, -2, "rows");
  lua_pushinteger(L, (lua_Integer)about.columns);
  lua_setfield(L, -2, "columns");
  lua_pushlstring(L, &about.delimiter, 1);
  lua_setfield(L, -2, "delimiter");
  lua_pushboolean(L, about.stated);
  lua_setfield(L, -2, "stated");
  lua_pushstring(L, sy_encoding_name(about.encoding));
  lua_setfield(L, -2, "encoding");
  return 1;
}

/* csv:width(row) -> number of cells */
static int l_width(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)sy_csv_width(check_csv(L), check_index(L, 2)));
  return 1;
}

/* csv:line(row) -> the line of the file it begins on */
static int l_line(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)sy_csv_line(check_csv(L), check_index(L, 2)));
  return 1;
}

/* csv:cell(row, column) -> text, "" outside the table */
static int l_cell(lua_State *L) {
  const sy_csv_cell cell = sy_csv_at(check_csv(L), check_index(L, 2), check_index(L, 3));
  lua_pushlstring(L, cell.text, cell.length);
  return 1;
}

/* csv:mark(columns, row) -> "." or ",": the decimal mark of the numbers in a list of columns, from a row on; or nil, code,
** message */
static int l_mark(lua_State *L) {
  const sy_csv *csv = check_csv(L);
  luaL_checktype(L, 2, LUA_TTABLE);
  const size_t first = check_index(L, 3);
  sy_csv_marks marks = sy_csv_marks_none();
  const lua_Integer count = syl_length(L, 2);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, 2, i);
    sy_csv_look_for_marks(csv, check_index(L, -1), first, &marks);
    lua_pop(L, 1);
  }
  char mark;
  sy_error err;
  if (sy_csv_decide_mark(csv, &marks, &mark, &err) == SY_OK) {
    lua_pushlstring(L, &mark, 1);
    return 1;
  }
  lua_pushnil(L);
  lua_pushstring(L, sy_status_name(err.status));
  lua_pushstring(L, err.message);
  return 3;
}

/* core.csv_number(text, mark) -> number; or nil and "blank", "text" or "error value" */
static int l_number(lua_State *L) {
  sy_csv_cell cell;
  cell.text = luaL_checklstring(L, 1, &cell.length);
  const char *mark = luaL_checkstring(L, 2);
  double x;
  const sy_csv_kind kind = sy_csv_number(cell, mark[0], &x);
  if (kind == SY_CSV_NUMBER) {
    lua_pushnumber(L, x);
    return 1;
  }
  lua_pushnil(L);
  lua_pushstring(L, kind == SY_CSV_BLANK ? "blank" : kind == SY_CSV_TEXT ? "text" : "error value");
  return 2;
}

/* core.csv_letters(column) -> "A", "AB" */
static int l_letters(lua_State *L) {
  const lua_Integer column = luaL_checkinteger(L, 1);
  luaL_argcheck(L, column >= 1, 1, "columns count from 1");
  char letters[SY_CSV_LETTERS];
  sy_csv_letters((size_t)column - 1, letters);
  lua_pushstring(L, letters);
  return 1;
}

void syl_open_csv(lua_State *L) {
  static const luaL_Reg methods[] = {
      {"about", l_about}, {"width", l_width}, {"line", l_line},
      {"cell", l_cell},   {"mark", l_mark},   {NULL, NULL},
  };
  static const luaL_Reg functions[] = {
      {"csv", l_csv},
      {"csv_number", l_number},
      {"csv_letters", l_letters},
      {NULL, NULL},
  };
  luaL_newmetatable(L, CSV);
  lua_newtable(L);
  luaL_setfuncs(L, methods, 0);
  lua_setfield(L, -2, "__index");
  lua_pushcfunction(L, l_close);
  lua_setfield(L, -2, "__gc");
  lua_pushcfunction(L, l_close);
  lua_setfield(L, -2, "__close");
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
