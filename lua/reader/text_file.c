#include "reader/text_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <lauxlib.h>

#define FILES_READ "steelyard.files_read" /* in the registry: name = true */

/* ---- is it text? ------------------------------------------------------------------------------------------ */

static bool not_text(syl_problem *out, const char *code, const char *message, const char *hint) {
  *out = (syl_problem){.line = 0};
  syl_keep_text(out->code, sizeof out->code, code, strlen(code));
  syl_keep_text(out->message, sizeof out->message, message, strlen(message));
  syl_keep_text(out->hint, sizeof out->hint, hint, strlen(hint));
  return false;
}

/* Length of the UTF-8 letter at `s`, or 0: no overlong forms, no surrogates, nothing above U+10FFFF.
** Source  The Unicode Standard, table 3-7 (well-formed UTF-8 byte sequences). */
static size_t letter_length(const unsigned char *s, size_t left) {
  const unsigned char first = s[0];
  if (first < 0x80) return 1;
  const size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || length > left) return 0;
  const unsigned char lowest = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
  const unsigned char highest = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
  if (s[1] < lowest || s[1] > highest) return 0;
  for (size_t i = 2; i < length; i++)
    if ((s[i] & 0xC0) != 0x80) return 0;
  return length;
}

/* How many bytes from `s` on are plain letters, other than zero, in whole words of eight. */
static size_t plain_words(const unsigned char *s, size_t left) {
  const uint64_t lows = 0x0101010101010101u, highs = 0x8080808080808080u;
  size_t i = 0;
  for (; left - i >= sizeof lows; i += sizeof lows) {
    uint64_t w;
    memcpy(&w, s + i, sizeof w);
    if (((w | (w - lows)) & highs) != 0)
      break; /* a byte of 0x80 or more, or one that borrows: zero, or behind a zero */
  }
  return i;
}

static bool describe_place(const unsigned char *s, size_t at, syl_problem *out) {
  int line = 1;
  size_t line_start = 0;
  for (size_t i = 0; i < at; i++)
    if (s[i] == '\n') {
      line++;
      line_start = i + 1;
    }
  not_text(out, "read", "", "save the file as UTF-8");
  snprintf(out->message, sizeof out->message, "%s, byte %zu of this line (0x%02X)",
           s[at] == 0 ? "is not text: a zero byte" : "is not UTF-8", at - line_start + 1, s[at]);
  out->line = line;
  return false;
}

static bool check_letters(const unsigned char *s, size_t size, syl_problem *out) {
  for (size_t i = plain_words(s, size); i < size; i += plain_words(s + i, size - i)) {
    const size_t length = s[i] == 0 ? 0 : letter_length(s + i, size - i);
    if (length == 0) return describe_place(s, i, out);
    i += length;
  }
  return true;
}

bool syl_is_line(const char *text, size_t length) {
  for (size_t i = 0; i < length; i++)
    if ((unsigned char)text[i] < 0x20 || text[i] == 0x7f) return false;
  return length > 0;
}

static bool starts_with(const char *bytes, size_t size, const char *start, size_t length) {
  return size >= length && memcmp(bytes, start, length) == 0;
}

size_t syl_text_mark(const char *bytes, size_t size) {
  return starts_with(bytes, size, "\xEF\xBB\xBF", 3) ? 3 : 0;
}

bool syl_text_check(const char *bytes, size_t size, syl_problem *out) {
  if (size == 0) return not_text(out, "read", "is empty", "");
  if (size > SYL_MOST_BYTES) {
    not_text(out, "limit", "", "a vehicle file has 4 MiB at most");
    snprintf(out->message, sizeof out->message, "is too long, %zu bytes", size);
    return false;
  }
  if (starts_with(bytes, size, "\x1bLua", 4))
    return not_text(out, "read", "is a compiled Lua chunk", "a vehicle file is read as text");
  if (starts_with(bytes, size, "\xFF\xFE", 2) || starts_with(bytes, size, "\xFE\xFF", 2))
    return not_text(out, "read", "is UTF-16", "save the file as UTF-8");
  return check_letters((const unsigned char *)bytes, size, out);
}

/* ---- reading ---------------------------------------------------------------------------------------------- */

static int refuse(lua_State *L, const char *path, const char *message, const char *hint) {
  return syl_fail(L, &(syl_failure){.code = "read", .message = message, .file = path, .hint = hint});
}

static int refuse_errno(lua_State *L, const char *path, int error) {
  if (error == ELOOP)
    return refuse(L, path, "is or lies behind a link",
                  "a file that a vehicle names lies in its folder itself");
  if (error == ENOENT || error == ENOTDIR) return refuse(L, path, "there is no such file", NULL);
  if (error == EACCES || error == EPERM) return refuse(L, path, "may not be read", NULL);
  return refuse(L, path, lua_pushfstring(L, "cannot be read: %s", strerror(error)), NULL);
}

static int check_kind(lua_State *L, const char *path, const struct stat *about, size_t most,
                      const char *limit) {
  const mode_t mode = about->st_mode;
  if (S_ISDIR(mode)) return refuse(L, path, "is a folder, not a file", NULL);
  if (S_ISFIFO(mode)) return refuse(L, path, "is a pipe, not a file", NULL);
  if (!S_ISREG(mode)) return refuse(L, path, "is a device, not a file", NULL);
  if (about->st_size == 0) return refuse(L, path, "is empty", NULL);
  if (about->st_size > (long long)most)
    return syl_fail(
        L, &(syl_failure){.code = "limit",
                          .message = lua_pushfstring(L, "is too long, %I bytes", (LUAI_UACINT)about->st_size),
                          .file = path,
                          .hint = limit});
  return 0;
}

/* Opened without waiting, should it have become a pipe since it was looked at. */
enum { LOOK = O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC };

/* A path, or with a folder a path below it. */
typedef struct place {
  const char *folder, *name;
} place;

/* One step down from the folder `fd`, which is closed. Links are not followed: they fail with ELOOP. */
static int step_down(int fd, const char *name, size_t length) {
  char piece[256]; /* no usual system has longer names than 255 bytes */
  int below = -1, error = ENAMETOOLONG;
  if (length < sizeof piece) {
    memcpy(piece, name, length);
    piece[length] = '\0';
    below = openat(fd, piece, LOOK | O_NOFOLLOW);
    error = errno;
  }
  close(fd);
  errno = error;
  return below;
}

/* A descriptor, or -1 with errno set. */
static int open_place(place p) {
  if (p.folder == NULL) return open(p.name, LOOK);
  int fd = open(p.folder, LOOK);
  const char *name = p.name;
  while (fd >= 0) {
    const size_t length = strcspn(name, "/");
    fd = step_down(fd, name, length);
    if (name[length] == '\0') break;
    name += length + 1;
  }
  return fd;
}

static int look_at(place p, struct stat *about) {
  if (p.folder == NULL) return stat(p.name, about);
  const int fd = open_place(p);
  if (fd < 0) return -1;
  const int status = fstat(fd, about), error = errno;
  close(fd);
  errno = error;
  return status;
}

/* Reads up to `room` bytes; the count, or -1 with errno set. */
static long slurp(place p, char *bytes, size_t room) {
  const int fd = open_place(p);
  if (fd < 0) return -1;
  size_t count = 0;
  long got = 1;
  while (count < room && got > 0) {
    got = (long)read(fd, bytes + count, room - count);
    if (got > 0) count += (size_t)got;
    if (got < 0 && errno == EINTR) got = 1;
  }
  const int error = errno;
  close(fd);
  errno = error;
  return got < 0 ? -1 : (long)count;
}

/* Keep the name of a file that was read, for core.was_read; the names live in the Lua state. */
static void note_read(lua_State *L, const char *path) {
  luaL_getsubtable(L, LUA_REGISTRYINDEX, FILES_READ);
  lua_pushboolean(L, true);
  lua_setfield(L, -2, path);
  lua_pop(L, 1);
}

static int push_bytes(lua_State *L, place p, const char *path, size_t most, const char *limit) {
  struct stat about;
  if (look_at(p, &about) != 0) return refuse_errno(L, path, errno);
  check_kind(L, path, &about, most, limit);
  /* the buffer is the collector's: no descriptor and no block are held where Lua may raise */
  const size_t room = (size_t)about.st_size + 1;
  char *bytes = lua_newuserdatauv(L, room, 0);
  const long count = slurp(p, bytes, room);
  if (count < 0) return refuse_errno(L, path, errno);
  if ((size_t)count == room) return refuse(L, path, "grows while it is being read", NULL);
  lua_pushlstring(L, bytes, (size_t)count);
  note_read(L, path);
  return 1;
}

static const char *check_path(lua_State *L, int argument) {
  size_t length;
  const char *path = luaL_checklstring(L, argument, &length);
  if (strlen(path) != length)
    refuse(L, length == 0 || path[0] == '\0' ? "(no name)" : path,
           "has a zero byte in its name, a path holds none", NULL);
  return path;
}

/* The most bytes: the mebibytes at `argument` with a sentence for what is longer, or those of a file of text. */
static size_t check_most(lua_State *L, int argument, const char **limit) {
  const lua_Integer mebibytes = luaL_optinteger(L, argument, SYL_MOST_BYTES >> 20);
  luaL_argcheck(L, mebibytes > 0 && mebibytes <= 1024, argument, "1 to 1024 MiB");
  if (!lua_isnoneornil(L, argument))
    *limit = lua_pushfstring(L, "%I MiB are possible", (LUAI_UACINT)mebibytes);
  return (size_t)mebibytes << 20;
}

/* core.read_file(path, mebibytes?) -> bytes */
static int l_read_file(lua_State *L) {
  const char *path = check_path(L, 1), *limit = "4 MiB are possible";
  const size_t most = check_most(L, 2, &limit);
  if (path[0] == '\0') return refuse(L, "(no name)", "a file name is needed", NULL);
  return push_bytes(L, (place){NULL, path}, path, most, limit);
}

/* Does a path stay below where it starts: relative, without empty names, "." and ".."? */
static bool stays_below(const char *name) {
  for (;; name++) {
    const size_t length = strcspn(name, "/");
    if (length == 0 || strncmp(name, ".", length) == 0 || strncmp(name, "..", length) == 0) return false;
    name += length;
    if (*name == '\0') return true;
  }
}

/* core.stays_below(name) -> boolean: does core.read_beside take such a name? */
static int l_stays_below(lua_State *L) {
  lua_pushboolean(L, stays_below(luaL_checkstring(L, 1)));
  return 1;
}

/* core.read_beside(file, name, mebibytes?) -> bytes, path */
static int l_read_beside(lua_State *L) {
  const char *file = check_path(L, 1), *name = check_path(L, 2), *limit = "4 MiB are possible";
  const size_t most = check_most(L, 3, &limit);
  if (!stays_below(name))
    return refuse(L, name[0] == '\0' ? "(no name)" : name, "is not below the vehicle's own folder",
                  "it is named from there, as in parts.csv or tables/parts.csv");
  const char *slash = strrchr(file, '/');
  const size_t folder_length = slash == NULL ? 0 : (size_t)(slash + 1 - file);
  const char *folder = ".";
  if (folder_length > 0) folder = lua_pushlstring(L, file, folder_length);
  const char *path = folder_length > 0 ? lua_pushfstring(L, "%s%s", folder, name) : name;
  push_bytes(L, (place){folder, name}, path, most, limit);
  lua_pushstring(L, path);
  return 2;
}

/* core.was_read(path) -> boolean: is it one of the files read so far, under whatever name? */
static int l_was_read(lua_State *L) {
  const char *path = check_path(L, 1);
  struct stat one, two;
  bool found = false;
  if (stat(path, &one) == 0 && luaL_getsubtable(L, LUA_REGISTRYINDEX, FILES_READ)) {
    lua_pushnil(L);
    while (!found && lua_next(L, -2) != 0) {
      lua_pop(L, 1);
      found = stat(lua_tostring(L, -1), &two) == 0 && one.st_dev == two.st_dev && one.st_ino == two.st_ino;
    }
  }
  lua_pushboolean(L, found);
  return 1;
}

void syl_open_text_file(lua_State *L) {
  lua_pushcfunction(L, l_read_file);
  lua_setfield(L, -2, "read_file");
  lua_pushcfunction(L, l_read_beside);
  lua_setfield(L, -2, "read_beside");
  lua_pushcfunction(L, l_stays_below);
  lua_setfield(L, -2, "stays_below");
  lua_pushcfunction(L, l_was_read);
  lua_setfield(L, -2, "was_read");
}
