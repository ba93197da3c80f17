#include "answers/found.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>

uint64_t sy_error_key(const char *name) {
  uint64_t key =
      0xcbf29ce484222325u; /* FNV-1a, 64 bits: G. Fowler, L. C. Noll, K.-P. Vo, RFC 9923 (from memory) */
  for (const char *p = name; *p != 0; p++) key = (key ^ (unsigned char)*p) * 0x100000001b3u;
  return key;
}

sy_found sy_found_of(double value) { return (sy_found){value, 0, {{0, 0, 0, 0}}}; }

static const sy_own_error *same_in(const sy_found *found, const sy_own_error *e) {
  for (int i = 0; i < found->errors; i++) {
    const sy_own_error *other = &found->error[i];
    if (other->key == e->key && other->value == e->value && other->sd == e->sd) return other;
  }
  return NULL;
}

void sy_found_add(sy_found *found, uint64_t key, double value, double sd, double effect) {
  if (!(sd > 0.0)) return;
  const sy_own_error e = {key, value, sd, effect};
  const sy_own_error *const same = same_in(found, &e);
  if (same != NULL) {
    found->error[same - found->error].effect += effect;
    return;
  }
  assert(found->errors < SY_MOST_OWN);
  found->error[found->errors++] = e;
}

double sy_found_covariance(const sy_found *a, const sy_found *b) {
  double sum = 0.0;
  for (int i = 0; i < a->errors; i++) {
    const sy_own_error *const same = same_in(b, &a->error[i]);
    if (same != NULL) sum += a->error[i].effect * same->effect;
  }
  return sum;
}

double sy_found_sd(const sy_found *found) {
  return isnan(found->value) ? (double)NAN : sqrt(sy_found_covariance(found, found));
}

double sy_found_change_variance(const sy_found *from, const sy_found *to, double sign) {
  double sum = 0.0;
  for (int i = 0; i < to->errors; i++) {
    const sy_own_error *const before = same_in(from, &to->error[i]);
    const double effect = to->error[i].effect + (before != NULL ? sign * before->effect : 0.0);
    sum += effect * effect;
  }
  for (int i = 0; i < from->errors; i++)
    if (same_in(to, &from->error[i]) == NULL) sum += from->error[i].effect * from->error[i].effect;
  return sum;
}
