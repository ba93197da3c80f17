#include "base/axes.h"

static const char *const way_names[SY_WAY_COUNT] = {"forward", "back", "left", "right", "up", "down"};
static const char *const coordinate[3] = {"x", "y", "z"};

static bool is_way(sy_way way) { return (int)way >= 0 && (int)way < SY_WAY_COUNT; }

const char *sy_way_name(sy_way way) { return is_way(way) ? way_names[way] : "none"; }

/* Ways come in pairs along x, y, z, the positive one first. */
static int line_of(sy_way way) { return (int)way / 2; }

sy_vec3 sy_way_vector(sy_way way) {
  const double sign = (int)way % 2 == 0 ? 1.0 : -1.0;
  switch (line_of(way)) {
  case 0: return (sy_vec3){sign, 0, 0};
  case 1: return (sy_vec3){0, sign, 0};
  default: return (sy_vec3){0, 0, sign};
  }
}

sy_status sy_axes_make(const sy_way axis[3], sy_vec3 origin, sy_axes *out, sy_error *err) {
  for (int i = 0; i < 3; i++) {
    if (!is_way(axis[i]))
      return sy_fail(err, SY_RANGE, "axes", coordinate[i], "is none of forward, back, left, right, up, down");
    for (int j = 0; j < i; j++)
      if (line_of(axis[j]) == line_of(axis[i]))
        return sy_fail(err, SY_CLASH, "axes", coordinate[i],
                       "runs %s, along the same line as %s, which runs %s", sy_way_name(axis[i]),
                       coordinate[j], sy_way_name(axis[j]));
  }
  if (!sy_vec3_finite(origin)) return sy_fail(err, SY_RANGE, "axes", "origin", "is not a finite point");
  sy_axes made = {.origin = origin};
  for (int i = 0; i < 3; i++) { /* column i of A is where the file's axis i points */
    const sy_vec3 v = sy_way_vector(axis[i]);
    made.matrix.m[0][i] = v.x;
    made.matrix.m[1][i] = v.y;
    made.matrix.m[2][i] = v.z;
  }
  made.left_handed = sy_mat3_det(made.matrix) < 0;
  *out = made;
  return SY_OK;
}

sy_vec3 sy_axes_vector_in(const sy_axes *axes, sy_vec3 file) { return sy_mat3_apply(axes->matrix, file); }

sy_vec3 sy_axes_vector_out(const sy_axes *axes, sy_vec3 iso) {
  return sy_mat3_apply(sy_mat3_transpose(axes->matrix), iso);
}

sy_vec3 sy_axes_point_in(const sy_axes *axes, sy_vec3 file) {
  return sy_axes_vector_in(axes, sy_vec3_sub(file, axes->origin));
}

sy_vec3 sy_axes_point_out(const sy_axes *axes, sy_vec3 iso) {
  return sy_vec3_add(sy_axes_vector_out(axes, iso), axes->origin);
}

sy_sym3 sy_axes_tensor_in(const sy_axes *axes, sy_sym3 file) { return sy_sym3_turn(axes->matrix, file); }

sy_sym3 sy_axes_tensor_out(const sy_axes *axes, sy_sym3 iso) {
  return sy_sym3_turn(sy_mat3_transpose(axes->matrix), iso);
}
