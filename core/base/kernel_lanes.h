/* kernel_lanes.h - numbers side by side, for kernels of doubles (lanes.h): as many as a register of the level has, since wider vectors go
** through memory. SY_LEVEL 1 (any processor): two, 3: four, 4: eight. Private to the files in folders `kernels`.
*/
#ifndef SY_BASE_KERNEL_LANES_H
#define SY_BASE_KERNEL_LANES_H

#include <stdint.h>
#include <string.h>

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

/* LANES, and the name of a function in the build of this level. */
#if SY_LEVEL == 4
enum { LANES = 8 };
#define AT_LEVEL(name) name##_v4
#elif SY_LEVEL == 3
enum { LANES = 4 };
#define AT_LEVEL(name) name##_v3
#else
enum { LANES = 2 };
#define AT_LEVEL(name) name##_v1
#endif

typedef double lanes __attribute__((vector_size(LANES * sizeof(double))));
typedef int64_t masks __attribute__((vector_size(LANES * sizeof(int64_t)))); /* all bits of a lane or none */

static inline lanes load(const double *column) {
  lanes v;
  memcpy(&v, column, sizeof v);
  return v;
}

static inline void store(double *column, lanes v) { memcpy(column, &v, sizeof v); }

static inline lanes all(double value) {
#if SY_LEVEL == 4
  return (lanes){value, value, value, value, value, value, value, value};
#elif SY_LEVEL == 3
  return (lanes){value, value, value, value};
#else
  return (lanes){value, value};
#endif
}

/* What fits a mask, else another. */
static inline lanes choose(masks where, lanes a, lanes b) {
  return (lanes)(((masks)a & where) | ((masks)b & ~where));
}

#endif
