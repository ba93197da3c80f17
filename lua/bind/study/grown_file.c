#include "bind/study/grown_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/write_file.h"

#define GROWN "steelyard.grown_file"

/* User value 1 is the path. */
typedef struct grown {
  int fd; /* -1: closed */
} grown;

static const char *push_path(lua_State *L, int index) {
  lua_getiuservalue(L, index, 1);
  return lua_tostring(L, -1);
}

static int refuse(lua_State *L, const char *code, const char *path, const char *message) {
  return syl_fail(L, &(syl_failure){.code = code, .message = message, .file = path});
}

static int refuse_reading(lua_State *L, const char *path, int error) {
  return refuse(L, "read", path, lua_pushfstring(L, "cannot be read: %s", strerror(error)));
}

static grown *check_open(lua_State *L) {
  grown *f = luaL_checkudata(L, 1, GROWN);
  if (f->fd < 0) luaL_argerror(L, 1, "the file is closed");
  return f;
}

static int l_close(lua_State *L) {
  grown *f = luaL_checkudata(L, 1, GROWN);
  if (f->fd >= 0) close(f->fd);
  f->fd = -1;
  return 0;
}

static off_t size_of(lua_State *L, const grown *f) {
  struct stat about;
  if (fstat(f->fd, &about) != 0) refuse_reading(L, push_path(L, 1), errno);
  return about.st_size;
}

static int l_size(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)size_of(L, check_open(L)));
  return 1;
}

static int l_read(lua_State *L) {
  const grown *f = check_open(L);
  const lua_Integer most = luaL_checkinteger(L, 2);
  luaL_argcheck(L, most >= 0, 2, "0 bytes or more expected");
  luaL_Buffer bytes;
  char *into = luaL_buffinitsize(L, &bytes, (size_t)most);
  size_t have = 0;
  while (have < (size_t)most) {
    const ssize_t count = read(f->fd, into + have, (size_t)most - have);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return refuse_reading(L, push_path(L, 1), errno);
    if (count == 0) break;
    have += (size_t)count;
  }
  luaL_pushresultsize(&bytes, have);
  return 1;
}

static int l_seek(lua_State *L) {
  const grown *f = check_open(L);
  const lua_Integer at = luaL_checkinteger(L, 2);
  if (lseek(f->fd, (off_t)at, SEEK_SET) < 0) return refuse_reading(L, push_path(L, 1), errno);
  return 0;
}

static bool cut(const grown *f, off_t size) {
  return ftruncate(f->fd, size) == 0 && lseek(f->fd, size, SEEK_SET) >= 0;
}

static int l_cut(lua_State *L) {
  const grown *f = check_open(L);
  const lua_Integer size = luaL_checkinteger(L, 2);
  luaL_argcheck(L, size >= 0 && size <= (lua_Integer)size_of(L, f), 2, "beyond the file's end");
  return cut(f, (off_t)size) ? 0 : syl_refuse_write(L, push_path(L, 1), SYL_WRITE_FAILED);
}

static int l_append(lua_State *L) {
  const grown *f = check_open(L);
  size_t size;
  const char *bytes = luaL_checklstring(L, 2, &size);
  const off_t before = size_of(L, f);
  if (syl_write_all(f->fd, bytes, size)) return 0;
  const int error = errno;
  (void)cut(f, before); /* where even this fails, the piece lacks its end, and whoever reads it sees that */
  errno = error;
  return syl_refuse_write(L, push_path(L, 1), SYL_WRITE_FAILED);
}

static int l_finish(lua_State *L) {
  const grown *f = check_open(L);
  const char *path = syl_check_path(L, 2), *own = push_path(L, 1);
  if (!syl_to_disk(f->fd)) return syl_refuse_write(L, own, SYL_WRITE_FAILED);
  const syl_written outcome = syl_name_file(own, path, lua_toboolean(L, 3));
  return outcome == SYL_WRITTEN ? l_close(L) : syl_refuse_write(L, path, outcome);
}

static int l_remove(lua_State *L) {
  check_open(L);
  const char *path = push_path(L, 1);
  if (unlink(path) != 0)
    return refuse(L, "io", path, lua_pushfstring(L, "cannot be removed: %s", strerror(errno)));
  return l_close(L);
}

/* The file at argument 1; its descriptor is still to be opened. */
static grown *push_file(lua_State *L) {
  static const luaL_Reg methods[] = {{"size", l_size},     {"read", l_read},     {"seek", l_seek},
                                     {"cut", l_cut},       {"append", l_append}, {"finish", l_finish},
                                     {"remove", l_remove}, {"close", l_close},   {NULL, NULL}};
  static const luaL_Reg ends[] = {{"__close", l_close}, {"__gc", l_close}, {NULL, NULL}};
  grown *f = lua_newuserdatauv(L, sizeof *f, 1);
  *f = (grown){.fd = -1};
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, -2, 1);
  if (luaL_newmetatable(L, GROWN)) {
    luaL_setfuncs(L, ends, 0);
    luaL_newlib(L, methods);
    lua_setfield(L, -2, "__index");
  }
  lua_setmetatable(L, -2);
  return f;
}

static bool is_regular(int fd) {
  struct stat about;
  return fstat(fd, &about) == 0 && S_ISREG(about.st_mode);
}

static int l_grow_file(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  grown *f = push_file(L);
  f->fd = open(path, O_RDWR | O_CREAT | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, 0666);
  if (f->fd < 0)
    return syl_refuse_write(L, path,
                            errno == EISDIR  ? SYL_WRITE_FOLDER
                            : errno == ELOOP ? SYL_WRITE_KIND
                                             : SYL_WRITE_FAILED);
  if (!is_regular(f->fd)) return syl_refuse_write(L, path, SYL_WRITE_KIND);
  struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
  if (fcntl(f->fd, F_SETLK, &whole) != 0 && (errno == EACCES || errno == EAGAIN))
    return syl_fail(L, &(syl_failure){.code = "clash",
                                      .message = "another run is writing it",
                                      .file = path,
                                      .hint = "wait for it, or choose another name"});
  return 1;
}

static int l_read_grown(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  grown *f = push_file(L);
  f->fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
  if (f->fd < 0) {
    if (errno == ENOENT) return refuse(L, "read", path, "is not there");
    return refuse_reading(L, path, errno);
  }
  if (!is_regular(f->fd)) return refuse(L, "read", path, "is not a regular file");
  return 1;
}

void syl_open_grown_file(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"grow_file", l_grow_file}, {"read_grown", l_read_grown}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
