/* corner_body.h - the pieces that solving and differentiating the corner model share. Private to core/statics.
**
** Freedoms  heave, pitch, roll at the first axle, roll at the last; a rigid body has one roll, so vectors are folded to three
**           entries before solving and unfolded after.
*/
#ifndef SY_STATICS_CORNER_BODY_H
#define SY_STATICS_CORNER_BODY_H

#include "corner_axle.h"

/* How far along the vehicle: 1 at the first axle, 0 at the last. */
double sy_corner_nearness(const sy_vehicle *vehicle, double x);

/* The same of the couple that links of an axle take past the springs: it loads wheels that may stand off the axle line, and does not twist
** the chassis. */
double sy_corner_links(const sy_vehicle *vehicle, int axle);

/* Does the weight act on the ground inside the area that the wheels stand round? Its edge is outside. */
bool sy_corner_stands(const sy_corner_model *model, const sy_corner_load *load);

/* The load with what air adds to it. */
sy_corner_load sy_corner_press(const sy_corner_model *model, const sy_corner_load *load,
                               const sy_corner_setting *setting);

/* SY_RANGE when a load is not finite. */
sy_status sy_corner_check_load(const sy_vehicle *vehicle, const sy_corner_load *load, sy_error *err);

/* SY_RANGE when the rate of a bent wheel is not above 0 all along, with these perches. */
sy_status sy_corner_check_bent(const sy_corner_model *model, const double *perch, sy_error *err);

/* The springs of one axle, bent wheels as drawn; `first` is the index of its first wheel. */
sy_axle_springs sy_corner_axle(const sy_corner_model *model, const sy_corner_load *load,
                               const sy_corner_setting *setting, int axle, int first);

int sy_corner_freedoms(const sy_corner_model *model);
void sy_corner_fold(const sy_corner_model *model, const double from[4], double to[4]);
void sy_corner_unfold(const sy_corner_model *model, double pose[4]);

/* Rise of the body over wheel i. */
double sy_corner_rise(const sy_corner_model *model, const double pose[4], int i);

/* The body's stiffness against its freedoms, piece by piece and whole: the lower triangle, which is all that the factor reads. */
void sy_corner_add_torsion(const sy_corner_model *model, double k[4][4]);
void sy_corner_add_axle(const sy_corner_model *model, const sy_axle_sensitivities *sensitivities, int first,
                        int count, double k[4][4]);
void sy_corner_stiffness(const sy_corner_model *model, const sy_axle_springs *axles,
                         const sy_wheel_case *fits, double k[4][4]);

/* Cholesky factor of the leading n x n of k in place (lower triangle); false when it is not clearly positive definite. Then
** x from k x = b, in place. */
bool sy_corner_factor(double k[4][4], int n);
void sy_corner_substitute(double k[4][4], int n, double b[4]);

static inline double sy_corner_dot(const double *a, const double *b, int n) {
  double sum = 0.0;
  for (int i = 0; i < n; i++) sum += a[i] * b[i];
  return sum;
}

#endif
