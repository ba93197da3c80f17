/* front.h - the Pareto front: the variants that no other one betters.
**
** Better   one variant betters another when it is as good in every output and better in one. Equal ones do not better each other: of variants
**          that answer the same all or none are in the front.
** Unknown  a variant with an unknown output (NaN) is not in the front and betters none.
** Work     up to three outputs: sorting by all of them, then one pass that keeps the best third output seen at each place of the second; n log n
**          whatever the data. From four on each variant is held against the front so far: n times the front's size.
** Source   H. Kung, F. Luccio, F. Preparata, On Finding the Maxima of a Set of Vectors, J. ACM 22, 1975 (sort and sweep); P. Fenwick,
**          A New Data Structure for Cumulative Frequency Tables, Softw. Pract. Exp. 24, 1994 (the prefix tree, of minima here).
*/
#ifndef SY_STUDY_FRONT_H
#define SY_STUDY_FRONT_H

#include <stdbool.h>
#include <stdint.h>

#include "../base/alloc.h"
#include "../base/status.h"

enum { SY_FRONT_OUTPUTS = 16 };

/* The front of `count` variants.
** output   columns of `count` values; most[k]: more of output k is better, else less
** left_out those with a byte that is not 0 take no part; may be NULL
** front    room for `count` numbers of variants, from 0: along the first output from its least value to its greatest, variants of one value by
**          number
** Errors   SY_RANGE  no outputs
**          SY_LIMIT  more than SY_FRONT_OUTPUTS, 2^32 variants or more, or no memory: 40 bytes a variant that takes part */
SY_API sy_status sy_front(const double *const *output, const bool *most, size_t outputs,
                          const uint8_t *left_out, size_t count, const sy_alloc *alloc, size_t *front,
                          size_t *front_count, sy_error *err);

#endif
