/* Binary STL: 80 bytes of anything, the number of triangles, then 50 bytes each: the normal, three corners (floats, little
** end first) and two bytes of anything. */
#include <string.h>

#include "mass/mesh_table.h"
#include "mass/tetrahedra.h"

enum { HEADER = 84, EACH = 50, NORMAL = 12 };

static uint32_t word_at(const char *bytes) {
  const unsigned char *b = (const unsigned char *)bytes;
  return (uint32_t)b[0] | (uint32_t)b[1] << 8 | (uint32_t)b[2] << 16 | (uint32_t)b[3] << 24;
}

static inline double float_at(const char *bytes) {
  const uint32_t word = word_at(bytes);
  float f;
  memcpy(&f, &word, sizeof f);
  return (double)f;
}

static inline sy_vec3 corner_at(const char *bytes) {
  return (sy_vec3){float_at(bytes), float_at(bytes + 4), float_at(bytes + 8)};
}

bool sy_mesh_is_binary(const char *bytes, size_t size, size_t *count) {
  if (size < HEADER) return false;
  *count = word_at(bytes + HEADER - 4);
  return size >= HEADER && (size - HEADER) % EACH == 0 && (size - HEADER) / EACH == *count;
}

static sy_status check_size(const char *bytes, size_t size, size_t *count, sy_error *err) {
  if (sy_mesh_is_binary(bytes, size, count)) return SY_OK;
  if (size < HEADER)
    return sy_fail(err, SY_CONTENT, "mesh", "",
                   "is neither text nor a binary STL: %zu bytes are less than its header of %d", size,
                   HEADER);
  const size_t there = (size - HEADER) / EACH;
  if (*count > there)
    return sy_fail(err, SY_CONTENT, "mesh", "",
                   "is cut off, or no STL: it says it has %zu triangles, its bytes hold %zu", *count, there);
  return sy_fail(err, SY_CONTENT, "mesh", "",
                 "is not a sound STL: it says it has %zu triangles, %zu bytes stand behind the last", *count,
                 size - HEADER - *count * EACH);
}

/* How many triangles before they are welded corners are announced. */
enum { AHEAD = 16 };

static inline void announce(const sy_mesh *mesh, const char *from, mesh_corner corner[3]) {
  for (size_t k = 0; k < 3; k++) corner[k] = mesh_foresee(mesh, corner_at(from + 12 * k));
}

sy_status sy_mesh_read_binary(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err) {
  size_t count = 0;
  sy_status status = check_size(bytes, size, &count, err);
  if (status == SY_OK && count > SY_MESH_MOST_TRIANGLES)
    return sy_fail(err, SY_LIMIT, "mesh", "", "has %zu triangles, %d are possible", count,
                   SY_MESH_MOST_TRIANGLES);
  /* a closed surface has half as many corners as triangles (Euler) */
  if (status == SY_OK && !sy_mesh_reserve(mesh, count / 2 + 2, count)) return sy_mesh_no_memory(err);
  const char *first = bytes + HEADER + NORMAL;
  mesh_corner coming[AHEAD][3];
  for (size_t i = 0; i < AHEAD && i < count && status == SY_OK; i++)
    announce(mesh, first + i * EACH, coming[i]);
  for (size_t i = 0; i < count && status == SY_OK; i++) {
    for (size_t k = 0; k < 3 && i + AHEAD / 2 < count; k++)
      mesh_foresee_vertex(mesh, &coming[(i + AHEAD / 2) % AHEAD][k]);
    mesh_corner *now = coming[i % AHEAD];
    uint32_t corner[3];
    for (size_t k = 0; k < 3 && status == SY_OK; k++) {
      size_t at;
      if (mesh_find(mesh, &now[k], &at, &corner[k])) continue; /* most of them */
      status = sy_mesh_weld_foreseen(mesh, &now[k], "", &corner[k], err);
      if (status == SY_CONTENT && err != NULL) sy_mesh_where(err->part, "triangle", i);
    }
    if (i + AHEAD < count) announce(mesh, first + (i + AHEAD) * EACH, now);
    if (status == SY_OK) status = sy_mesh_add_triangle(mesh, corner[0], corner[1], corner[2], err);
  }
  return status;
}

/* ---- integrals straight from the bytes ------------------------------------------------------------------------------ */

/* Triangles are summed in four lanes, number 4 i + k in lane k, and the lanes are added at the end: the same bits whether a
** compiler works two lanes at a time or one. Two at a time fill the registers every 64 bit x86 and ARM has. */
enum { LANES = 4 };

static inline void add_one(tetrahedra *lane, const char *from, sy_vec3 apex) {
  tetrahedra_add(lane, sy_vec3_sub(corner_at(from), apex), sy_vec3_sub(corner_at(from + 12), apex),
                 sy_vec3_sub(corner_at(from + 24), apex));
}

#if defined(__has_builtin) && defined(__BYTE_ORDER__)
#if __has_builtin(__builtin_shufflevector) && __has_builtin(__builtin_convertvector) &&                      \
    __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__
#define SIDE_BY_SIDE
#endif
#endif

#ifdef SIDE_BY_SIDE
typedef float four __attribute__((vector_size(16)));
typedef double two __attribute__((vector_size(16)));
#define PICK    __builtin_shufflevector
#define LOW(f)  __builtin_convertvector(PICK(f, f, 0, 1), two)
#define HIGH(f) __builtin_convertvector(PICK(f, f, 2, 3), two)

/* tetrahedra, two at a time */
typedef struct pairs {
  two v, x, y, z, xx, yy, zz, xy, xz, yz;
} pairs;

/* tetrahedra_add for two */
static inline void add_two(pairs *t, two ax, two ay, two az, two bx, two by, two bz, two cx, two cy, two cz) {
  const two v = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
  const two px = bx + cx, py = by + cy, pz = bz + cz;
  const two x = ax + px, y = ay + py, z = az + pz;
  t->v += v;
  t->x += v * x;
  t->y += v * y;
  t->z += v * z;
  t->xx += v * (ax * x + bx * px + cx * cx);
  t->yy += v * (ay * y + by * py + cy * cy);
  t->zz += v * (az * z + bz * pz + cz * cz);
  t->xy += v * (x * y + ax * ay + bx * by + cx * cy);
  t->xz += v * (x * z + ax * az + bx * bz + cx * cz);
  t->yz += v * (y * z + ay * az + by * bz + cy * cz);
}

static inline four four_at(const char *bytes) {
  four f;
  memcpy(&f, bytes, sizeof f);
  return f;
}

/* The same four floats of four triangles in a row, turned: out[k] holds number k of each. */
static inline void turn(const char *from, four out[4]) {
  const four p = four_at(from), q = four_at(from + EACH), r = four_at(from + 2 * EACH),
             s = four_at(from + 3 * EACH);
  const four pq = PICK(p, q, 0, 4, 1, 5), rs = PICK(r, s, 0, 4, 1, 5);
  const four pq2 = PICK(p, q, 2, 6, 3, 7), rs2 = PICK(r, s, 2, 6, 3, 7);
  out[0] = PICK(pq, rs, 0, 1, 4, 5);
  out[1] = PICK(pq, rs, 2, 3, 6, 7);
  out[2] = PICK(pq2, rs2, 0, 1, 4, 5);
  out[3] = PICK(pq2, rs2, 2, 3, 6, 7);
}

static void spread(const pairs *t, tetrahedra *lane) {
  for (int k = 0; k < 2; k++)
    lane[k] = (tetrahedra){t->v[k],  t->x[k],  t->y[k],  t->z[k],  t->xx[k],
                           t->yy[k], t->zz[k], t->xy[k], t->xz[k], t->yz[k]};
}

/* Four triangles a turn. The nine floats of each are read as numbers 0-3, 4-7 and 5-8, so that nothing behind is touched. */
static void add_fours(tetrahedra lane[LANES], const char *from, size_t fours, sy_vec3 apex) {
  pairs low = {.v = {0, 0}}, high = {.v = {0, 0}};
  const two x = {apex.x, apex.x}, y = {apex.y, apex.y}, z = {apex.z, apex.z};
  for (size_t i = 0; i < fours; i++, from += LANES * EACH) {
    four f[4], g[4], h[4];
    turn(from, f);
    turn(from + 16, g);
    turn(from + 20, h);
    add_two(&low, LOW(f[0]) - x, LOW(f[1]) - y, LOW(f[2]) - z, LOW(f[3]) - x, LOW(g[0]) - y, LOW(g[1]) - z,
            LOW(g[2]) - x, LOW(g[3]) - y, LOW(h[3]) - z);
    add_two(&high, HIGH(f[0]) - x, HIGH(f[1]) - y, HIGH(f[2]) - z, HIGH(f[3]) - x, HIGH(g[0]) - y,
            HIGH(g[1]) - z, HIGH(g[2]) - x, HIGH(g[3]) - y, HIGH(h[3]) - z);
  }
  spread(&low, lane);
  spread(&high, lane + 2);
}
#else
static void add_fours(tetrahedra lane[LANES], const char *from, size_t fours, sy_vec3 apex) {
  for (size_t i = 0; i < LANES * fours; i++) add_one(&lane[i % LANES], from + i * EACH, apex);
}
#endif

static tetrahedra add_lanes(const tetrahedra *a, const tetrahedra *b) {
  return (tetrahedra){a->v + b->v,   a->x + b->x,   a->y + b->y,   a->z + b->z,   a->xx + b->xx,
                      a->yy + b->yy, a->zz + b->zz, a->xy + b->xy, a->xz + b->xz, a->yz + b->yz};
}

sy_status sy_mesh_body_of_stl(const char *bytes, size_t size, sy_massprops *out, sy_error *err) {
  size_t count = 0;
  const sy_status status = check_size(bytes, size, &count, err);
  if (status != SY_OK) return status;
  const char *first = bytes + HEADER + NORMAL;
  const sy_vec3 apex = count > 0 ? corner_at(first) : (sy_vec3){0, 0, 0};
  tetrahedra lane[LANES] = {{.v = 0}};
  add_fours(lane, first, count / LANES, apex);
  for (size_t i = count / LANES * LANES; i < count; i++) add_one(&lane[i % LANES], first + i * EACH, apex);
  const tetrahedra low = add_lanes(&lane[0], &lane[1]), high = add_lanes(&lane[2], &lane[3]);
  const tetrahedra sum = add_lanes(&low, &high);
  const sy_sums sums = tetrahedra_sums(&sum);
  return sy_mesh_body(sums, apex, sums.m, out, err);
}
