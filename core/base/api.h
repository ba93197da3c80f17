/* api.h - marks what the library exports (everything else stays hidden), and lets compilers check message formats. */
#ifndef SY_BASE_API_H
#define SY_BASE_API_H

#if defined(__GNUC__)
#define SY_API                __attribute__((visibility("default")))
#define SY_PRINTF(nth, first) __attribute__((format(printf, nth, first)))
#else
#define SY_API
#define SY_PRINTF(nth, first)
#endif

#endif
