/* folder.c - the names of the files in a folder. */
#include <dirent.h>
#include <errno.h>
#include <string.h>

#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/open.h"
#include "bind/write_file.h"

/* Closes a folder that is being read, also where Lua raised an error half-way. */
static int l_close(lua_State *L) {
  DIR **open = lua_touserdata(L, 1);
  if (*open != NULL) closedir(*open);
  *open = NULL;
  return 0;
}

static DIR **new_reader(lua_State *L) {
  DIR **open = lua_newuserdatauv(L, sizeof *open, 0);
  *open = NULL;
  lua_createtable(L, 0, 1);
  lua_pushcfunction(L, l_close);
  lua_setfield(L, -2, "__gc");
  lua_setmetatable(L, -2);
  return open;
}

static int refuse(lua_State *L, const char *path, int error) {
  const char *message = error == ENOENT    ? "there is no such folder"
                        : error == ENOTDIR ? "is not a folder"
                        : error == EACCES  ? "may not be read"
                                           : lua_pushfstring(L, "cannot be read: %s", strerror(error));
  return syl_fail(L, &(syl_failure){.code = "read", .message = message, .file = path});
}

/* core.folder(path) -> list of the names in a folder, in no order; hidden ones, which begin with a point, are left out */
static int l_folder(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  DIR **open = new_reader(L);
  *open = opendir(path);
  if (*open == NULL) return refuse(L, path, errno);
  lua_newtable(L);
  lua_Integer count = 0;
  errno = 0;
  for (const struct dirent *entry; (entry = readdir(*open)) != NULL; errno = 0) {
    if (entry->d_name[0] == '.') continue;
    lua_pushstring(L, entry->d_name);
    lua_seti(L, -2, ++count);
  }
  if (errno != 0) return refuse(L, path, errno);
  closedir(*open);
  *open = NULL;
  return 1;
}

void syl_open_folder(lua_State *L) {
  lua_pushcfunction(L, l_folder);
  lua_setfield(L, -2, "folder");
}
