/* pairing_line.h - how a pairing keeps its lines. Private to core/mass. */
#ifndef SY_MASS_PAIRING_LINE_H
#define SY_MASS_PAIRING_LINE_H

#include "ledger_node.h"
#include "pairing.h"

/* Of each family (0: from, 1: to) the identity, and the way there from the root. */
typedef struct paired_line {
  uint64_t id[2];
  uint32_t depth[2], way[2]; /* child numbers way[f] .. way[f] + depth[f] - 1 of sy_pairing.child */
  sy_vec3 shift;             /* from what `from` states to what `to` does, or to its image */
  bool opposite;             /* a pair of which they state opposite pieces */
} paired_line;

typedef struct paired_key {
  uint64_t id;
  size_t line;
} paired_key;

struct sy_pairing {
  sy_alloc alloc;
  family *family[2]; /* kept alive: another must not come to stand there */
  size_t bytes;      /* of all this: one block */
  size_t count;
  paired_line *line;
  paired_key *key[2]; /* ascending */
  uint32_t *child;
  uint32_t same_instrument[SY_MAX_INSTRUMENTS];
};

/* The line with that identity in family f, or NULL. */
const paired_line *sy_pairing_find(const sy_pairing *pairing, int f, uint64_t id);

#endif
