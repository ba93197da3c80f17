/* file_number.h - a number of a vehicle file as it may be written: 27.4, 30*lb, sd(27.4, 0.1), within(12*kg, 1*kg).
**
** C functions that read one have upvalues 1 to 3 of syl_push_marks. Nothing here raises, and nothing is left on the stack but what is said.
*/
#ifndef SYL_READER_FILE_NUMBER_H
#define SYL_READER_FILE_NUMBER_H

#include <lua.h>
#include <stdbool.h>

/* the metatables of what the words of a file make */
#define SYL_UNCERTAIN lua_upvalueindex(1)
#define SYL_AMOUNT    lua_upvalueindex(2)
#define SYL_UNKNOWN   lua_upvalueindex(3)
enum { SYL_FILE_MARKS = 3 };
void syl_push_marks(lua_State *L);

/* What a number is in: a dimension and its size in the base units of steelyard/file/language.lua. */
typedef struct syl_unit {
  const char *dims; /* a short text of this state: there is one of each, so that addresses can be compared */
  double factor;
} syl_unit;

typedef enum syl_fault {
  SYL_FINE,
  SYL_NO_NUMBER,
  SYL_OTHER_UNIT,
  SYL_INFINITE,
  SYL_NOT_A_NUMBER,
  SYL_BAD_SD
} syl_fault;

typedef struct syl_file_number {
  double value, sd;
  bool has_sd, limits; /* limits: the sd was stated by limits */
} syl_file_number;

/* Push a field of the table at `t` without metamethods; its type. */
int syl_raw_field(lua_State *L, int t, const char *key);

/* Is the value at `index` a table with the metatable of an upvalue? */
bool syl_is_marked(lua_State *L, int index, int mark);

/* The number or amount at `index` (absolute) in its unit. */
syl_fault syl_read_plain(lua_State *L, int index, const syl_unit *in, double *out);

/* The same, or a value with its uncertainty. With `report` what is at fault is pushed: the value, or the part of it. */
syl_fault syl_read_file_number(lua_State *L, int index, const syl_unit *in, bool report,
                               syl_file_number *out);

#endif
