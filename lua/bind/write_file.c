#include "bind/write_file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <lauxlib.h>

#include "bind/errors.h"

enum {
  ROOM = 4096, /* bytes of the longest path, as Linux has it */
  TRIES = 100  /* names beside the path that may be left from runs that were killed */
};

/* ---- one file -------------------------------------------------------------------------------------------------- */

/* A new file beside `path`, its name in `beside`; a descriptor, or -1 with errno set. */
static int open_beside(const char *path, char beside[ROOM]) {
  for (int i = 0; i < TRIES; i++) {
    const int length =
        i == 0 ? snprintf(beside, ROOM, "%s.new", path) : snprintf(beside, ROOM, "%s.new%d", path, i);
    if (length < 0 || length >= ROOM) {
      errno = ENAMETOOLONG;
      return -1;
    }
    const int fd = open(beside, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
    if (fd >= 0 || errno != EEXIST) return fd;
  }
  return -1;
}

bool syl_write_all(int fd, const char *bytes, size_t size) {
  while (size > 0) {
    const ssize_t count = write(fd, bytes, size);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return false;
    bytes += count;
    size -= (size_t)count;
  }
  return true;
}

/* On the disk before it gets its name: after a power cut there is the old file or the new one. Some file systems cannot
** and say EINVAL; they keep what they can. */
bool syl_to_disk(int fd) { return fsync(fd) == 0 || errno == EINVAL; }

/* The owner and the permissions of the file that will be replaced. Only root may give a file away: for others it stays
** theirs, as with every editor. */
static bool take_after(int fd, const struct stat *old) {
  if (fchown(fd, old->st_uid, old->st_gid) != 0 && errno != EPERM) return false;
  return fchmod(fd, old->st_mode & 07777) == 0;
}

/* The folder's entry to the disk as well; where that is not possible the file itself is safe already. */
static void folder_to_disk(const char *path) {
  char folder[ROOM];
  const char *slash = strrchr(path, '/');
  const size_t length = slash == NULL ? 0 : (size_t)(slash - path) + 1;
  if (length >= ROOM - 1) return;
  memcpy(folder, path, length);
  memcpy(folder + length, ".", sizeof ".");
  const int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  (void)fsync(fd);
  close(fd);
}

/* Give `beside` the name `path` where nothing lies yet, in one step. */
static syl_written name_new(const char *beside, const char *path) {
  if (link(beside, path) == 0) {
    unlink(beside);
    return SYL_WRITTEN;
  }
  if (errno == EEXIST) return SYL_WRITE_THERE;
  if (errno != EPERM && errno != ENOTSUP && errno != ENOSYS && errno != EMLINK) return SYL_WRITE_FAILED;
  /* no links on this file system: an empty file of our own holds the name, and rename replaces that */
  const int held = open(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (held < 0) return errno == EEXIST ? SYL_WRITE_THERE : SYL_WRITE_FAILED;
  close(held);
  if (rename(beside, path) == 0) return SYL_WRITTEN;
  const int error = errno;
  unlink(path);
  errno = error;
  return SYL_WRITE_FAILED;
}

static syl_written write_at(const char *path, const char *bytes, size_t size, const struct stat *old) {
  char beside[ROOM];
  const int fd = open_beside(path, beside);
  if (fd < 0) return SYL_WRITE_FAILED;
  bool fine = syl_write_all(fd, bytes, size) && (old == NULL || take_after(fd, old)) && syl_to_disk(fd);
  int error = errno;
  if (close(fd) != 0 && fine) {
    fine = false;
    error = errno;
  }
  syl_written outcome = SYL_WRITE_FAILED;
  if (fine) {
    outcome = old == NULL                 ? name_new(beside, path)
              : rename(beside, path) == 0 ? SYL_WRITTEN
                                          : SYL_WRITE_FAILED;
    error = errno;
  }
  if (outcome == SYL_WRITTEN)
    folder_to_disk(path);
  else
    unlink(beside);
  errno = error;
  return outcome;
}

/* Also behind a link. */
static bool is_folder(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* May `path` be written? `target` becomes the file that is replaced, which the caller frees, or NULL where nothing lies. */
static syl_written find_old(const char *path, bool replace, char **target, struct stat *about) {
  *target = NULL;
  if (lstat(path, about) != 0) return errno == ENOENT ? SYL_WRITTEN : SYL_WRITE_FAILED;
  if (is_folder(path)) return SYL_WRITE_FOLDER;
  if (!replace) return SYL_WRITE_THERE;
  *target = realpath(path, NULL); /* behind a link it is the file that is replaced, not the link */
  if (*target == NULL || stat(*target, about) != 0) return SYL_WRITE_FAILED;
  return S_ISREG(about->st_mode) ? SYL_WRITTEN : SYL_WRITE_KIND;
}

static void free_keeping_errno(char *text) {
  const int error = errno;
  free(text);
  errno = error;
}

syl_written syl_write_file(const char *path, const char *bytes, size_t size, bool replace) {
  struct stat about;
  char *target;
  syl_written outcome = find_old(path, replace, &target, &about);
  if (outcome == SYL_WRITTEN)
    outcome = target == NULL ? write_at(path, bytes, size, NULL) : write_at(target, bytes, size, &about);
  free_keeping_errno(target);
  return outcome;
}

syl_written syl_name_file(const char *finished, const char *path, bool replace) {
  struct stat about;
  char *target;
  syl_written outcome = find_old(path, replace, &target, &about);
  if (outcome == SYL_WRITTEN)
    outcome = target == NULL                  ? name_new(finished, path)
              : rename(finished, target) == 0 ? SYL_WRITTEN
                                              : SYL_WRITE_FAILED;
  free_keeping_errno(target);
  if (outcome == SYL_WRITTEN) folder_to_disk(path);
  return outcome;
}

/* ---- for Lua --------------------------------------------------------------------------------------------------- */

static int refuse(lua_State *L, const char *code, const char *path, const char *message, const char *hint) {
  return syl_fail(L, &(syl_failure){.code = code, .message = message, .file = path, .hint = hint});
}

static int refuse_errno(lua_State *L, const char *path, int error) {
  if (error == ENOENT || error == ENOTDIR)
    return refuse(L, "io", path, "cannot be written: its folder is not there", "make the folder first");
  if (error == EACCES || error == EPERM || error == EROFS)
    return refuse(L, "io", path, "cannot be written: this folder may not be written to", NULL);
  return refuse(L, "io", path, lua_pushfstring(L, "cannot be written: %s", strerror(error)), NULL);
}

int syl_refuse_write(lua_State *L, const char *path, syl_written outcome) {
  switch (outcome) {
  case SYL_WRITE_THERE:
    return refuse(L, "clash", path, "is already there and stays as it is", "choose another name");
  case SYL_WRITE_FOLDER: return refuse(L, "io", path, "is a folder", "give the name of a file in it");
  case SYL_WRITE_KIND: return refuse(L, "io", path, "is not a regular file and is not replaced", NULL);
  default: return refuse_errno(L, path, errno);
  }
}

const char *syl_check_path(lua_State *L, int argument) {
  size_t length;
  const char *path = luaL_checklstring(L, argument, &length);
  luaL_argcheck(L, strlen(path) == length, argument, "a path holds no zero byte");
  return path;
}

/* core.write_file(path, bytes, replace?) */
static int l_write_file(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  size_t size;
  const char *bytes = luaL_checklstring(L, 2, &size);
  if (path[0] == '\0') return refuse(L, "io", "(no name)", "a file name is needed", NULL);
  const syl_written outcome = syl_write_file(path, bytes, size, lua_toboolean(L, 3));
  return outcome == SYL_WRITTEN ? 0 : syl_refuse_write(L, path, outcome);
}

/* core.check_write(path, replace?) */
static int l_check_write(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  struct stat about;
  char *target;
  const syl_written outcome = find_old(path, lua_toboolean(L, 2), &target, &about);
  free_keeping_errno(target);
  return outcome == SYL_WRITTEN ? 0 : syl_refuse_write(L, path, outcome);
}

/* core.is_there(path) -> boolean */
static int l_is_there(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  struct stat about;
  const bool there = lstat(path, &about) == 0;
  if (!there && errno != ENOENT && errno != ENOTDIR)
    return refuse(L, "io", path, lua_pushfstring(L, "cannot be looked at: %s", strerror(errno)), NULL);
  lua_pushboolean(L, there);
  return 1;
}

/* core.is_folder(path) -> boolean */
static int l_is_folder(lua_State *L) {
  lua_pushboolean(L, is_folder(syl_check_path(L, 1)));
  return 1;
}

/* core.is_link(path) -> boolean */
static int l_is_link(lua_State *L) {
  struct stat about;
  lua_pushboolean(L, lstat(syl_check_path(L, 1), &about) == 0 && S_ISLNK(about.st_mode));
  return 1;
}

/* core.make_folder(path): a folder that is there already is left as it is */
static int l_make_folder(lua_State *L) {
  const char *path = syl_check_path(L, 1);
  if (mkdir(path, 0777) == 0 || (errno == EEXIST && is_folder(path))) return 0;
  if (errno == EEXIST) return refuse(L, "io", path, "is a file, and a folder of that name is needed", NULL);
  return refuse_errno(L, path, errno);
}

/* core.same_file(a, b) -> boolean: two names of one file; false where one of them is not there */
static int l_same_file(lua_State *L) {
  const char *a = syl_check_path(L, 1), *b = syl_check_path(L, 2);
  struct stat one, two;
  lua_pushboolean(L, stat(a, &one) == 0 && stat(b, &two) == 0 && one.st_dev == two.st_dev &&
                         one.st_ino == two.st_ino);
  return 1;
}

void syl_open_write_file(lua_State *L) {
  lua_pushcfunction(L, l_write_file);
  lua_setfield(L, -2, "write_file");
  lua_pushcfunction(L, l_check_write);
  lua_setfield(L, -2, "check_write");
  lua_pushcfunction(L, l_is_there);
  lua_setfield(L, -2, "is_there");
  lua_pushcfunction(L, l_is_folder);
  lua_setfield(L, -2, "is_folder");
  lua_pushcfunction(L, l_is_link);
  lua_setfield(L, -2, "is_link");
  lua_pushcfunction(L, l_make_folder);
  lua_setfield(L, -2, "make_folder");
  lua_pushcfunction(L, l_same_file);
  lua_setfield(L, -2, "same_file");
}
