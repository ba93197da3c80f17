/* person.h - somebody seated, put together from body segments.
**
** Units    SI: kg, m, radians.
** Frame    x forward, y left, z up; the origin is midway between the hip joints. The person looks forward, arms and legs lie
**          parallel to the centre plane, left and right alike.
** Model    sixteen rigid segments: head with neck, trunk, and on each side upper arm, forearm, hand, thigh, shank, foot. Segment
**          lengths go with the stature; `ankle` says how the sole stands to the shank, and
**          the heel lies beyond the ankle on the line of the shank.
** Source   masses, places of the segments' centres and radii of gyration: P. de Leva, Adjustments to Zatsiorsky-Seluyanov's segment
**          inertia parameters, J. Biomechanics 29(9):1223-1230, 1996, Table 4. Segment lengths and statures of the same subjects
**          (men 1.741 m, women 1.735 m): the same table, from memory; for each segment that the table gives by two pairs of
**          endpoints both put its centre at the same place, which a mistake of memory would not. Half spacing of the shoulders
**          0.129, of the hips 0.0955 and height of the ankle 0.039 of the stature: R. Drillis & R. Contini, Body Segment
**          Parameters, 1966 (from memory).
*/
#ifndef SY_MASS_PERSON_H
#define SY_MASS_PERSON_H

#include "massprops.h"

typedef enum sy_segments { SY_SEGMENTS_MEN, SY_SEGMENTS_WOMEN } sy_segments;

typedef struct sy_person {
  sy_segments segments;
  double mass, stature;
  double torso;    /* hips to shoulders, back from upright */
  double thigh;    /* hip to knee, up from level */
  double knee;     /* between thigh and shank: pi when straight */
  double ankle;    /* between shank and sole: pi/2 when square */
  double shoulder; /* upper arm, forward from the line of the torso */
  double elbow;    /* between upper arm and forearm: pi when straight */
  double head;     /* neck to crown, back from upright */
} sy_person;

typedef struct sy_seated {
  sy_massprops body;  /* cg from the middle of the hips */
  sy_vec3 knee, heel; /* midway between left and right */
  double lower_legs;  /* kg: shanks and feet */
  double
      heels_least; /* kg on a pad under the heels when thighs and knees are carried by the seat; NaN: not ahead of the knees */
  double heels_most; /* kg when nothing carries the legs between hips and heels; NaN: not ahead of the hips */
} sy_seated;

/* Everything NaN, segments of men. */
SY_API sy_person sy_person_default(void);

/* Mass properties and legs of `person`; the loads at the heels are NaN where the heels are not ahead of knees or hips.
** Errors  SY_MISSING  a number is NaN
**         SY_RANGE    segments neither of men nor of women, mass not > 0, stature not in 0.5 to 2.5 m, an angle that no body takes: torso and head -45 to 90 degrees, thigh -90
**                     to 90, knee and elbow 20 to 180, ankle 45 to 180, shoulder -45 to 180; `out` untouched */
SY_API sy_status sy_person_seated(const sy_person *person, sy_seated *out, sy_error *err);

#endif
