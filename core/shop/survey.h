/* survey.h - points measured on the floor against the drawing: the rigid fit, and the point that does not fit.
**
** Units    m, rad; any two axes, the same for the drawing and the floor.
** Model    measured = R(turn) drawn + shift, turn from x towards y. A point is measured by its coordinates or by two tapes.
** Rows     two observations a point, in order: x and y, or tape a and tape b. The report is that of lsq.h.
** Source   least squares with stated uncertainties: lsq.h.
*/
#ifndef SY_SHOP_SURVEY_H
#define SY_SHOP_SURVEY_H

#include <stdbool.h>

#include "../numeric/lsq.h"
#include "tapes.h"

enum { SY_SURVEY_COLS = 3 }; /* turn, shift x, shift y */

typedef struct sy_survey_line {
  sy_plan drawn;
  bool taped;
  double value[2]; /* x and y, or the lengths of tape a and b */
  double sd[2];    /* > 0 */
} sy_survey_line;

/* memory   sy_lsq_size(2 * count, SY_SURVEY_COLS) bytes; the report points into it
** tapes    may be NULL when no line is taped
** Errors   SY_RANGE     fewer than two points, a value not finite, an sd not > 0
**          SY_GEOMETRY  all drawn points coincide; two tapes that do not meet (part "point 3"); and those of the fit */
SY_API sy_status sy_survey_fit(const sy_survey_line *lines, size_t count, const sy_tapes *tapes, void *memory,
                               sy_lsq *out, sy_error *err);

/* Where the fit puts a drawn point. */
SY_API sy_plan sy_survey_place(const double x[SY_SURVEY_COLS], sy_plan drawn);

#endif
