/* pair.h - the two pieces of a pair from the one that is stated. */
#ifndef SYL_BIND_MASS_PAIR_H
#define SYL_BIND_MASS_PAIR_H

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

/* Where the image of a point lies. */
sy_vec3 syl_mirrored(syl_plane plane, sy_vec3 p);

/* A piece that an axle carries is carried by the wheel on its own side: side +1 left, -1 right. */
void syl_unsprung_on_side(sy_part *part, int side, const sy_loadmap *map);

/* Left and right piece from the stated one, which is the one on whose side it lies, each carried by the wheels of its own
** side. image: holds what the fill of the image points to. */
void syl_both_sides(const sy_part *stated, syl_plane mirror, const sy_loadmap *map, sy_part pieces[2],
                    sy_fill *image);

/* What a booking must know of a piece of a pair. */
typedef struct syl_piece {
  int side;             /* +1 left, -1 right */
  bool image;           /* the mirror image of the piece that the line states */
  sy_vec3 normal;       /* of the plane it is the image in, in the pair's directions */
  syl_plane centre;     /* the vehicle's centre plane as the pair lies now */
  sy_vec3 other_stated; /* the place as the other piece's line states it */
} syl_piece;

#endif
