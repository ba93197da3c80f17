#include "host_home.h"

#include <fcntl.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <lauxlib.h>

#include "bind.h"

#ifdef __APPLE__
#include <mach-o/dyld.h>
#define st_mtim st_mtimespec
#endif

enum { PATH_ROOM = 4096 }; /* bytes of the longest path of a program */

/* ---- home ------------------------------------------------------------------------------------------------------ */

/* The program's own path, resolved; empty when the system does not tell. */
static void program_path(char path[PATH_ROOM]) {
  path[0] = '\0';
#ifdef __APPLE__
  char raw[PATH_ROOM];
  uint32_t room = sizeof raw;
  if (_NSGetExecutablePath(raw, &room) != 0) return;
  char *resolved = realpath(raw, NULL);
  if (resolved != NULL && strlen(resolved) < PATH_ROOM) strcpy(path, resolved);
  free(resolved);
#else
  const ssize_t length = readlink("/proc/self/exe", path, PATH_ROOM - 1);
  path[length > 0 && length < PATH_ROOM - 1 ? length : 0] = '\0';
#endif
}

static bool is_home(lua_State *L, const char *folder) {
  const bool there = access(lua_pushfstring(L, "%s/lua/steelyard/init.lua", folder), R_OK) == 0;
  lua_pop(L, 1);
  return there;
}

/* Cut the last name off a path. */
static void to_parent(char *path) {
  char *slash = strrchr(path, '/');
  path[slash == NULL ? 0 : slash - path] = '\0';
}

void syl_push_home(lua_State *L) {
  const char *asked = getenv("STEELYARD_HOME");
  if (asked != NULL && asked[0] != '\0') {
    if (!is_home(L, asked))
      luaL_error(L, "STEELYARD_HOME is %s, where there is no lua/steelyard/init.lua", asked);
    lua_pushstring(L, asked);
    lua_pushnil(L);
    return;
  }
  char path[PATH_ROOM];
  program_path(path);
  to_parent(path);
  const char *beside = lua_pushfstring(L, "%s/modules.luac", path);
  to_parent(path);
  const char *shared = lua_pushfstring(L, "%s/share/steelyard", path);
  if (is_home(L, shared)) {
    lua_pushfstring(L, "%s/modules.luac", shared);
  } else if (is_home(L, path)) {
    lua_pushstring(L, path);
    lua_pushstring(L, beside);
  } else {
    luaL_error(L, "no Lua files in %s or %s (STEELYARD_HOME can name their folder)", shared, path);
  }
}

/* ---- compiled modules ------------------------------------------------------------------------------------------ */

/* An archive as steelyard/precompile.lua writes it: the size of its list, the list, and the code of one module after the other. An
** entry of the list is a name, zero, the size of the source and the size of the code. Sizes are eight bytes, the lowest first. */
typedef struct archive {
  struct timespec written;
  size_t size;
  char *bytes; /* mapped: a command reads a third of the file at most */
} archive;

typedef struct record {
  uint64_t source_size, code_size;
  const char *code;
} record;

enum { SIZE = 8 }; /* bytes of a size */

static int l_unmap(lua_State *L) {
  archive *a = lua_touserdata(L, 1);
  if (a->size > 0) munmap(a->bytes, a->size);
  a->size = 0;
  return 0;
}

/* Push the archive in a file; without one it is empty. */
static void push_archive(lua_State *L, const char *path) {
  archive *a = lua_newuserdatauv(L, sizeof *a, 0);
  a->size = 0;
  lua_createtable(L, 0, 1);
  lua_pushcfunction(L, l_unmap);
  lua_setfield(L, -2, "__gc");
  lua_setmetatable(L, -2);
  const int file = path == NULL ? -1 : open(path, O_RDONLY | O_CLOEXEC);
  if (file < 0) return;
  struct stat about;
  if (fstat(file, &about) == 0 && S_ISREG(about.st_mode) && about.st_size > 0) {
    void *bytes = mmap(NULL, (size_t)about.st_size, PROT_READ, MAP_PRIVATE, file, 0);
    if (bytes != MAP_FAILED) {
      a->bytes = bytes;
      a->size = (size_t)about.st_size;
      a->written = about.st_mtim;
    }
  }
  close(file);
}

static uint64_t read_size(const char bytes[8]) {
  uint64_t size = 0;
  for (int i = 7; i >= 0; i--) size = size << 8 | (unsigned char)bytes[i];
  return size;
}

static bool find_record(const archive *a, const char *name, record *out) {
  if (a->size < SIZE) return false;
  const uint64_t listed = read_size(a->bytes);
  if (listed > a->size - SIZE) return false;
  const char *at = a->bytes + SIZE, *end = at + listed;
  const char *code = end;
  while (at < end) {
    const char *found = at;
    at += strnlen(at, (size_t)(end - at));
    if (end - at < 1 + 2 * SIZE) return false;
    *out = (record){read_size(at + 1), read_size(at + 1 + SIZE), code};
    at += 1 + 2 * SIZE;
    if (out->code_size > (size_t)(a->bytes + a->size - code)) return false;
    if (strcmp(found, name) == 0) return true;
    code += out->code_size;
  }
  return false;
}

/* Push the compiled module as a function, if its source is still the one it was made from. */
static bool push_compiled(lua_State *L, const archive *a, const char *name, const char *source) {
  record r;
  struct stat about;
  if (!find_record(a, name, &r) || stat(source, &about) != 0) return false;
  const bool older =
      about.st_mtim.tv_sec < a->written.tv_sec ||
      (about.st_mtim.tv_sec == a->written.tv_sec && about.st_mtim.tv_nsec <= a->written.tv_nsec);
  if (!older || (uint64_t)about.st_size != r.source_size) return false;
  if (luaL_loadbufferx(L, r.code, (size_t)r.code_size, name, "b") == LUA_OK) return true;
  lua_pop(L, 1); /* made by another Lua 5.4 */
  return false;
}

/* ---- require --------------------------------------------------------------------------------------------------- */

/* Searcher: steelyard.a.b is home/lua/steelyard/a/b.lua, without a walk over package.path. Upvalues: home, archive. */
static int l_search_own(lua_State *L) {
  const char *name = luaL_checkstring(L, 1);
  if (strncmp(name, "steelyard", 9) != 0 || (name[9] != '.' && name[9] != '\0')) return 0;
  const char *home = lua_tostring(L, lua_upvalueindex(1));
  const char *below = luaL_gsub(L, name, ".", "/");
  const char *path =
      lua_pushfstring(L, name[9] == '\0' ? "%s/lua/%s/init.lua" : "%s/lua/%s.lua", home, below);
  if (!push_compiled(L, lua_touserdata(L, lua_upvalueindex(2)), name, path)) {
    const int status = luaL_loadfilex(L, path, "t");
    if (status == LUA_ERRFILE) return 1; /* the reason goes into require's list of places searched */
    if (status != LUA_OK) return lua_error(L);
  }
  lua_pushstring(L, path);
  return 2;
}

void syl_set_search(lua_State *L, const char *home, const char *compiled) {
  lua_getglobal(L, "package");
  lua_getfield(L, -1, "path"); /* what LUA_PATH and Lua's defaults name comes after our own files */
  lua_pushfstring(L, "%s/lua/?.lua;%s/lua/?/init.lua;%s", home, home, lua_tostring(L, -1));
  lua_setfield(L, -3, "path");
  lua_pop(L, 1);
  lua_getfield(L, -1, "searchers");
  for (lua_Integer i = luaL_len(L, -1); i >= 2; i--) { /* after the one for preloaded modules */
    lua_geti(L, -1, i);
    lua_seti(L, -2, i + 1);
  }
  lua_pushstring(L, home);
  push_archive(L, compiled);
  lua_pushcclosure(L, l_search_own, 2);
  lua_seti(L, -2, 2);
  lua_pop(L, 2);
  luaL_getsubtable(L, LUA_REGISTRYINDEX, LUA_PRELOAD_TABLE);
  lua_pushcfunction(L, luaopen_steelyard_core);
  lua_setfield(L, -2, "steelyard.core");
  lua_pop(L, 1);
}
