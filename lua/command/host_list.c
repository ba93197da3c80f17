#include "command/host_list.h"

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include <lauxlib.h>

static const char *const steps[] = {"start",  "book",  "lay out", "build", "weigh",
                                    "set up", "prove", "keep",    "other"};
enum { STEPS = sizeof steps / sizeof *steps, OTHER = STEPS - 1 };

typedef struct script_entry {
  const char *name; /* the list of names has it */
  char purpose[256];
  int step;
} script_entry;

void syl_push_script_names(lua_State *L, const char *home) {
  lua_newtable(L);
  DIR *folder = opendir(lua_pushfstring(L, "%s/scripts", home));
  lua_pop(L, 1);
  if (folder == NULL) return;
  lua_Integer count = 0;
  for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
    const size_t length = strlen(entry->d_name);
    if (length <= 4 || strcmp(entry->d_name + length - 4, ".lua") != 0) continue;
    lua_pushlstring(L, entry->d_name, length - 4);
    lua_seti(L, -2, ++count);
  }
  closedir(folder);
  lua_getglobal(L, "table");
  lua_getfield(L, -1, "sort");
  lua_pushvalue(L, -3);
  lua_call(L, 1, 0);
  lua_pop(L, 1);
}

/* What follows `start` in a line, without the blanks around it, or NULL. Cuts the line's end off. */
static char *rest_after(char *line, const char *start) {
  if (strncmp(line, start, strlen(start)) != 0) return NULL;
  char *rest = line + strlen(start);
  rest += strspn(rest, " \t");
  size_t length = strlen(rest);
  while (length > 0 && strchr(" \t\r\n", rest[length - 1]) != NULL) length--;
  rest[length] = '\0';
  return rest;
}

static int step_of(const char *word) {
  for (int i = 0; i < OTHER; i++)
    if (strcmp(word, steps[i]) == 0) return i;
  return OTHER;
}

/* From the comment a script begins with. */
static void read_top(const char *path, script_entry *out) {
  FILE *file = fopen(path, "r");
  if (file == NULL) return;
  char line[512];
  while (fgets(line, sizeof line, file) != NULL && (line[0] == '#' || strncmp(line, "--", 2) == 0)) {
    const char *rest;
    if (out->purpose[0] == '\0' && (rest = rest_after(line, "---")) != NULL)
      snprintf(out->purpose, sizeof out->purpose, "%.*s", (int)sizeof out->purpose - 1, rest);
    else if ((rest = rest_after(line, "-- Step:")) != NULL)
      out->step = step_of(rest);
  }
  fclose(file);
}

static void print_step(const script_entry *found, lua_Integer count, int step, int width) {
  bool begun = false;
  for (lua_Integer i = 0; i < count; i++) {
    if (found[i].step != step) continue;
    if (!begun) printf("%s\n", steps[step]);
    begun = true;
    const bool bare = found[i].purpose[0] == '\0';
    printf("  %-*s%s%s\n", bare ? 0 : width, found[i].name, bare ? "" : "  ", found[i].purpose);
  }
}

void syl_list_scripts(lua_State *L, const char *home) {
  syl_push_script_names(L, home);
  const int names = lua_gettop(L);
  const lua_Integer count = luaL_len(L, names);
  script_entry *found = lua_newuserdatauv(L, (size_t)(count + 1) * sizeof *found, 0);
  int width = 0;
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, names, i + 1);
    found[i] = (script_entry){.name = lua_tostring(L, -1), .step = OTHER};
    const int length = (int)strlen(found[i].name);
    if (length > width) width = length;
    read_top(lua_pushfstring(L, "%s/scripts/%s.lua", home, found[i].name), &found[i]);
    lua_pop(L, 2);
  }
  for (int step = 0; step < STEPS; step++) print_step(found, count, step, width);
  lua_settop(L, names - 1);
}
