/* The outside baseline of bench_corner_variants: a million four-wheel equilibria as they are solved by displacements, written out by hand
** for that one vehicle. Assembled and solved at once, variant by lane: the four wheels' heights are eliminated as two 2 x 2 blocks, the
** other four (heave at the front axle, pitch, roll, twist) by L D L^T. It shares no line with the library and knows the
** geometry as it is compiled, so that whatever a general kernel must multiply by is a constant, or is not there: the front axle is the
** origin. The Makefile compiles it for the machine it runs on, with the widest vectors that has. */
#include "baseline_corner_variants.h"

#include <string.h>

#ifdef __AVX512F__
enum { LANES = 8 };
#elif defined(__AVX__)
enum { LANES = 4 };
#else
enum { LANES = 2 };
#endif

typedef double v __attribute__((vector_size(LANES * sizeof(double))));

static const double BASE = BASELINE_BASE, FRONT = BASELINE_FRONT,
                    REAR = BASELINE_REAR; /* wheelbase, half tracks, m */

/* The columns of one axle: springs, bar, tyres and unsprung weights, left and right. */
typedef struct place {
  const double *left, *right, *bar, *left_tyre, *right_tyre, *left_weight, *right_weight;
} place;

/* What is left of an axle for the body, per left and right height. */
typedef struct block {
  v over;                   /* 1 / determinant of the wheels' own two equations */
  v sum, difference, cross; /* s11 + s22 - 2 s12 and so on, of the block that is left */
  v force, moment;
} block;

static inline v at(const double *column, size_t i) {
  v lanes;
  memcpy(&lanes, column + i, sizeof lanes);
  return lanes;
}

static inline block eliminate(const place *k, size_t i) {
  const v left = at(k->left, i), right = at(k->right, i), c = at(k->bar, i), p = at(k->left_tyre, i),
          q = at(k->right_tyre, i);
  const v u = at(k->left_weight, i), w = at(k->right_weight, i);
  const v m = left + c + p, n = right + c + q;
  const v over = 1.0 / (m * n - c * c);
  const v pi = p * over, qi = q * over;
  /* p - p^2 n / det would lose digits under stiff tyres */
  const v s11 = pi * (left * n + c * (right + q)), s22 = qi * (right * m + c * (left + p));
  const v s12 = 2.0 * (pi * q) * c;
  const v f = pi * (n * u + c * w) - u, g = qi * (m * w + c * u) - w;
  const v both = s11 + s22;
  return (block){over, both - s12, s11 - s22, both + s12, f + g, f - g};
}

/* The columns are read once more: keeping them would take registers that are needed in between. */
static inline void wheels(const place *k, size_t i, v over, v left, v right, double *first, double *second) {
  const v c = at(k->bar, i), a = at(k->left, i) + c, b = at(k->right, i) + c;
  const v l = a * left - c * right - at(k->left_weight, i), r = b * right - c * left - at(k->right_weight, i);
  const v one = over * ((b + at(k->right_tyre, i)) * l + c * r),
          two = over * ((a + at(k->left_tyre, i)) * r + c * l);
  memcpy(first, &one, sizeof one);
  memcpy(second, &two, sizeof two);
}

void baseline_corner_variants(const double *const in[18], size_t count, double *const out[8]) {
  const place front_axle = {in[0], in[1], in[8], in[4], in[5], in[14], in[15]};
  const place rear_axle = {in[2], in[3], in[9], in[6], in[7], in[16], in[17]};
  const double *const c10 = in[10], *const c11 = in[11], *const c12 = in[12], *const c13 = in[13];
  double *o[8]; /* a copy, which no store can change */
  memcpy(o, out, sizeof o);
  for (size_t i = 0; i + LANES <= count; i += LANES) {
    const block f = eliminate(&front_axle, i), r = eliminate(&rear_axle, i);
    const v weight = at(c11, i), x = at(c12, i), roll_moment = weight * at(c13, i);
    /* stiffness: columns heave, pitch, roll, twist */
    const v mf = FRONT * f.difference, mr = REAR * r.difference;
    const v of = FRONT * FRONT * f.cross, or = REAR * REAR * r.cross;
    const v k00 = f.sum + r.sum, k01 = BASE * r.sum, k11 = BASE * k01;
    const v k02 = mf + mr, k03 = 0.5 * (mf - mr), k12 = BASE * mr, k13 = -0.5 * k12;
    const v k22 = of + or, k23 = 0.5 * (of - or), k33 = 0.25 * k22 + at(c10, i);
    const v b0 = f.force + r.force - weight, b1 = BASE * r.force + weight * x;
    const v ff = FRONT * f.moment, fr = REAR * r.moment;
    const v b2 = ff + fr - roll_moment;
    const v b3 = 0.5 * (ff - fr) - roll_moment * (0.5 + x * (1.0 / BASE)); /* the lever rule, less its mean */
    /* L D L^T */
    const v i0 = 1.0 / k00, l1 = k01 * i0, l2 = k02 * i0, l3 = k03 * i0;
    const v i1 = 1.0 / (k11 - l1 * k01), t12 = k12 - l1 * k02, t13 = k13 - l1 * k03;
    const v m2 = t12 * i1, m3 = t13 * i1;
    const v i2 = 1.0 / (k22 - l2 * k02 - m2 * t12), t23 = k23 - l2 * k03 - m2 * t13, n3 = t23 * i2;
    const v e1 = b1 - l1 * b0, e2 = b2 - l2 * b0 - m2 * e1, e3 = b3 - l3 * b0 - m3 * e1 - n3 * e2;
    const v twist = e3 / (k33 - l3 * k03 - m3 * t13 - n3 * t23);
    const v roll = e2 * i2 - n3 * twist;
    const v pitch = e1 * i1 - m2 * roll - m3 * twist;
    const v heave = b0 * i0 - l1 * pitch - l2 * roll - l3 * twist;
    memcpy(o[0] + i, &heave, sizeof heave);
    memcpy(o[1] + i, &pitch, sizeof pitch);
    memcpy(o[2] + i, &roll, sizeof roll);
    memcpy(o[3] + i, &twist, sizeof twist);
    const v half = 0.5 * twist, front = FRONT * (roll + half), rear = REAR * (roll - half),
            back = heave + BASE * pitch;
    wheels(&front_axle, i, f.over, heave + front, heave - front, o[4] + i, o[5] + i);
    wheels(&rear_axle, i, r.over, back + rear, back - rear, o[6] + i, o[7] + i);
  }
}
