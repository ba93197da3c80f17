#include "study/sobol.h"

enum { BITS = 32, DEGREES = 9 };

/* A primitive polynomial over the field of two, a bit a power (bit 0: the constant), and as many odd numbers as its degree. */
typedef struct start {
  uint16_t polynomial, m[DEGREES];
} start;

/* Inputs 1 to 63: the numbers as SciPy 1.10 ships them, to the last. They are published under a BSD licence of three clauses; this wording
** of it is from memory and has not been held against theirs:
**
** Copyright (c) 2008, Frances Y. Kuo and Stephen Joe. All rights reserved.
**
** Redistribution and use in source and binary forms, with or without modification, are permitted provided that the following conditions
** are met:
**   - Redistributions of source code must retain the above copyright notice, this list of conditions and the following disclaimer.
**   - Redistributions in binary form must reproduce the above copyright notice, this list of conditions and the following disclaimer
**     in the documentation and/or other materials provided with the distribution.
**   - Neither the names of the copyright holders nor the names of the University of New South Wales and the University of Waikato and its
**     contributors may be used to endorse or promote products derived from this software without specific prior written permission.
**
** THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS "AS IS" AND ANY EXPRESS OR IMPLIED WARRANTIES, INCLUDING, BUT NOT LIMITED TO, THE
** IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT HOLDERS BE
** LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL DAMAGES (INCLUDING, BUT NOT LIMITED TO, PROCUREMENT
** OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF
** LIABILITY, WHETHER IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF
** THIS SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE. */
static const start table[SY_SOBOL_INPUTS - 1] = {
    {3, {1}},
    {7, {1, 3}},
    {11, {1, 3, 1}},
    {13, {1, 1, 1}},
    {19, {1, 1, 3, 3}},
    {25, {1, 3, 5, 13}},
    {37, {1, 1, 5, 5, 17}},
    {41, {1, 1, 5, 5, 5}},
    {47, {1, 1, 7, 11, 19}},
    {55, {1, 1, 5, 1, 1}},
    {59, {1, 1, 1, 3, 11}},
    {61, {1, 3, 5, 5, 31}},
    {67, {1, 3, 3, 9, 7, 49}},
    {91, {1, 1, 1, 15, 21, 21}},
    {97, {1, 3, 1, 13, 27, 49}},
    {103, {1, 1, 1, 15, 7, 5}},
    {109, {1, 3, 1, 15, 13, 25}},
    {115, {1, 1, 5, 5, 19, 61}},
    {131, {1, 3, 7, 11, 23, 15, 103}},
    {137, {1, 3, 7, 13, 13, 15, 69}},
    {143, {1, 1, 3, 13, 7, 35, 63}},
    {145, {1, 3, 5, 9, 1, 25, 53}},
    {157, {1, 3, 1, 13, 9, 35, 107}},
    {167, {1, 3, 1, 5, 27, 61, 31}},
    {171, {1, 1, 5, 11, 19, 41, 61}},
    {185, {1, 3, 5, 3, 3, 13, 69}},
    {191, {1, 1, 7, 13, 1, 19, 1}},
    {193, {1, 3, 7, 5, 13, 19, 59}},
    {203, {1, 1, 3, 9, 25, 29, 41}},
    {211, {1, 3, 5, 13, 23, 1, 55}},
    {213, {1, 3, 7, 3, 13, 59, 17}},
    {229, {1, 3, 1, 3, 5, 53, 69}},
    {239, {1, 1, 5, 5, 23, 33, 13}},
    {241, {1, 1, 7, 7, 1, 61, 123}},
    {247, {1, 1, 7, 9, 13, 61, 49}},
    {253, {1, 3, 3, 5, 3, 55, 33}},
    {285, {1, 3, 1, 15, 31, 13, 49, 245}},
    {299, {1, 3, 5, 15, 31, 59, 63, 97}},
    {301, {1, 3, 1, 11, 11, 11, 77, 249}},
    {333, {1, 3, 1, 11, 27, 43, 71, 9}},
    {351, {1, 1, 7, 15, 21, 11, 81, 45}},
    {355, {1, 3, 7, 3, 25, 31, 65, 79}},
    {357, {1, 3, 1, 1, 19, 11, 3, 205}},
    {361, {1, 1, 5, 9, 19, 21, 29, 157}},
    {369, {1, 3, 7, 11, 1, 33, 89, 185}},
    {391, {1, 3, 3, 3, 15, 9, 79, 71}},
    {397, {1, 3, 7, 11, 15, 39, 119, 27}},
    {425, {1, 1, 3, 1, 11, 31, 97, 225}},
    {451, {1, 1, 1, 3, 23, 43, 57, 177}},
    {463, {1, 3, 7, 7, 17, 17, 37, 71}},
    {487, {1, 3, 1, 5, 27, 63, 123, 213}},
    {501, {1, 1, 3, 5, 11, 43, 53, 133}},
    {529, {1, 3, 5, 5, 29, 17, 47, 173, 479}},
    {539, {1, 3, 3, 11, 3, 1, 109, 9, 69}},
    {545, {1, 1, 1, 5, 17, 39, 23, 5, 343}},
    {557, {1, 3, 1, 5, 25, 15, 31, 103, 499}},
    {563, {1, 1, 1, 11, 11, 17, 63, 105, 183}},
    {601, {1, 1, 5, 11, 9, 29, 97, 231, 363}},
    {607, {1, 1, 5, 15, 19, 45, 41, 7, 383}},
    {617, {1, 3, 7, 7, 31, 19, 83, 137, 221}},
    {623, {1, 1, 1, 3, 23, 15, 111, 223, 83}},
    {631, {1, 1, 5, 13, 31, 15, 55, 25, 161}},
    {637, {1, 1, 3, 13, 25, 47, 39, 87, 257}},
};

/* v[k] is the number whose k-th power of a half each coordinate is made of, as a multiple of 2^-32. */
static void directions(unsigned input, uint32_t v[BITS]) {
  for (int k = 0; k < BITS; k++) v[k] = (uint32_t)1 << (BITS - 1 - k);
  if (input == 0) return;
  const start *s = &table[input - 1];
  int degree = 0;
  while (s->polynomial >> (degree + 1) != 0) degree++;
  for (int k = 0; k < degree; k++) v[k] = (uint32_t)s->m[k] << (BITS - 1 - k);
  for (int k = degree; k < BITS; k++) {
    v[k] = v[k - degree] ^ v[k - degree] >> degree;
    for (int i = 1; i < degree; i++)
      if (s->polynomial >> (degree - i) & 1) v[k] ^= v[k - i];
  }
}

sy_status sy_sobol(unsigned input, uint64_t first, size_t count, double *u, sy_error *err) {
  if (input >= SY_SOBOL_INPUTS)
    return sy_fail(err, SY_LIMIT, "sobol", "vary",
                   "has at least %zu inputs; Sobol points are made for up to %d", (size_t)input + 1,
                   (int)SY_SOBOL_INPUTS);
  if (first > SY_SOBOL_POINTS || count > SY_SOBOL_POINTS - first)
    return sy_fail(err, SY_LIMIT, "sobol", "points", "are more than %zu", (size_t)SY_SOBOL_POINTS);
  uint32_t v[BITS], x = 0;
  directions(input, v);
  for (uint64_t gray = first ^ first >> 1, k = 0; gray != 0; gray >>= 1, k++)
    if (gray & 1) x ^= v[k];
  for (size_t i = 0; i < count; i++) {
    u[i] = (double)x * 0x1p-32;
    /* the Gray codes of two neighbours differ in one bit: that of the lowest zero of the first */
    int k = 0;
    for (uint64_t rest = first + i; rest & 1; rest >>= 1) k++;
    if (k < BITS) x ^= v[k];
  }
  return SY_OK;
}
