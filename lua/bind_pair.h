/* bind_pair.h - the two pieces of a pair from the one that is stated. */
#ifndef SYL_BIND_PAIR_H
#define SYL_BIND_PAIR_H

#include "mass/ledger.h"
#include "statics/balance.h"

/* A mirror plane in a group's own frame: normal . p + offset = 0. */
typedef struct syl_plane {
  sy_vec3 normal;
  double offset;
} syl_plane;

/* The centre plane y = 0 of the vehicle, seen from a group placed by `outer`. */
syl_plane syl_centre_plane(const sy_frame *outer);

/* The reflection in a plane with this unit normal. */
sy_mat3 syl_reflection(sy_vec3 normal);

/* Left and right piece from the stated one, each carried by the wheels of its own side. side: +1 it is the left one, -1 the right
** one, 0 as it lies. */
void syl_both_sides(const sy_part *stated, int side, syl_plane mirror, const sy_loadmap *map,
                    sy_part pieces[2]);

#endif
