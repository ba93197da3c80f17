/* What the source map says in Lua text. Rules: Lua 5.4 Reference Manual, 3.1 (lexical conventions), 3.4.9 (table
** constructors) and 9 (complete syntax). The compiler of Lua itself says in each test whether the text is Lua. */
#include "near.h"

#include <stdlib.h>
#include <string.h>

#include <lauxlib.h>

#include "reader/silent_errors.h"

static void assert_lua(const char *text, size_t size) {
  lua_State *L = luaL_newstate();
  assert_non_null(L);
  const int status = luaL_loadbufferx(L, text, size, "=text", "t");
  if (status != LUA_OK) print_error("%s\n", lua_tostring(L, -1));
  lua_close(L);
  assert_int_equal(status, LUA_OK);
}

static syl_source_map map_of(const char *text) {
  assert_lua(text, strlen(text));
  const sy_alloc alloc = sy_alloc_default();
  syl_source_map map;
  assert_true(syl_source_map_read(text, strlen(text), &alloc, &map));
  return map;
}

static void assert_piece(const syl_source_map *map, syl_piece piece, const char *want) {
  assert_true(piece.start >= 0);
  char got[200] = "";
  assert_true((size_t)piece.length < sizeof got);
  memcpy(got, map->text + piece.start, (size_t)piece.length);
  assert_string_equal(got, want);
}

static void map_of_nested_parts_gives_words_names_and_lines(void **state) {
  (void)state;
  syl_source_map s = map_of("local sd, box, part, group, vehicle\n"
                            "vehicle {\n"
                            "  parts = {\n"
                            "    group \"power train\" { at = {1, 2, 3},\n"
                            "      part 'engine' { mass = sd(5, 1),\n"
                            "        shape = box {4, 5, height = 6} } },\n"
                            "  } }\n");
  assert_int_equal(s.tables, 6);
  assert_piece(&s, s.table[0].word, "vehicle");
  assert_int_equal(s.table[0].line, 2);
  assert_int_equal(s.table[0].parent, -1);
  assert_piece(&s, s.table[2].word, "group");
  assert_piece(&s, s.table[2].name, "power train");
  assert_int_equal(s.table[2].line, 4);
  assert_true(s.table[3].word.start < 0); /* at = {1, 2, 3} */
  assert_piece(&s, s.table[4].name, "engine");
  assert_int_equal(s.table[4].line, 5);
  assert_piece(&s, s.table[5].word, "box");
  assert_true(s.table[5].name.start < 0);
  const syl_map_entry *shape = &s.entry[s.table[5].parent];
  assert_piece(&s, shape->key, "shape");
  assert_piece(&s, shape->value, "box {4, 5, height = 6}");
  assert_int_equal(shape->line, 6);
  assert_int_equal(shape->child, 5);
  assert_piece(&s, s.entry[shape->previous].key, "mass");
  assert_piece(&s, s.entry[shape->previous].value, "sd(5, 1)");
  syl_source_map_free(&s);
}

static void map_of_comments_and_long_texts_keeps_lines_and_sees_nothing_in_them(void **state) {
  (void)state;
  syl_source_map s = map_of("-- { a = 1, a = 2 }\n"
                            "--[[ {\n{ ]] local t = { --[==[ ]] } ]==]\n"
                            "  a = [[\n{ b = 1 }\n]], b = \"}\\\"{\\z\n   x\\\ny\", c = '--' }\r\n"
                            "local u = { d = [==[ ]] ]==] }");
  assert_int_equal(s.tables, 2);
  assert_int_equal(s.entries, 4);
  assert_int_equal(s.table[0].line, 3);
  assert_int_equal(s.entry[0].line, 4);
  assert_int_equal(s.entry[1].line, 6);
  assert_int_equal(s.entry[2].line, 8);
  assert_int_equal(s.table[1].line, 9);
  syl_source_map_free(&s);
}

/* "\r\n" and "\n\r" are one line end: Lua 5.4, llex.c inclinenumber */
static void map_of_every_line_ending_counts_as_lua_does(void **state) {
  (void)state;
  syl_source_map s = map_of("local t = {\r\n a = 1,\n\r b = 2,\r c = 3,\n\n d = 4 }");
  const int want[] = {2, 3, 4, 6};
  assert_int_equal(s.entries, 4);
  for (int i = 0; i < 4; i++) assert_int_equal(s.entry[i].line, want[i]);
  syl_source_map_free(&s);
}

static void map_of_functions_in_a_constructor_takes_assignments_for_no_fields(void **state) {
  (void)state;
  syl_source_map s = map_of(
      "local x, y\n"
      "local t = { f = function() x = 1, 2; if y then x = 2 else y = 3 end\n"
      "    for i = 1, 2 do x = i end repeat y = 1 until x; return { z = 1 } end, g = (x == 1), [1] = 2,\n"
      "  ['h i'] = 3, x }\n");
  assert_int_equal(s.tables, 2);
  assert_int_equal(s.entries, 6);
  assert_piece(&s, s.entry[0].key, "f");
  assert_piece(&s, s.entry[1].key, "z");
  assert_piece(&s, s.entry[2].key, "g");
  assert_piece(&s, s.entry[2].value, "(x == 1)");
  assert_true(s.entry[3].key.start < 0 && !s.entry[3].positional);
  assert_piece(&s, s.entry[4].key, "h i");
  assert_true(s.entry[5].positional);
  syl_source_map_free(&s);
}

static void map_of_numbers_reads_each_form_as_one_token(void **state) {
  (void)state;
  syl_source_map s = map_of("local t = {a = 0x1p-4, b = 3e-2, c = .5, d = 0xA.8, e = 1e+10, f = 7.}\n");
  const char *const want[] = {"0x1p-4", "3e-2", ".5", "0xA.8", "1e+10", "7."};
  assert_int_equal(s.entries, 6);
  for (size_t i = 0; i < 6; i++) {
    assert_piece(&s, s.entry[i].value, want[i]);
    assert_true(s.entry[i].ends_in_number);
  }
  syl_source_map_free(&s);
}

/* ---- silent errors ---------------------------------------------------------------------------------------- */

static const char *const items[] = {"part", "group", "tank", "person", "state", "limit", NULL};

static syl_problem silent_error_in(const char *text) {
  assert_lua(text, strlen(text));
  const sy_alloc alloc = sy_alloc_default();
  syl_problem problem = {.line = 0};
  assert_int_equal(syl_find_silent_error(text, strlen(text), items, &alloc, &problem), SYL_SILENT_FOUND);
  return problem;
}

static void assert_nothing_lost(const char *text) {
  assert_lua(text, strlen(text));
  const sy_alloc alloc = sy_alloc_default();
  syl_problem problem = {.line = -1};
  assert_int_equal(syl_find_silent_error(text, strlen(text), items, &alloc, &problem), SYL_SILENT_NONE);
  assert_int_equal(problem.line, -1); /* left alone */
}

static void silent_error_of_a_decimal_comma_names_part_field_and_the_right_number(void **state) {
  (void)state;
  syl_problem p = silent_error_in(
      "local part, group\nlocal t = group 'front' {\n part \"rim\" { at = {0, 1, 2},\n  mass = 12,05 } }");
  assert_string_equal(p.code, "content");
  assert_int_equal(p.line, 4);
  assert_string_equal(p.part, "front/rim");
  assert_string_equal(p.kind, "part");
  assert_string_equal(p.field, "mass");
  assert_non_null(strstr(p.message, "12,05 is two values"));
  assert_non_null(strstr(p.hint, "12.05"));
  p = silent_error_in("local t = { fill = -3, 5*2, b = 1 }");
  assert_non_null(strstr(p.hint, "-3.5"));
  p = silent_error_in("local kg, litre = 1, 1\nlocal t = { density = 2*0,745*kg/litre }");
  assert_string_equal(p.field, "density");
}

static void silent_error_of_a_key_given_twice_names_both_lines(void **state) {
  (void)state;
  syl_problem p =
      silent_error_in("local part\nlocal t = part 'a' { mass = 1,\n at = {}, note = 'x',\n [\"mass\"] = 2 }");
  assert_int_equal(p.line, 4);
  assert_string_equal(p.field, "mass");
  assert_string_equal(p.part, "a");
  assert_non_null(strstr(p.message, "first on line 2"));
}

static void silent_error_with_several_reports_the_first_of_the_text(void **state) {
  (void)state;
  syl_problem p = silent_error_in("local t = {\n { a = 1, 5 },\n { b = 1, b = 2 } }");
  assert_int_equal(p.line, 2);
  p = silent_error_in("local t = {\n { b = 1, b = 2 },\n { a = 1, 5 } }");
  assert_int_equal(p.line, 2);
  assert_string_equal(p.field, "b");
}

static void silent_error_is_not_seen_where_nothing_is_lost(void **state) {
  (void)state;
  assert_nothing_lost("local t = { 12, 5, { 1, 2, axis = 'x' }, mass = 12 }");
  assert_nothing_lost(
      "local sd, part\nlocal t = { part 'a' { mass = sd(12, 5), x = 1 }, part 'b' { mass = 2, x = 1 } }");
  assert_nothing_lost(
      "local box\nlocal t = { box {540, 620, axis = 1}, at = {1, 2}, b = {a = 1}, c = {a = 1} }");
  assert_nothing_lost(
      "local t = { a = 1, ['A'] = 2, [1] = 3, [1] = 4 }"); /* keys that are not texts are not compared */
  assert_nothing_lost("local a = 1 a = 2 local t = { f = function() a = 3 a = 4 end }");
  assert_nothing_lost("-- { a = 1, a = 2 }\nlocal t = [[ { a = 1, a = 2 } ]]");
  assert_nothing_lost("");
}

/* ---- limits of the source map ------------------------------------------------------------------------------ */

typedef struct countdown {
  long left, live;
} countdown;

static void *resize(void *user, void *old, size_t old_size, size_t size) {
  countdown *c = user;
  if (size == 0) {
    free(old);
    c->live -= (long)old_size;
    return NULL;
  }
  if (c->left-- == 0) return NULL;
  void *block = realloc(old, size);
  assert_non_null(block);
  c->live += (long)size - (long)old_size;
  return block;
}

static void silent_error_without_memory_says_so_and_keeps_none(void **state) {
  (void)state;
  const char *text = "{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{{ a = 1, b = { c "
                     "= 2 }, { d = 3 } ";
  syl_problem problem;
  int refused = 0;
  for (long n = 0;; n++) {
    countdown c = {n, 0};
    const sy_alloc alloc = {resize, &c};
    const syl_silent_error found = syl_find_silent_error(text, strlen(text), items, &alloc, &problem);
    assert_int_equal(c.live, 0);
    if (found == SYL_SILENT_NONE) break;
    assert_int_equal(found, SYL_SILENT_NO_MEMORY);
    refused++;
  }
  assert_in_range(refused, 4, 1000); /* entries, constructors, open brackets, keys: each at least once */
}

/* Lua reads 200 brackets inside one another (LUAI_MAXCCALLS); here reading stops a little later. */
static void map_of_a_hundred_thousand_brackets_stops_where_lua_has_stopped(void **state) {
  (void)state;
  enum { DEEP = 100000 };
  char *text = malloc(2 * DEEP);
  assert_non_null(text);
  for (int i = 0; i < DEEP; i++) {
    text[i] = "({["[i % 3];
    text[2 * DEEP - 1 - i] = ")}]"[i % 3];
  }
  const sy_alloc alloc = sy_alloc_default();
  syl_source_map s;
  assert_true(syl_source_map_read(text, 2 * DEEP, &alloc, &s));
  assert_in_range(s.tables, 200 / 3, 300 / 3);
  syl_source_map_free(&s);
  free(text);
}

static void map_finds_constructors_and_entries(void **state) {
  (void)state;
  syl_source_map s = map_of("local part, vehicle\n"
                            "vehicle { p = { part 'a' { m = 1 }, part 'b' { m = 2, n = 3, 7, 8, m = 4 } },\n"
                            " q = part 'a' { m = 5 } }\n");
  const int vehicle = syl_source_map_find(&s, "vehicle", "", 2);
  assert_int_equal(vehicle, 0);
  assert_int_equal(syl_source_map_find(&s, "part", "a", 2), 2);
  assert_int_equal(syl_source_map_find(&s, "part", "b", 2), 3);
  assert_int_equal(syl_source_map_find(&s, "part", "worked out", 2), 2); /* the first part of the line */
  assert_int_equal(syl_source_map_find(&s, "part", "a", 3), 4);
  assert_int_equal(syl_source_map_find(&s, "group", "a", 2), -1);
  assert_int_equal(s.entry[syl_source_map_key(&s, vehicle, "q", 1)].child, 4);
  assert_int_equal(syl_source_map_key(&s, vehicle, "m", 1), -1);
  assert_piece(&s, s.entry[syl_source_map_key(&s, 3, "m", 1)].value, "4"); /* as Lua: the last */
  assert_piece(&s, s.entry[syl_source_map_place(&s, 3, 2)].value, "8");
  assert_int_equal(syl_source_map_place(&s, 3, 3), -1);
  syl_source_map_free(&s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(map_of_nested_parts_gives_words_names_and_lines),
      cmocka_unit_test(map_of_comments_and_long_texts_keeps_lines_and_sees_nothing_in_them),
      cmocka_unit_test(map_of_every_line_ending_counts_as_lua_does),
      cmocka_unit_test(map_of_functions_in_a_constructor_takes_assignments_for_no_fields),
      cmocka_unit_test(map_of_numbers_reads_each_form_as_one_token),
      cmocka_unit_test(silent_error_of_a_decimal_comma_names_part_field_and_the_right_number),
      cmocka_unit_test(silent_error_of_a_key_given_twice_names_both_lines),
      cmocka_unit_test(silent_error_with_several_reports_the_first_of_the_text),
      cmocka_unit_test(silent_error_is_not_seen_where_nothing_is_lost),
      cmocka_unit_test(silent_error_without_memory_says_so_and_keeps_none),
      cmocka_unit_test(map_of_a_hundred_thousand_brackets_stops_where_lua_has_stopped),
      cmocka_unit_test(map_finds_constructors_and_entries),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
