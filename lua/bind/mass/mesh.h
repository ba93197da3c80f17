/* mesh.h - closed meshes and liquid in tanks, for the other bindings. */
#ifndef SYL_BIND_MASS_MESH_H
#define SYL_BIND_MASS_MESH_H

#include <lua.h>

#include "base/axes.h"
#include "mass/tank.h"

#define SYL_MESH "steelyard.mesh"

/* Liquid in a shape as a booking states it, in the tank's own unturned directions (x forward, y left, z up) and from the
** shape's middle. A mesh is along the file's axes, and its middle is its centroid. */
typedef struct syl_tank {
  sy_tank tank;
  sy_vec3 middle;
  double volume;   /* m^3, of the shape */
  double capacity; /* m^3, as stated: a shape with foam in it holds less than its volume */
  bool in_file_axes;
} syl_tank;

/* The mesh at `index`, or NULL once it is closed. */
const sy_mesh *syl_check_mesh(lua_State *L, int index);

/* Read {kind, a, b, c (mm), axis = 0 1 2, mesh = userdata, capacity = litres}. False with `err` filled for a shape that holds
** no liquid. */
bool syl_read_tank(lua_State *L, int index, syl_tank *out, sy_error *err);

/* The empty tank: an even sheet of `mass` kg all over the shape, from its middle. */
sy_status syl_tank_shell(const syl_tank *tank, const sy_axes *axes, double mass, sy_massprops *out,
                         sy_error *err);

/* `litres` at rest, `up` in the tank's directions. Centroid and inertia (kg m^2 per kg) likewise; centroid NaN when empty. */
sy_status syl_tank_liquid(const syl_tank *tank, const sy_axes *axes, double volume, sy_vec3 up,
                          sy_liquid *out, sy_error *err);

#endif
