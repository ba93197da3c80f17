/* units.h - what one workshop unit is in SI. Multiply to come in, divide to go out.
**
** Source  B. N. Taylor, A. Thompson, Guide for the Use of the International System of Units, NIST Special Publication
**         811 (2008), Appendix B. All factors here are exact there, or follow from exact ones by the written expression.
*/
#ifndef SY_BASE_UNITS_H
#define SY_BASE_UNITS_H

#define SY_PI 3.141592653589793238462643383279502884

/* m */
#define SY_MILLIMETRE 1e-3
#define SY_INCH       0.0254
#define SY_FOOT       0.3048

/* kg */
#define SY_GRAM  1e-3
#define SY_POUND 0.45359237
#define SY_OUNCE 0.028349523125 /* 1/16 pound */

/* m/s^2: standard acceleration of free fall */
#define SY_STANDARD_GRAVITY 9.80665

/* N */
#define SY_KILOGRAM_FORCE 9.80665
#define SY_POUND_FORCE    4.4482216152605 /* pound x standard gravity, to the last digit */

/* rad */
#define SY_DEGREE (SY_PI / 180.0)

/* m^3 */
#define SY_LITRE           1e-3
#define SY_US_GALLON       3.785411784e-3 /* 231 cubic inches */
#define SY_IMPERIAL_GALLON 4.54609e-3

/* N/m */
#define SY_NEWTON_PER_MM  1e3
#define SY_POUND_PER_INCH (SY_POUND_FORCE / SY_INCH)

/* Pa */
#define SY_BAR 1e5
#define SY_PSI (SY_POUND_FORCE / (SY_INCH * SY_INCH))

/* N m */
#define SY_POUND_FOOT (SY_POUND_FORCE * SY_FOOT)

/* N m/rad */
#define SY_NEWTON_METRE_PER_DEGREE (1.0 / SY_DEGREE)

/* kg m^2 */
#define SY_POUND_FOOT_SQUARED (SY_POUND * SY_FOOT * SY_FOOT)
#define SY_POUND_INCH_SQUARED (SY_POUND * SY_INCH * SY_INCH)

/* kg/m^3 */
#define SY_KILOGRAM_PER_LITRE 1e3

#endif
