/* axes.h - how a file or a user measures, against the library's own frame.
**
** The library's frame: x forward, y left, z up (ISO 8855:2011), origin on the ground under the centre of
** the front axle. A file may count x back, z down, y right, or lie on its side: `axis[i]` says which of
** the six directions its i-th coordinate runs along. Left-handed sets are mapped by reflection: points by A,
** tensors by A J A^T.
**
** A = matrix, one +-1 a row and column:   p_iso = A (p_file - origin),   p_file = A^T p_iso + origin.
*/
#ifndef SY_BASE_AXES_H
#define SY_BASE_AXES_H

#include "mat3.h"
#include "status.h"

typedef enum sy_way { SY_FORWARD, SY_BACK, SY_LEFT, SY_RIGHT, SY_UP, SY_DOWN, SY_WAY_COUNT } sy_way;

typedef struct sy_axes {
  sy_mat3 matrix;   /* A: file directions to library directions */
  sy_vec3 origin;   /* m, the library's origin in file coordinates */
  bool left_handed; /* det A < 0 */
} sy_axes;

/* "forward" ... "down" */
SY_API const char *sy_way_name(sy_way way);

/* The unit vector of a direction in the library's frame. */
SY_API sy_vec3 sy_way_vector(sy_way way);

/* axis    the directions of the file's x, y and z
** origin  m, in file coordinates
** Errors  SY_CLASH  two coordinates run along the same line (say forward and back)
**         SY_RANGE  a direction is none of the six, or the origin is not finite */
SY_API sy_status sy_axes_make(const sy_way axis[3], sy_vec3 origin, sy_axes *out, sy_error *err);

SY_API sy_vec3 sy_axes_point_in(const sy_axes *axes, sy_vec3 file);
SY_API sy_vec3 sy_axes_point_out(const sy_axes *axes, sy_vec3 iso);
SY_API sy_vec3 sy_axes_vector_in(const sy_axes *axes, sy_vec3 file);
SY_API sy_vec3 sy_axes_vector_out(const sy_axes *axes, sy_vec3 iso);
SY_API sy_sym3 sy_axes_tensor_in(const sy_axes *axes, sy_sym3 file);
SY_API sy_sym3 sy_axes_tensor_out(const sy_axes *axes, sy_sym3 iso);

#endif
