/* plain_lines.h - parts of a long list that say no more than their mass and place, as rows of numbers.
**
** A node of the file (steelyard/file/vehicle_file.lua) takes five hundred bytes and as many steps in Lua. A list of thousands of parts is
** mostly lines of a mass, a place and their uncertainties: such a line is read and checked by the same rows of the table of fields, and kept
** as one row; its node is made when somebody asks for it, the same as it would have been. What is not so plain, and what is wrong, is left to
** steelyard/file/nodes.lua.
*/
#ifndef SYL_READER_PLAIN_LINES_H
#define SYL_READER_PLAIN_LINES_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* kg and mm along the file's axes, as in a node. */
typedef struct syl_plain_line {
  double mass, mass_sd;    /* below 0: not stated */
  double at[3], at_sd[3];  /* likewise */
  int line;                /* of the file */
  bool mass_limits;        /* mass_sd comes from limits */
  unsigned char at_limits; /* bit set of the coordinates whose uncertainties do */
  signed char basis;       /* which of the words to choose from; below 0: none */
} syl_plain_line;

typedef struct syl_plain_lines syl_plain_lines;

/* Rows row .. row + count - 1, counted from 1, of the lines at `index`, all of which were taken; raises for anything else. */
const syl_plain_line *syl_check_plain_lines(lua_State *L, int index, lua_Integer row, lua_Integer count);

/* The word that is number `basis` among those to choose from for the basis, for the lines at `index`; NULL where there is none. */
const char *syl_plain_basis(lua_State *L, int index, int basis);

/* Push the name of a row of the lines at `index`. */
void syl_push_plain_name(lua_State *L, int index, lua_Integer row);

#endif
