/* column.h - columns: one number a variant, as scripts see them and as the other bindings fill them. NaN is what is unknown.
**
** In Lua: c[i] (from 1; nil where unknown and outside), #c, for i, x in pairs(c) (what is known), ipairs(c) (stops at the first
** unknown), c:list(), c:min(), c:max() (nil when nothing is known). A script cannot change one.
** Kinds  stored: n doubles, 0 until they are written. codes: n bytes, likewise. grid: entry i (from 0) is values[(i + skip) / each % count];
**        nothing is stored but the values, so a million variants of an input cost nothing.
** Words  a column may have a list of words: it then holds the numbers of words, from 1, and Lua sees the words.
** Large columns lie in pages of their own, huge ones where the system has them: the first writing of 80 MB costs three times as much in small
** ones.
*/
#ifndef SYL_BIND_STUDY_COLUMN_H
#define SYL_BIND_STUDY_COLUMN_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

typedef struct syl_column syl_column;

/* Push a new column of n zeros; raises an error of code limit when there is no memory for it. It lives as long as Lua knows it. */
syl_column *syl_column_new(lua_State *L, size_t n);
syl_column *syl_column_new_codes(lua_State *L, size_t n);

/* Push a new grid of `count` entries of one, from `first` (from 0) on, each `times` in a row; false, and nothing is pushed, of another kind. */
bool syl_column_new_part(lua_State *L, const syl_column *of, size_t first, size_t count, size_t times);

/* The column at `arg`; raises when there is none. */
syl_column *syl_column_check(lua_State *L, int arg);

/* The column at any `index`, or NULL. */
syl_column *syl_column_test(lua_State *L, int index);

size_t syl_column_count(const syl_column *c);

/* Entry i from 0, i < count, of any kind; the number where the column has words. */
double syl_column_at(const syl_column *c, size_t i);

/* Entries first .. first + count - 1 of any kind. */
void syl_column_read(const syl_column *c, size_t first, size_t count, double *out);

/* Where a stored column lies; NULL for the other kinds. */
double *syl_column_data(syl_column *c);

/* Where a column of codes lies; NULL for the other kinds. */
unsigned char *syl_column_codes(syl_column *c);

#endif
