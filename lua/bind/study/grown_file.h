/* grown_file.h - a file that grows piece by piece and outlives the process that writes it.
**
** What was appended is the system's when append returns: it is there although the process is killed. While one process has the file open
** for growing, no other may (where the file system has locks).
*/
#ifndef SYL_BIND_STUDY_GROWN_FILE_H
#define SYL_BIND_STUDY_GROWN_FILE_H

#include <lua.h>

/* Adds to the module table on top of the stack:
**   grow_file(path) -> f        to read and to append, made when it is not there; raises "clash" while another process grows it, else "io"
**   read_grown(path) -> f       to read; raises "read"
**   f:size() -> bytes
**   f:read(n) -> bytes          the next n, fewer where the file ends
**   f:seek(at)                  what is read next begins behind the first `at` bytes
**   f:cut(size)                 what is behind the first `size` bytes goes; what is appended follows them
**   f:append(bytes)             raises "io" when not all of it could be written, and then nothing of it stays
**   f:finish(path, replace?)    to the disk and under that name, in the same folder; closes it
**   f:remove()                  the file goes; closes it
**   f:close()                   also at the end of its scope (<close>) and when it is collected */
void syl_open_grown_file(lua_State *L);

#endif
