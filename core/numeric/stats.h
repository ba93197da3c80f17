/* stats.h - normal, Student t, chi-square and F distributions, and effective degrees of freedom.
**
** Units    none. `dof` is any real number from SY_STATS_LEAST_DOF; INFINITY makes a Student t the normal distribution, and of F's second
**          dof a chi-square. Chi-square and F's first dof go up to SY_STATS_MOST_DOF.
** Errors   NaN comes back for an argument outside its range (a dof as above, a probability outside 0..1, any NaN). A
**          probability of 0 or 1 gives the end of the range.
** Accuracy 1e-12 relative for cdf and tails up to dof 1e4, 1e-10 up to 1e6; a quantile solves its cdf to the
**          last digits.
** Source   Abramowitz & Stegun, Handbook of Mathematical Functions: 26.4 (chi-square by the incomplete gamma function,
**          6.5), 26.7 (Student t by the incomplete beta function, 26.5), 6.1 (Stirling's series).
*/
#ifndef SY_NUMERIC_STATS_H
#define SY_NUMERIC_STATS_H

#include <stddef.h>

#include "../base/api.h"

#define SY_STATS_LEAST_DOF 1e-3
#define SY_STATS_MOST_DOF  1e9

SY_API double sy_stats_normal_cdf(double x);
SY_API double sy_stats_normal_quantile(double p);

SY_API double sy_stats_student_cdf(double t, double dof);
SY_API double sy_stats_student_quantile(double p, double dof);

SY_API double sy_stats_chi2_cdf(double x, double dof);
/* 1 - cdf without losing the digits of small values */
SY_API double sy_stats_chi2_tail(double x, double dof);
SY_API double sy_stats_chi2_quantile(double p, double dof);

/* Chance that F, the ratio of two estimates of one variance with dof1 and dof2, exceeds f; dof1 finite. 1e-10 relative up to dof 1e4 each. */
SY_API double sy_stats_f_tail(double f, double dof1, double dof2);

/* Effective degrees of freedom of u_c^2 = sum u_i^2: u_c^4 / sum(u_i^4 / dof_i). The inputs must be independent.
** u    standard uncertainties, already times their sensitivities
** dof  of each, > 0, INFINITY for one known without uncertainty
** INFINITY when no u with a finite dof counts.
** Source  JCGM 100:2008, G.4, equation G.2b. */
SY_API double sy_stats_welch_dof(const double *u, const double *dof, size_t count);

#endif
