#include "command/host_home.h"

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

#include "bind/check_word.h"
#include "bind/open.h"

#ifdef __APPLE__
#include <mach-o/dyld.h>
#define st_mtim st_mtimespec
#endif

enum { PATH_ROOM = 4096 }; /* bytes of the longest path of a program */

/* ---- home ------------------------------------------------------------------------------------------------------ */

static bool resolve(const char *name, char path[PATH_ROOM]) {
  char *resolved = realpath(name, NULL);
  const bool fits = resolved != NULL && strlen(resolved) < PATH_ROOM;
  if (fits) memcpy(path, resolved, strlen(resolved) + 1);
  free(resolved);
  return fits;
}

/* As the shell found it: a name with a slash is a path, any other lies in a folder of PATH. */
static bool resolve_called(lua_State *L, const char *called, char path[PATH_ROOM]) {
  if (strchr(called, '/') != NULL) return resolve(called, path);
  const char *folders = getenv("PATH");
  while (folders != NULL && *folders != '\0') {
    const size_t length = strcspn(folders, ":");
    lua_pushlstring(L, length > 0 ? folders : ".", length > 0 ? length : 1);
    const char *name = lua_pushfstring(L, "%s/%s", lua_tostring(L, -1), called);
    const bool found = access(name, X_OK) == 0 && resolve(name, path);
    lua_pop(L, 2);
    if (found) return true;
    folders += folders[length] == ':' ? length + 1 : length;
  }
  return false;
}

/* The program's own path, resolved; where the system does not name it (no /proc is mounted), from how it was called. */
static void program_path(lua_State *L, const char *called, char path[PATH_ROOM]) {
  path[0] = '\0';
#ifdef __APPLE__
  char raw[PATH_ROOM];
  uint32_t room = sizeof raw;
  if (_NSGetExecutablePath(raw, &room) == 0 && resolve(raw, path)) return;
#else
  const ssize_t length = readlink("/proc/self/exe", path, PATH_ROOM - 1);
  path[length > 0 && length < PATH_ROOM - 1 ? length : 0] = '\0';
  if (path[0] != '\0') return;
#endif
  if (called == NULL || !resolve_called(L, called, path)) path[0] = '\0';
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

void syl_push_home(lua_State *L, const char *called) {
  const char *asked = getenv("STEELYARD_HOME");
  if (asked != NULL && asked[0] != '\0') {
    if (!is_home(L, asked))
      luaL_error(L, "STEELYARD_HOME is %s, where there is no lua/steelyard/init.lua", asked);
    lua_pushstring(L, asked);
    lua_pushnil(L);
    return;
  }
  char path[PATH_ROOM];
  program_path(L, called, path);
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

/* An archive as steelyard/precompile.lua writes it: the check word of its list, its size, the list, and the code of one module after
** the other. An entry of the list is the size of a name, of the source and of the code, the check word of the code, and the name. Numbers
** are eight bytes, the lowest first. Code whose check word is another is not run: Lua does not verify bytecode. */
typedef struct archive {
  struct timespec written;
  size_t size;
  char *bytes; /* mapped: a command reads a third of the file at most */
} archive;

typedef struct record {
  uint64_t source_size, code_size, check;
  const char *code;
} record;

enum {
  NUMBER = 8,         /* bytes of a number */
  FRONT = 2 * NUMBER, /* bytes in front of the list */
  ENTRY = 4 * NUMBER  /* and of an entry in front of its name */
};

static int l_unmap(lua_State *L) {
  archive *a = lua_touserdata(L, 1);
  if (a->size > 0) munmap(a->bytes, a->size);
  a->size = 0;
  return 0;
}

/* Is the list whole? Else the archive counts as empty. */
static bool is_sound(const archive *a) {
  if (a->size < FRONT) return false;
  const uint64_t listed = syl_number(a->bytes + NUMBER);
  return listed <= a->size - FRONT &&
         syl_check_word(0, a->bytes + FRONT, (size_t)listed) == syl_number(a->bytes);
}

/* Push the archive in a file; without one, or when its list is not whole, it is empty. */
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
  if (a->size > 0 && !is_sound(a)) {
    munmap(a->bytes, a->size);
    a->size = 0;
  }
  close(file);
}

static bool find_record(const archive *a, const char *name, record *out) {
  if (a->size == 0) return false;
  const char *at = a->bytes + FRONT, *const end = at + syl_number(a->bytes + NUMBER);
  const char *code = end;
  const size_t length = strlen(name);
  while (end - at >= ENTRY) {
    const uint64_t name_size = syl_number(at);
    *out = (record){syl_number(at + NUMBER), syl_number(at + 2 * NUMBER), syl_number(at + 3 * NUMBER), code};
    at += ENTRY;
    if (name_size > (size_t)(end - at) || out->code_size > (size_t)(a->bytes + a->size - code)) return false;
    if (name_size == length && memcmp(at, name, length) == 0) return true;
    at += name_size;
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
  if (syl_check_word(0, r.code, (size_t)r.code_size) != r.check) return false;
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

/* Modules of our own that are written in C (lua/extra): BUILD/lua beside BUILD/steelyard, PREFIX/lib/lua/5.4 beside PREFIX/bin. What
** LUA_CPATH and Lua's defaults name comes after. The table `package` is on top of the stack. */
static void set_search_for_c(lua_State *L, const char *called) {
  char folder[PATH_ROOM];
  program_path(L, called, folder);
  if (folder[0] == '\0') return;
  to_parent(folder);
  lua_getfield(L, -1, "cpath");
  lua_pushfstring(L, "%s/lua/?.so;%s/../lib/lua/5.4/?.so;%s", folder, folder, lua_tostring(L, -1));
  lua_setfield(L, -3, "cpath");
  lua_pop(L, 1);
}

void syl_set_search(lua_State *L, const char *home, const char *compiled, const char *called) {
  lua_getglobal(L, "package");
  set_search_for_c(L, called);
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
