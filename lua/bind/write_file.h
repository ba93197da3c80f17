/* write_file.h - the one writer of files: whole or not at all, and never over another file unless asked.
**
** The bytes go to a new file beside the path (O_EXCL: nothing that lies there is followed or written through), are
** brought to the disk, and only then take the path's name in one step. Whatever fails, the path keeps what it had and
** the file beside it is taken away.
*/
#ifndef SYL_BIND_WRITE_FILE_H
#define SYL_BIND_WRITE_FILE_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

typedef enum syl_written {
  SYL_WRITTEN,
  SYL_WRITE_THERE,  /* the path is taken, and `replace` was not asked for */
  SYL_WRITE_FOLDER, /* a folder lies there */
  SYL_WRITE_KIND,   /* what lies there is no regular file: it is never replaced */
  SYL_WRITE_FAILED  /* errno says why */
} syl_written;

/* Write `size` bytes to `path`. With `replace` a regular file that lies there is replaced and its owner and permissions
** are kept; behind a link it is the file that the link names. */
syl_written syl_write_file(const char *path, const char *bytes, size_t size, bool replace);

/* Give `finished`, a file in the same folder whose bytes are on the disk, the name `path`, in the same way: it takes the place of a
** file that is there only with `replace`. When that fails it keeps its own name. */
syl_written syl_name_file(const char *finished, const char *path, bool replace);

/* All bytes to a descriptor; false with errno set. */
bool syl_write_all(int fd, const char *bytes, size_t size);

/* What was written is on the disk, so far as the file system can; false with errno set. */
bool syl_to_disk(int fd);

/* Raise what an outcome other than SYL_WRITTEN means, errno as it was left. Never returns. */
int syl_refuse_write(lua_State *L, const char *path, syl_written outcome);

/* A text without zero bytes in it, at an argument; raises else. */
const char *syl_check_path(lua_State *L, int argument);

/* Adds to the module table on top of the stack:
**   write_file(path, bytes, replace?)   raises "clash" where a file lies already, else "io"
**   check_write(path, replace?)         raises what write_file would of what lies there now
**   is_there(path) -> boolean           does anything lie there, readable or not? Raises "io" when that cannot be found out
**   is_folder(path) -> boolean
**   is_link(path) -> boolean
**   make_folder(path)                   unless it is there; raises "io"
**   same_file(a, b) -> boolean          are these two names of one file? */
void syl_open_write_file(lua_State *L);

#endif
