#include "base/frame.h"

sy_mat3 sy_frame_rotation(double roll, double pitch, double yaw) {
  const double cr = cos(roll), sr = sin(roll);
  const double cp = cos(pitch), sp = sin(pitch);
  const double cy = cos(yaw), sy = sin(yaw);
  return (sy_mat3){{{cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr},
                    {sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr},
                    {-sp, cp * sr, cp * cr}}};
}

sy_frame sy_frame_compose(const sy_frame *outer, const sy_frame *inner) {
  return (sy_frame){sy_mat3_mul(outer->turn, inner->turn), sy_frame_apply(outer, inner->at)};
}

sy_frame sy_frame_inverse(const sy_frame *f) {
  const sy_mat3 back = sy_mat3_transpose(f->turn);
  return (sy_frame){back, sy_vec3_scale(-1.0, sy_mat3_apply(back, f->at))};
}

sy_frame sy_frame_about(sy_mat3 r, sy_vec3 point) {
  return (sy_frame){r, sy_vec3_sub(point, sy_mat3_apply(r, point))};
}
