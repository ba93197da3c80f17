/* Pages as PNG and PDF (lua/extra/canvas_cairo.c) wherever the memory of the Lua state ends, and what they refuse.
** Not under valgrind: fontconfig and GLib keep what they have made until the process ends. What a page takes is counted below. */
#include "near.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include <lauxlib.h>
#include <lualib.h>

int luaopen_steelyard_canvas_cairo(lua_State *L);

typedef struct budget {
  long left; /* requests still granted; negative: all */
  long asked;
  size_t live;
} budget;

static void *grant(void *user, void *old, size_t old_size, size_t size) {
  budget *b = user;
  const size_t before = old == NULL ? 0 : old_size;
  if (size == 0) {
    free(old);
    b->live -= before;
    return NULL;
  }
  b->asked += size > before;
  if (size > before && b->left == 0) return NULL;
  if (size > before && b->left > 0) b->left--;
  void *block = realloc(old, size);
  assert_non_null(block);
  b->live += size - before;
  return block;
}

static int run(lua_State *L) {
  const char *text = lua_touserdata(L, 1);
  luaL_openlibs(L);
  luaL_requiref(L, "paper", luaopen_steelyard_canvas_cairo, 1);
  if (luaL_loadstring(L, text) != LUA_OK) return lua_error(L);
  lua_call(L, 0, 1);
  return 1;
}

/* Runs `text` in a state of its own with every request from number n on refused; false when there was no such request. What was taken is
** given back whatever came of it. The result, if it has one, is `length` bytes long and begins with `start`. */
static bool refuse_from(const char *text, long n, const char *start, size_t *length, long *asked) {
  budget b = {-1, 0, 0};
  lua_State *L = lua_newstate(grant, &b);
  assert_non_null(L);
  b.left = n, b.asked = 0;
  lua_pushcfunction(L, run);
  lua_pushlightuserdata(L, (void *)(uintptr_t)text);
  const int status = lua_pcall(L, 1, 1, 0);
  const bool refused = b.left == 0;
  *asked = b.asked;
  b.left = -1;
  if (status == LUA_OK) {
    const char *bytes = lua_tolstring(L, -1, length);
    assert_non_null(bytes);
    assert_int_equal(strncmp(bytes, start, strlen(start)), 0);
  } else {
    assert_true(refused);
    assert_non_null(luaL_tolstring(L, -1, NULL)); /* an error that can be printed */
  }
  lua_close(L);
  assert_int_equal(b.live, 0);
  return refused;
}

/* Strokes enough for both files to outgrow the first room for their bytes; by one table, so that most requests are the page's. */
#define DRAW(kind)                                                                                           \
  "local p = paper.page('" kind "', 45, 30, 'a title')\n"                                                    \
  "local state, from, to, ink = 7, {0, 0}, {0, 0}, {0.1, 0.2, 0.3}\n"                                        \
  "local line = {from, to}\n"                                                                                \
  "local function some(most) state = state * 16807 % 2147483647; return state / 2147483647 * most end\n"     \
  "for i = 1, 6000 do\n"                                                                                     \
  "  from[1], from[2], ink[1] = some(45), some(30), some(1)\n"                                               \
  "  to[1], to[2], ink[2] = from[1] + some(5), from[2] + some(5), some(1)\n"                                 \
  "  p:loop(line, false)\n"                                                                                  \
  "  p:paint(nil, ink, 0.5)\n"                                                                               \
  "end\n"                                                                                                    \
  "p:ellipse(20, 20, 8, 5, 30)\n"                                                                            \
  "p:paint({1, 1, 1}, {0, 0, 0}, 0.35, {1, 0.5})\n"                                                          \
  "p:text('words', 3, true, 40, 20, 'middle', {0, 0, 0}, 0.8)\n"                                             \
  "if '" kind "' == 'pdf' then\n"                                                                            \
  "  p:turn(60, 20)\n"                                                                                       \
  "  p:text('words', 3, false, 10, 10, 'start', {0, 0, 0}, 0)\n"                                             \
  "end\n"                                                                                                    \
  "return p:finish()\n"

/* Every so manieth request while libraries are opened, each of the last ones. */
enum { OPENING = 47, LAST = 60 };

static void whatever_is_refused_is_an_error_and_leaks_nothing(const char *text, const char *start) {
  size_t whole = 0, length = 0;
  long all = 0, asked = 0, refused = 0;
  assert_false(refuse_from(text, 1L << 40, start, &whole, &all));
  assert_true(whole > 1 << 16);
  for (long n = 0; refuse_from(text, n, start, &length, &asked); n += n < all - LAST ? OPENING : 1) refused++;
  assert_true(refused > LAST / 3); /* how many requests tables make varies with the seed of Lua's hashes */
  assert_int_equal(length, whole);
}

static void png_memory_refused_at_any_request_is_an_error_and_leaks_nothing(void **state) {
  (void)state;
  whatever_is_refused_is_an_error_and_leaks_nothing(DRAW("png"), "\x89PNG\r\n");
}

static void pdf_memory_refused_at_any_request_is_an_error_and_leaks_nothing(void **state) {
  (void)state;
  whatever_is_refused_is_an_error_and_leaks_nothing(DRAW("pdf"), "%PDF-1.4");
}

/* The requests of the file's own bytes are few among those of Lua's, so here only they are refused: while the page is finished. */
static void a_file_for_whose_bytes_there_is_no_memory_is_an_error(void **state) {
  (void)state;
  static const char *const kinds[] = {"png", "pdf"};
  for (size_t i = 0; i < 2; i++) {
    budget b = {-1, 0, 0};
    lua_State *L = lua_newstate(grant, &b);
    assert_non_null(L);
    luaL_openlibs(L);
    luaL_requiref(L, "paper", luaopen_steelyard_canvas_cairo, 1);
    lua_pushstring(L, kinds[i]);
    lua_setglobal(L, "kind");
    if (luaL_dostring(L, "page = paper.page(kind, 90, 60, ''); page:loop({{1, 1}, {20, 30}}, false); "
                         "page:paint(nil, {0, 0, 0}, 0.5); "
                         "function try() return page:finish() end") != LUA_OK)
      fail_msg("%s", lua_tostring(L, -1));
    lua_getglobal(L, "try");
    lua_gc(L, LUA_GCSTOP);
    b.left = 0;
    const int status = lua_pcall(L, 0, 1, 0);
    b.left = -1;
    assert_int_not_equal(status, LUA_OK);
    lua_close(L);
    assert_int_equal(b.live, 0);
  }
}

static void refuses(const char *text, const char *part) {
  budget b = {-1, 0, 0};
  lua_State *L = lua_newstate(grant, &b);
  assert_non_null(L);
  lua_pushcfunction(L, run);
  lua_pushlightuserdata(L, (void *)(uintptr_t)text);
  assert_int_equal(lua_pcall(L, 1, 1, 0), LUA_ERRRUN);
  const char *message = lua_tostring(L, -1);
  if (strstr(message, part) == NULL) fail_msg("\"%s\" is not in \"%s\"", part, message);
  lua_close(L);
  assert_int_equal(b.live, 0);
}

/* How often a text stands in bytes. */
static size_t count_of(const char *bytes, size_t length, const char *text) {
  size_t count = 0;
  const size_t n = strlen(text);
  for (size_t i = 0; i + n <= length; i++) count += memcmp(bytes + i, text, n) == 0;
  return count;
}

/* Three pages of three sizes, in points of 1/72 inch: 90 mm are 255.118, 50 mm 141.732, 60 mm 170.079. */
static void a_pdf_has_as_many_pages_as_were_turned(void **state) {
  (void)state;
  budget b = {-1, 0, 0};
  lua_State *L = lua_newstate(grant, &b);
  assert_non_null(L);
  lua_pushcfunction(L, run);
  lua_pushlightuserdata(L, (void *)(uintptr_t) "local p = paper.page('pdf', 90, 60, ''); p:turn(50, 60); "
                                               "p:turn(60, 50); return p:finish()");
  assert_int_equal(lua_pcall(L, 1, 1, 0), LUA_OK);
  size_t length;
  const char *bytes = lua_tolstring(L, -1, &length);
  assert_int_equal(count_of(bytes, length, "/Type /Page "), 3);
  assert_int_equal(count_of(bytes, length, "/MediaBox [ 0 0 255.118"), 1);
  assert_int_equal(count_of(bytes, length, "/MediaBox [ 0 0 141.732"), 1);
  assert_int_equal(count_of(bytes, length, "/MediaBox [ 0 0 170.07"), 1);
  lua_close(L);
  assert_int_equal(b.live, 0);
}

static void wrong_arguments_are_refused(void **state) {
  (void)state;
  refuses("paper.page('gif', 90, 60, '')", "invalid option 'gif'");
  refuses("paper.page('png', 0, 60, '')", "must be above 0");
  refuses("paper.page('pdf', 90, -1, '')", "must be above 0");
  refuses("paper.page('pdf', 90, 0 / 0, '')", "must be finite");
  refuses("paper.page('png', 90, 1e9, '')", "is too large");
  refuses("paper.page('png', 1e6, 60, '')", "is too large");
  refuses("paper.page('png', 90, 60, ''):loop({{1, 0 / 0}}, false)", "a coordinate is not finite");
  refuses("paper.page('png', 90, 60, ''):loop({1, 2}, false)", "points {x, y} expected");
  refuses("paper.page('png', 90, 60, ''):ellipse(1, 2, math.huge, 1, 0)", "must be finite");
  refuses("paper.page('png', 90, 60, ''):paint(nil, {0, 0, 0}, 0)", "must be above 0");
  refuses("paper.page('png', 90, 60, ''):text('\\xff', 3, false, 1, 1, 'start', {0, 0, 0}, 0)",
          "is not UTF-8");
  refuses("paper.page('png', 90, 60, ''):text(('a'):rep(10001), 3, false, 1, 1, 'start', {0, 0, 0}, 0)",
          "is too long for a line");
  refuses("paper.page('png', 90, 60, ''):text('a', 3, false, 1, 1, 'begin', {0, 0, 0}, 0)",
          "invalid option 'begin'");
  refuses("local p = paper.page('png', 90, 60, ''); p:finish(); p:paint(nil, {0, 0, 0}, 1)",
          "the page is finished");
  refuses("local p = paper.page('pdf', 90, 60, ''); p:finish(); p:turn(90, 60)", "the page is finished");
  refuses("paper.page('png', 90, 60, ''):turn(90, 60)", "a PNG has one page");
  refuses("paper.page('pdf', 90, 60, ''):turn(0, 60)", "must be above 0");
  refuses("paper.page('pdf', 90, 60, ''):turn(90, 0 / 0)", "must be finite");
  refuses("paper.page('pdf', 90, 60, ''):turn(1e6, 60)", "is too large");
  refuses("paper.page('pdf', 90, 60, ''):turn(90, 1e6)", "is too large");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(png_memory_refused_at_any_request_is_an_error_and_leaks_nothing),
      cmocka_unit_test(pdf_memory_refused_at_any_request_is_an_error_and_leaks_nothing),
      cmocka_unit_test(a_file_for_whose_bytes_there_is_no_memory_is_an_error),
      cmocka_unit_test(a_pdf_has_as_many_pages_as_were_turned),
      cmocka_unit_test(wrong_arguments_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
