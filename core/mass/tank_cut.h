/* tank_cut.h - what of a tank lies below a plane, for the files tank*.c only. All about the tank's middle. */
#ifndef SY_MASS_TANK_CUT_H
#define SY_MASS_TANK_CUT_H

#include "tank.h"

/* Below unit up . p = level. The second moments are plain sums of r r^T. */
typedef struct tank_cut {
  sy_sums wet;  /* m is the volume */
  sy_sums open; /* of the free surface: m is the area */
} tank_cut;

/* Volume and free surface alone, from which a level is found. */
typedef struct tank_wet {
  double volume, area;
} tank_wet;

/* m r, m r r^T and m for a piece of surface or volume at `r` */
static inline void tank_add_at(sy_sums *s, double m, sy_vec3 r) {
  s->m += m;
  s->first = sy_vec3_muladd(s->first, m, r);
  s->second.xx += m * r.x * r.x;
  s->second.yy += m * r.y * r.y;
  s->second.zz += m * r.z * r.z;
  s->second.xy += m * r.x * r.y;
  s->second.xz += m * r.x * r.z;
  s->second.yz += m * r.y * r.z;
}

/* m a a^T to the second moments alone */
static inline void tank_add_spread(sy_sums *s, double m, sy_vec3 a) {
  const sy_sums had = *s;
  tank_add_at(s, m, a);
  s->m = had.m;
  s->first = had.first;
}

tank_cut sy_tank_cut_surface(const sy_tank *tank, sy_vec3 up, double level); /* box and mesh */
/* The same in closed form, for most boxes; false, and nothing in `out`, when the surface meets floor or roof. */
bool sy_tank_cut_box(const sy_tank *tank, sy_vec3 up, double level, tank_cut *out);
tank_cut sy_tank_cut_cylinder(const sy_tank *tank, sy_vec3 up, double level);
/* The volume of a cylinder in closed form; false, and nothing in `out`, where that would lose digits. */
bool sy_tank_wet_cylinder(const sy_tank *tank, sy_vec3 up, double level, tank_wet *out);
tank_wet sy_tank_wet_surface(const sy_tank *tank, sy_vec3 up, double level);
tank_cut sy_tank_cut_ellipsoid(const sy_tank *tank, sy_vec3 up, double level);

#endif
