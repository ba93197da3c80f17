/* solver.h - a solver of core/study/seek.h as a module of its own hands it over: so the library it links need not be there until it is used.
**
** The module returns a full userdata with this metatable and this in it. It is built with the rest, and one of another version, found first by
** an odd search path, is refused.
*/
#ifndef SYL_BIND_STUDY_SOLVER_H
#define SYL_BIND_STUDY_SOLVER_H

#include "base/version.h"
#include "study/seek.h"

#define SYL_SOLVER "steelyard.solver"

typedef struct syl_solver {
  char version[16]; /* SY_VERSION, first whatever else changes */
  sy_seek_solver solver;
} syl_solver;

#endif
