/* measured_weighed.h - a ledger being corrected: what its lines meet in the records' ledgers. Private to core/mass. */
#ifndef SY_MASS_MEASURED_WEIGHED_H
#define SY_MASS_MEASURED_WEIGHED_H

#include "measured_parts.h"

struct correction;
struct level;
/* By what the records move the pieces of child `child` of a group: a part, or the two of a pair. */
typedef void correct_line_by(const struct correction *c, const node *n, uint32_t child,
                             const struct level *at, moved by[2]);
/* The child, corrected. was: as it was corrected before, or NULL. NULL: memory, or as the correction says. */
typedef node *correct_child(struct correction *c, const node *n, const node *was, uint32_t child,
                            const struct level *at);

/* The ledgers of the records, of all families, and the one that is corrected. */
typedef struct correction {
  correct_line_by *line_by;
  correct_child *child;
  const sy_measured *m;
  family *family; /* of the ledger */
  walked_family walked[SY_MOST_FAMILIES];
  int me, record_family[SY_MOST_RECORDS];
  common_error common[SY_MAX_INSTRUMENTS];
  bool too_large, too_many;       /* why there is none: a sum, or the places that a line has in the records */
  sy_vec3 *crossed;               /* NULL: not wanted */
  double part;                    /* of the way from what was corrected before; 1: that counts nothing */
  corrected_weighing **weighings; /* that are corrected already */
} correction;

/* Children that stand at the same place in the tree, and how the records pull there. */
typedef struct level_place {
  const branch *root;
  uint32_t children;
  sy_sensitivity by; /* in their group's directions */
} level_place;

/* What the records of the ledger's own family have at the place of a group: as it stands in their ledgers, and as it was weighed. */
typedef struct level {
  level_place at[SY_MOST_PLACES];
  size_t count;
  sy_mat3 turn; /* from here to the vehicle's directions */
  bool aboard;
} level;

/* The weighing of the group, corrected, and in `line` its line as it then is; false as above. The caller gives the reference back. */
bool sy_correct_weighing(correction *c, const group_node *g, const level *at, weighing **out, node **line);

#endif
