/* gauss.h - the 16 point Gauss-Legendre rule on -1 to 1: exact for polynomials up to degree 31. */
#ifndef SY_NUMERIC_GAUSS_H
#define SY_NUMERIC_GAUSS_H

enum { SY_GAUSS_PAIRS = 8 };

/* The positive half: node, weight; the negative nodes have the same weights.
** Source  worked out to 50 digits from the Legendre polynomial; M. Abramowitz, I. Stegun, Handbook of Mathematical
**         Functions, table 25.4, lists the same. */
static const double sy_gauss[SY_GAUSS_PAIRS][2] = {
    {0.98940093499164993851, 0.02715245941175409641}, {0.94457502307323260027, 0.06225352393864789363},
    {0.86563120238783175520, 0.09515851168249278569}, {0.75540440835500299865, 0.12462897125553387689},
    {0.61787624440264377057, 0.14959598881657673597}, {0.45801677765722736968, 0.16915651939500253587},
    {0.28160355077925891543, 0.18260341504492358378}, {0.09501250983763744051, 0.18945061045506850217},
};

#endif
