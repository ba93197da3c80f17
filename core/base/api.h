/* api.h - marks what the library exports; everything else stays hidden. */
#ifndef SY_BASE_API_H
#define SY_BASE_API_H

#if defined(__GNUC__)
#define SY_API __attribute__((visibility("default")))
#else
#define SY_API
#endif

#endif
