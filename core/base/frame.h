/* frame.h - a rigid placement: first turn, then shift. p_outer = turn p_inner + at.
**
** Frame    vehicle axes x forward, y left, z up (ISO 8855:2011).
** Angles   rad. Roll > 0 lifts the left side, pitch > 0 puts the nose down, yaw > 0 turns the nose left:
**          turn = Rz(yaw) Ry(pitch) Rx(roll).
*/
#ifndef SY_BASE_FRAME_H
#define SY_BASE_FRAME_H

#include "mat3.h"

typedef struct sy_frame {
  sy_mat3 turn;
  sy_vec3 at; /* m */
} sy_frame;

static inline sy_frame sy_frame_identity(void) {
  const sy_frame result = {sy_mat3_identity(), {0, 0, 0}};
  return result;
}

static inline sy_vec3 sy_frame_apply(const sy_frame *f, sy_vec3 p) {
  return sy_vec3_add(sy_mat3_apply(f->turn, p), f->at);
}

/* The rotation for three angles, applied roll first. */
SY_API sy_mat3 sy_frame_rotation(double roll, double pitch, double yaw);

/* outer after inner: p -> outer(inner(p)). */
SY_API sy_frame sy_frame_compose(const sy_frame *outer, const sy_frame *inner);

SY_API sy_frame sy_frame_inverse(const sy_frame *f);

/* Turning by r about a fixed point: p -> point + r (p - point). */
SY_API sy_frame sy_frame_about(sy_mat3 r, sy_vec3 point);

#endif
