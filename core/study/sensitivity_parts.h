/* sensitivity_parts.h - what sensitivities are made of. Private to core/study. */
#ifndef SY_STUDY_SENSITIVITY_PARTS_H
#define SY_STUDY_SENSITIVITY_PARTS_H

#include "montecarlo_plan.h"
#include "sensitivity.h"

/* Errors that are one input: member[first] .. member[first + count - 1]. */
typedef struct input_errors {
  size_t first, count;
} input_errors;

struct sy_sensitivities {
  sy_alloc alloc;
  sy_spread *of;    /* sources, and their effects after records */
  double *stated;   /* answers x sources: effects before records */
  double *variance; /* answers */
  size_t *member;   /* sources, input by input */
  input_errors *input;
  size_t inputs;
};

static inline double source_variance(const sy_spread *p, size_t source) {
  return p->source[source].sd * p->source[source].sd;
}

#endif
