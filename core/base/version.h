/* version.h - which steelyard this is. The three numbers below are the one place they are written: the Makefile, the pkg-config
** file and the command read them here.
*/
#ifndef SY_BASE_VERSION_H
#define SY_BASE_VERSION_H

#include "api.h"

#define SY_VERSION_MAJOR 0
#define SY_VERSION_MINOR 1
#define SY_VERSION_PATCH 0

/* "0.1.0": what a program was compiled against */
#define SY_VERSION SY_VERSION_TEXT(SY_VERSION_MAJOR, SY_VERSION_MINOR, SY_VERSION_PATCH)
#define SY_VERSION_TEXT(a, b, c)                                                                             \
  SY_VERSION_DIGITS(a, b, c) /* once more, so that the numbers take the names' place */
#define SY_VERSION_DIGITS(a, b, c) #a "." #b "." #c

/* SY_VERSION of the library that is linked or loaded, never NULL. */
SY_API const char *sy_version(void);

#endif
