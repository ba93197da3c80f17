/* ledger_amount.c - what parts, groups and branches count, as exact sums. */
#include <string.h>

#include "mass/ledger_node.h"

/* Sums stay below this (SI units), so that those of all carriers together are well within the range of exact.h. */
#define MAX_SUM 0x1p40

/* The same in ordinary numbers, for one item before it is cut to exact terms. */
typedef struct terms {
  unsigned carriers, scales;
  double cov[10], growth, unstated_mass;
  int64_t parts, points, usual, unstated, unknown;
  sy_sums sums[SY_CARRIER_COUNT];      /* only rows in the masks are set */
  double scale[SY_MAX_INSTRUMENTS][8]; /* as scale_sums */
} terms;

static void add_share(terms *t, unsigned carrier, double fraction, const sy_sums *whole) {
  if (!(fraction > 0)) return;
  const sy_sums share = sy_sums_scale(fraction, whole);
  t->sums[carrier] = t->carriers >> carrier & 1u ? sy_sums_add(&t->sums[carrier], &share) : share;
  t->carriers |= 1u << carrier;
}

/* A piece's mass errs by bias_share a kilogram of the scale's bias and by gain_mass a unit of its gain error, its moments by that
** times its place. The two pieces of a pair err together like any others on that scale: nothing special about them. */
static void scale_of_part(const sy_part *p, terms *t) {
  double w[4] = {0, 0, 0, 0}, *row = t->scale[p->instrument - 1];
  sy_mass_response(p, w);
  for (int k = 0; k < 4; k++) {
    row[k] = p->bias_share * w[k];
    row[4 + k] = p->gain_mass * w[k];
  }
  t->scales = 1u << (p->instrument - 1);
}

/* The moment that a weighed whole has beyond its line's mass and place. */
static void add_moment(const sy_part *p, sy_sums *s) {
  const sy_vec3 d = sy_vec3_muladd(p->whole->moment, p->whole->mass, p->whole->arm), c = p->cg;
  s->first = sy_vec3_add(s->first, d);
  s->second =
      sy_sym3_add(s->second, (sy_sym3){2 * c.x * d.x, 2 * c.y * d.y, 2 * c.z * d.z, c.x * d.y + c.y * d.x,
                                       c.x * d.z + c.z * d.x, c.y * d.z + c.z * d.y});
}

static void terms_of_part(const sy_part *p, terms *t) {
  memset(t, 0, offsetof(terms, sums));
  const sy_massprops piece = {p->mass, p->cg, p->inertia};
  sy_sums whole = sy_sums_of(&piece);
  if (p->whole != NULL) add_moment(p, &whole);
  if (p->count != 1) whole = sy_sums_scale((double)p->count, &whole);
  double body = 1.0;
  for (unsigned i = 0; i < p->unsprung.count; i++) {
    add_share(t, p->unsprung.carrier[i], p->unsprung.fraction[i], &whole);
    body -= p->unsprung.fraction[i];
  }
  add_share(t, SY_CARRIER_BODY, body, &whole);
  sy_part_cov(p, t->cov);
  t->growth = p->growth * whole.m;
  t->parts = 1;
  t->points = (p->flags & SY_PART_POINT) != 0;
  t->usual = (p->flags & SY_PART_USUAL) != 0;
  t->unstated = (p->flags & SY_PART_UNSTATED) != 0;
  t->unknown = (p->flags & SY_PART_UNKNOWN) != 0;
  if (p->instrument > 0) scale_of_part(p, t);
  if (t->unstated) t->unstated_mass = whole.m;
}

static sy_sums sums_value(const ten_sums s) {
  double v[10];
  for (int i = 0; i < 10; i++) v[i] = sy_exact_value(s[i]);
  return (sy_sums){v[0], {v[1], v[2], v[3]}, {v[4], v[5], v[6], v[7], v[8], v[9]}};
}

/* A mass error and its moments go from frame to frame as masses do. */
static void add_placed(double m, sy_vec3 first, const sy_frame *frame, double out[4]) {
  const sy_vec3 placed = sy_vec3_muladd(sy_mat3_apply(frame->turn, first), m, frame->at);
  out[0] += m;
  out[1] += placed.x;
  out[2] += placed.y;
  out[3] += placed.z;
}

static void place_scale(const scale_sums inside, const sy_frame *frame, double out[8]) {
  memset(out, 0, 8 * sizeof *out);
  for (int k = 0; k < 8; k += 4) {
    const sy_vec3 first = {sy_exact_value(inside[k + 1]), sy_exact_value(inside[k + 2]),
                           sy_exact_value(inside[k + 3])};
    add_placed(sy_exact_value(inside[k]), first, frame, out + k);
  }
}

/* What scales did to the pieces as weighed is not in a group that counts as it was weighed. */
static void take_out_scales(const weighing *w, const sy_frame *frame, terms *t) {
  const scale_sums *row = sy_branch_scales(w->pieces);
  for (unsigned s = 0; w->pieces->scales >> s != 0; s++) {
    if (!(w->pieces->scales >> s & 1u)) continue;
    if (!(t->scales >> s & 1u)) memset(t->scale[s], 0, sizeof t->scale[s]);
    t->scales |= 1u << s;
    for (int k = 0; k < 8; k += 4) {
      const double m = sy_exact_value((*row)[k]);
      const sy_vec3 first = {sy_exact_value((*row)[k + 1]), sy_exact_value((*row)[k + 2]),
                             sy_exact_value((*row)[k + 3])};
      const sy_vec3 of_line =
          sy_vec3_muladd(sy_vec3_scale(w->by_pieces - 1, first), -w->by_pieces * m, w->cg);
      add_placed(-m, of_line, frame, t->scale[s] + k);
    }
    row++;
  }
}

static void terms_of_group(const group_node *g, terms *t) {
  memset(t, 0, offsetof(terms, sums));
  const branch *b = g->root;
  if (b == NULL) return;
  const sy_frame *frame = &g->group.frame;
  t->carriers = b->carriers;
  size_t row = 0;
  for (unsigned c = 0; b->carriers >> c != 0; c++)
    if (b->carriers >> c & 1u) {
      const sy_sums inside = sums_value(b->sums[row++]);
      t->sums[c] = sy_sums_place(&inside, frame);
    }
  const bool weighed = sy_counts_as_weighed(g);
  t->scales = b->scales;
  const scale_sums *scale = sy_branch_scales(b);
  for (unsigned s = 0; b->scales >> s != 0; s++)
    if (b->scales >> s & 1u) place_scale(*scale++, frame, t->scale[s]);
  if (weighed) take_out_scales(g->weighing, frame, t);
  sy_cov4 cov;
  if (g->group.twin)
    cov = sy_pair_cov(g, sy_node_aboard(sy_branch_item(b, 0)), sy_node_aboard(sy_branch_item(b, 1)));
  else if (weighed)
    g->weighing->cov(g, &cov);
  else
    for (int k = 0; k < 10; k++) cov.c[k] = sy_exact_value(b->tally.cov[k]);
  cov = sy_cov4_place(&cov, frame);
  memcpy(t->cov, cov.c, sizeof t->cov);
  t->growth = sy_exact_value(b->tally.growth);
  t->unstated_mass = sy_exact_value(b->tally.unstated_mass);
  const int64_t per_line = g->group.twin ? 2 : 1; /* a pair is one booked line */
  t->parts = (b->tally.parts + per_line - 1) / per_line;
  t->points = (b->tally.points + per_line - 1) / per_line;
  t->usual = (b->tally.usual + per_line - 1) / per_line;
  t->unstated = (b->tally.unstated + per_line - 1) / per_line;
  t->unknown = (b->tally.unknown + per_line - 1) / per_line;
}

static void sums_list(const sy_sums *s, double v[10]) {
  const double list[10] = {s->m,         s->first.x,   s->first.y,   s->first.z,   s->second.xx,
                           s->second.yy, s->second.zz, s->second.xy, s->second.xz, s->second.yz};
  memcpy(v, list, sizeof list);
}

static bool fits_exactly(const double *v, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (!(fabs(v[i]) < MAX_SUM)) return false;
  return true;
}

static bool terms_fit(const terms *t) {
  for (unsigned c = 0; t->carriers >> c != 0; c++)
    if (t->carriers >> c & 1u) {
      double v[10];
      sums_list(&t->sums[c], v);
      if (!fits_exactly(v, 10)) return false;
    }
  for (unsigned s = 0; t->scales >> s != 0; s++)
    if (t->scales >> s & 1u && !fits_exactly(t->scale[s], 8)) return false;
  return fits_exactly(t->cov, 10) && fits_exactly(&t->growth, 1) && fits_exactly(&t->unstated_mass, 1);
}

bool sy_part_terms_fit(const sy_part *part) {
  terms t;
  terms_of_part(part, &t);
  return terms_fit(&t);
}

static bool beyond_max(sy_exact e) {
  const int64_t limit = (int64_t)(MAX_SUM * 0x1p16);
  return e.hi >= limit || e.hi <= -limit;
}

static bool combine(sy_exact *total, const sy_exact *term, size_t count, bool add) {
  bool fits = true;
  for (size_t i = 0; i < count; i++) {
    total[i] = add ? sy_exact_add(total[i], term[i]) : sy_exact_sub(total[i], term[i]);
    fits = fits && !beyond_max(total[i]);
  }
  return fits;
}

static sy_exact *row_of(amount *a, unsigned carrier) {
  if (!(a->carriers >> carrier & 1u)) {
    memset(a->sums[carrier], 0, sizeof(ten_sums));
    a->carriers |= 1u << carrier;
  }
  return a->sums[carrier];
}

static sy_exact *scale_of(amount *a, unsigned scale) {
  if (!(a->scales >> scale & 1u)) {
    memset(a->scale[scale], 0, sizeof(scale_sums));
    a->scales |= 1u << scale;
  }
  return a->scale[scale];
}

static bool combine_terms(amount *total, const terms *t, bool add) {
  if (!terms_fit(t)) return false;
  bool fits = true;
  for (unsigned c = 0; t->carriers >> c != 0; c++)
    if (t->carriers >> c & 1u) {
      double v[10];
      ten_sums e;
      sums_list(&t->sums[c], v);
      for (int i = 0; i < 10; i++) e[i] = sy_exact_from(v[i]);
      fits = combine(row_of(total, c), e, 10, add) && fits;
    }
  for (unsigned s = 0; t->scales >> s != 0; s++)
    if (t->scales >> s & 1u) {
      scale_sums e;
      for (int i = 0; i < 8; i++) e[i] = sy_exact_from(t->scale[s][i]);
      fits = combine(scale_of(total, s), e, 8, add) && fits;
    }
  sy_exact extra[12];
  for (int i = 0; i < 10; i++) extra[i] = sy_exact_from(t->cov[i]);
  extra[10] = sy_exact_from(t->growth);
  extra[11] = sy_exact_from(t->unstated_mass);
  fits = combine(total->tally.cov, extra, 10, add) && fits;
  fits = combine(&total->tally.growth, extra + 10, 1, add) && fits;
  fits = combine(&total->tally.unstated_mass, extra + 11, 1, add) && fits;
  const int64_t sign = add ? 1 : -1;
  total->tally.parts += sign * t->parts;
  total->tally.points += sign * t->points;
  total->tally.usual += sign * t->usual;
  total->tally.unstated += sign * t->unstated;
  total->tally.unknown += sign * t->unknown;
  return fits;
}

static bool combine_tally(amount *total, const tally *t, bool add) {
  bool fits = combine(total->tally.cov, t->cov, 10, add);
  fits = combine(&total->tally.growth, &t->growth, 1, add) && fits;
  fits = combine(&total->tally.unstated_mass, &t->unstated_mass, 1, add) && fits;
  const int64_t sign = add ? 1 : -1;
  total->tally.parts += sign * t->parts;
  total->tally.points += sign * t->points;
  total->tally.usual += sign * t->usual;
  total->tally.unstated += sign * t->unstated;
  total->tally.unknown += sign * t->unknown;
  return fits;
}

static bool combine_rows(amount *total, const branch *b, bool add) {
  bool fits = true;
  size_t row = 0;
  for (unsigned c = 0; b->carriers >> c != 0; c++)
    if (b->carriers >> c & 1u) fits = combine(row_of(total, c), b->sums[row++], 10, add) && fits;
  const scale_sums *scale = sy_branch_scales(b);
  for (unsigned s = 0; b->scales >> s != 0; s++)
    if (b->scales >> s & 1u) fits = combine(scale_of(total, s), *scale++, 8, add) && fits;
  return fits;
}

static bool combine_branch(amount *total, const branch *b, bool add) {
  const bool rows = combine_rows(total, b, add);
  return combine_tally(total, &b->tally, add) && rows;
}

static int64_t lines_of(int64_t pieces) { return (pieces + 1) / 2; }

/* A pair in the directions of its surroundings: its pieces add up as two parts would, to the bit, but it is one line with errors in
** common. */
static bool combine_pair(amount *total, const group_node *pair, bool add) {
  const branch *b = pair->root;
  const sy_cov4 cov =
      sy_pair_cov(pair, sy_node_aboard(sy_branch_item(b, 0)), sy_node_aboard(sy_branch_item(b, 1)));
  if (!fits_exactly(cov.c, 10)) return false;
  tally t = b->tally;
  for (int i = 0; i < 10; i++) t.cov[i] = sy_exact_from(cov.c[i]);
  t.parts = lines_of(t.parts);
  t.points = lines_of(t.points);
  t.usual = lines_of(t.usual);
  t.unstated = lines_of(t.unstated);
  t.unknown = lines_of(t.unknown);
  const bool rows = combine_rows(total, b, add);
  return combine_tally(total, &t, add) && rows;
}

static bool plain_frame(const sy_frame *f) {
  const sy_frame identity = sy_frame_identity();
  return memcmp(f, &identity, sizeof identity) == 0;
}

static bool combine_item(amount *total, const node *n, bool add) {
  terms t;
  if (n->kind == NODE_PART) {
    terms_of_part(&((const part_node *)n)->part, &t);
    return combine_terms(total, &t, add);
  }
  const group_node *g = (const group_node *)n;
  if (g->root == NULL) return true;
  if (plain_frame(&g->group.frame) && !sy_counts_as_weighed(g))
    return g->group.twin ? combine_pair(total, g, add) : combine_branch(total, g->root, add);
  terms_of_group(g, &t);
  return combine_terms(total, &t, add);
}

static bool combine_node(amount *total, const node *n, bool add) {
  if (n->kind == NODE_BRANCH) return combine_branch(total, (const branch *)n, add);
  return !sy_node_aboard(n) || combine_item(total, n, add);
}

void sy_amount_of_branch(amount *out, const branch *b) {
  size_t row = 0;
  out->carriers = b->carriers;
  out->scales = b->scales;
  out->tally = b->tally;
  for (unsigned c = 0; b->carriers >> c != 0; c++)
    if (b->carriers >> c & 1u) memcpy(out->sums[c], b->sums[row++], sizeof(ten_sums));
  const scale_sums *scale = sy_branch_scales(b);
  for (unsigned s = 0; b->scales >> s != 0; s++)
    if (b->scales >> s & 1u) memcpy(out->scale[s], *scale++, sizeof(scale_sums));
}

bool sy_amount_add(amount *total, const node *n) { return combine_node(total, n, true); }

bool sy_amount_sub(amount *total, const node *n) { return combine_node(total, n, false); }

bool sy_amount_of_item(amount *out, const node *item) {
  out->carriers = out->scales = 0;
  memset(&out->tally, 0, sizeof out->tally);
  return combine_item(out, item, true);
}

/* One bias and one gain error a scale: each adds the outer product of what it does, times its variance. */
void sy_amount_add_scales(const amount *a, const family *f, sy_cov4 *cov) {
  for (unsigned s = 0; a->scales >> s != 0; s++)
    if (a->scales >> s & 1u) {
      double w[8];
      for (int i = 0; i < 8; i++) w[i] = sy_exact_value(a->scale[s][i]);
      const sy_instrument *scale = &f->instrument[s];
      sy_cov_add_mass(cov->c, w, scale->bias_sd * scale->bias_sd);
      sy_cov_add_mass(cov->c, w + 4, scale->gain_sd * scale->gain_sd);
    }
}

void sy_amount_totals(const amount *a, sy_totals *out) {
  ten_sums all;
  memset(all, 0, sizeof all);
  out->carriers = a->carriers;
  for (unsigned c = 0; a->carriers >> c != 0; c++)
    if (a->carriers >> c & 1u) {
      out->carried[c] = sums_value(a->sums[c]);
      for (int i = 0; i < 10; i++) all[i] = sy_exact_add(all[i], a->sums[c][i]);
    }
  out->all = sums_value(all);
  for (int k = 0; k < 10; k++) out->cov.c[k] = sy_exact_value(a->tally.cov[k]);
  out->growth_mass = sy_exact_value(a->tally.growth);
  out->unstated_mass = sy_exact_value(a->tally.unstated_mass);
  out->parts = (size_t)a->tally.parts;
  out->points = (size_t)a->tally.points;
  out->usual = (size_t)a->tally.usual;
  out->unstated = (size_t)a->tally.unstated;
  out->unknown = (size_t)a->tally.unknown;
}
