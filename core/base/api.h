/* api.h - marks what the library exports (everything else stays hidden), and lets compilers check message formats.
**
** In C++ each mark says extern "C" as well, so that a header needs no block of it around its system headers and a new function
** cannot be left outside.
*/
#ifndef SY_BASE_API_H
#define SY_BASE_API_H

#if defined(__cplusplus)
#define SY_LINKAGE extern "C"
#else
#define SY_LINKAGE
#endif

#if defined(__GNUC__)
#define SY_API                SY_LINKAGE __attribute__((visibility("default")))
#define SY_PRINTF(nth, first) __attribute__((format(printf, nth, first)))
#else
#define SY_API SY_LINKAGE
#define SY_PRINTF(nth, first)
#endif

#endif
