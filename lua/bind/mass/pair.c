#include "bind/mass/pair.h"

static unsigned opposite_carrier(unsigned carrier, const sy_loadmap *map) {
  if (carrier < SY_CARRIER_WHEEL) return carrier;
  const int wheel = (int)(carrier - SY_CARRIER_WHEEL);
  for (int i = 0; i < map->wheel_count; i++)
    if (map->wheel[i].axle == map->wheel[wheel].axle && map->wheel[i].side == -map->wheel[wheel].side)
      return (unsigned)(SY_CARRIER_WHEEL + i);
  return carrier;
}

void syl_unsprung_on_side(sy_part *part, int side, const sy_loadmap *map) {
  for (unsigned c = 0; c < part->unsprung.count; c++) {
    const int axle = (int)part->unsprung.carrier[c] - SY_CARRIER_AXLE;
    if (axle < 0 || part->unsprung.carrier[c] >= SY_CARRIER_WHEEL) continue;
    for (int i = 0; i < map->wheel_count; i++)
      if (map->wheel[i].axle == axle && map->wheel[i].side == side)
        part->unsprung.carrier[c] = (uint8_t)(SY_CARRIER_WHEEL + i);
  }
}

sy_mat3 syl_reflection(sy_vec3 n) {
  sy_mat3 reflect = sy_mat3_identity();
  const double v[3] = {n.x, n.y, n.z};
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) reflect.m[i][j] -= 2.0 * v[i] * v[j];
  return reflect;
}

sy_vec3 syl_mirrored(syl_plane plane, sy_vec3 p) {
  return sy_vec3_muladd(p, -2.0 * (sy_vec3_dot(plane.normal, p) + plane.offset), plane.normal);
}

/* The other piece: reflected, and carried by the other side's wheels. */
static sy_part mirror_part(const sy_part *part, syl_plane plane, const sy_loadmap *map, sy_fill *fill) {
  sy_part twin = *part;
  sy_part_turn_fill(&twin, syl_reflection(plane.normal), fill);
  twin.cg = syl_mirrored(plane, part->cg);
  twin.inertia = sy_sym3_turn(syl_reflection(plane.normal), part->inertia);
  twin.flags |= SY_PART_MIRRORED | SY_PART_IMAGE;
  for (unsigned c = 0; c < part->unsprung.count; c++)
    twin.unsprung.carrier[c] = (uint8_t)opposite_carrier(part->unsprung.carrier[c], map);
  return twin;
}

syl_plane syl_centre_plane(const sy_frame *outer) {
  return (syl_plane){sy_mat3_apply(sy_mat3_transpose(outer->turn), (sy_vec3){0, 1, 0}), outer->at.y};
}

void syl_both_sides(const sy_part *stated, syl_plane mirror, const sy_loadmap *map, sy_part pieces[2],
                    sy_fill *image) {
  const int side = sy_vec3_dot(mirror.normal, stated->cg) + mirror.offset >= 0 ? 1 : -1;
  sy_part own = *stated;
  syl_unsprung_on_side(&own, side, map);
  const sy_part twin = mirror_part(&own, mirror, map, image);
  pieces[0] = side > 0 ? own : twin;
  pieces[1] = side > 0 ? twin : own;
}
