/* going_lanes.h - where the answers of the kernels of the balance go: into a column, past the caches, into what they come to. Private to the
** files in this folder.
*/
#ifndef SY_STUDY_KERNELS_GOING_LANES_H
#define SY_STUDY_KERNELS_GOING_LANES_H

#include <string.h>
#ifdef __x86_64__
#include <immintrin.h>
#endif

#include "study/kernels/summing_lanes.h"

/* What becomes of answers: bit set. */
enum { KEEP = 1, STREAM = 2, SUM = 4 };

static inline void stream_out(double *out, lanes v) {
#if SY_LEVEL == 4
  _mm512_stream_pd(out, (__m512d)v);
#elif SY_LEVEL == 3
  _mm256_stream_pd(out, (__m256d)v);
#elif defined(__x86_64__)
  _mm_stream_pd(out, (__m128d)v);
#else
  store(out, v);
#endif
}

static inline __attribute__((always_inline)) void put(double *out, lanes v, int how) {
  if (how & STREAM)
    stream_out(out, v);
  else if (how & KEEP)
    store(out, v);
}

/* The last vector, of which `count` values are there. */
static __attribute__((noinline)) void put_rest(double *out, const lanes *v, size_t count, int how,
                                               quick_summing *sum) {
  double rest[LANES], first[LANES];
  store(rest, *v);
  if (how & KEEP) memcpy(out, rest, count * sizeof *out);
  for (size_t k = 0; k < LANES; k++) {
    first[k] = rest[k < count ? k : 0];
    rest[k] = k < count ? rest[k] : 0.0;
  }
  if (how & SUM) *sum = quick_with(*sum, load(rest), load(first));
}

#endif
