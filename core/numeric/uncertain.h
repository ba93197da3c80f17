/* uncertain.h - first-order propagation of uncertainty through sensitivities.
**
** Units    whatever the caller's inputs have; C is a covariance matrix (n x n, row major, units squared), sensitivities
**          c_j = df/dq_j. Nothing allocates, nothing needs workspace unless it says so.
** Source   JCGM 100:2008 (GUM): 5.1.2 and 5.2.2 (law of propagation, correlated inputs), 4.3.7 (limits),
**          G.4 (effective degrees of freedom); JCGM 102:2011, 6.2.1 (several outputs).
*/
#ifndef SY_NUMERIC_UNCERTAIN_H
#define SY_NUMERIC_UNCERTAIN_H

#include <stddef.h>

#include "../base/status.h"

/* Limits +-a with every value between equally likely: u = a / sqrt 3 (4.3.7). */
#define SY_ROOT_3 1.7320508075688772

/* Standard uncertainty of a value known only to lie within +-half_width: half_width / sqrt 3. */
SY_API double sy_uncertain_limits(double half_width);

/* Is `r` (n x n) a correlation matrix? `work` has n x n.
** Errors  SY_RANGE     an entry is not finite or outside -1..1
**         SY_CLASH     r_ij is not r_ji, or a diagonal entry is not 1
**         SY_GEOMETRY  not positive semidefinite: such correlations cannot hold together
** The part in the error is "inputs 2 and 3", the field "correlation". Eigenvalues down to -n x 2^-50 pass: rounding of the
** entries' last digit does that much. */
SY_API sy_status sy_uncertain_check_correlation(const double *r, size_t n, double *work, sy_error *err);

/* C = diag(sd) r diag(sd); `r` NULL for inputs that are independent. `cov` (n x n) is the workspace as well: a failure of
** the correlation check leaves nothing of use in it.
** Errors  SY_RANGE  an sd is < 0, not finite or too large to be squared (part "input 3", field "sd"); and those of the check above */
SY_API sy_status sy_uncertain_covariance(const double *sd, const double *r, size_t n, double *cov,
                                         sy_error *err);

/* C_out = J C J^T for `outputs` rows of J (outputs x n). `out` is outputs x outputs and may not overlap the inputs. */
SY_API void sy_uncertain_propagate(const double *jacobian, const double *cov, size_t outputs, size_t n,
                                   double *out);

/* Standard uncertainty of f with sensitivities c: sqrt(c C c^T). */
SY_API double sy_uncertain_linear(const double *c, const double *cov, size_t n);

/* f = (a . q) / (b . q), a share or a coordinate of the cg, and its standard uncertainty.
** Errors  SY_RANGE  b . q is 0, the quotient or its variance is not finite */
SY_API sy_status sy_uncertain_ratio(const double *a, const double *b, const double *q, const double *cov,
                                    size_t n, double *value, double *u, sy_error *err);

/* Budget: share of input j in u^2, c_j sum_k C_jk c_k / u^2. They sum to 1; with correlations single ones may be
** negative. All 0 when u is 0. */
SY_API void sy_uncertain_shares(const double *c, const double *cov, size_t n, double *share);

/* The interval that holds the value with probability `coverage`. */
typedef struct sy_interval {
  double low, high;
  double factor; /* k: half width / u */
  double dof;    /* the degrees of freedom used; INFINITY for the normal distribution */
} sy_interval;

/* u         >= 0
** dof       at least SY_STATS_LEAST_DOF; INFINITY for the normal distribution. Cut to a whole number when above 1, as G.4.1 asks.
** coverage  above 0, below 1: 0.95
** Errors    SY_RANGE  one of them is not so, or an end is not finite; field "u", "dof" or "coverage" */
SY_API sy_status sy_uncertain_interval(double value, double u, double dof, double coverage, sy_interval *out,
                                       sy_error *err);

/* Half-width w of the interval that holds normal Z + student T with probability `coverage`, Z normal and T Student's of `dof`: the two
** distributions themselves are added. Effective degrees of freedom (sy_stats_welch_dof) fall short of it for few degrees of freedom:
** with dof 2 and equal parts they hold 93 to 94 % for 95.
** normal, student  >= 0, standard uncertainties     dof  at least SY_STATS_LEAST_DOF, INFINITY for a normal one    coverage  above 0, below 1
** NaN for an argument outside its range. 1e-9 relative.
** Source  JCGM 101:2008, 5.3.2 and 6.4.9.2 (a t-distribution for repeated indications, propagated as a distribution). */
SY_API double sy_uncertain_half_width(double normal, double student, double dof, double coverage);

#endif
