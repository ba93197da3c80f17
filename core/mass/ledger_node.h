/* ledger_node.h - the nodes behind ledger.h. Private to core/mass.
**
** A group's children are a radix tree by child number: branches of 16, level 0 holding the items. Each branch keeps the
** exact sums of what hangs below it, in the group's own frame, so an edit takes one old term out and puts one new
** term in on each level of one path.
*/
#ifndef SY_MASS_LEDGER_NODE_H
#define SY_MASS_LEDGER_NODE_H

#include <stdatomic.h>

#include "exact.h"
#include "ledger.h"

enum { SY_RADIX_BITS = 4, SY_RADIX = 1 << SY_RADIX_BITS, SY_RADIX_LEVELS = 8 };
/* nodes on one path: each group with its branches, and the part at the end */
enum { SY_MAX_PATH = (SY_MAX_NESTING + 1) * (SY_RADIX_LEVELS + 2) + 1 };

typedef enum node_kind { NODE_PART, NODE_GROUP, NODE_BRANCH, NODE_WEIGHING } node_kind;

typedef struct node {
  atomic_uint refs;
  uint8_t kind;
  uint8_t level; /* branches: 0 holds items */
  uint8_t used;  /* branches: children */
  uint8_t spare;
} node;

/* Name and tags stand behind the values, each ended by a zero. */
typedef struct label {
  uint16_t name; /* bytes, 0: none */
  uint16_t tags;
} label;

typedef struct part_node {
  node head;
  label label;
  sy_part part;
  char text[];
} part_node;

typedef struct branch branch;

typedef struct group_node group_node;

/* How a group was weighed that counts so (whole.h): its pieces as they then stood, and the line that has what the whole was beyond them.
** In its frame that line is (mass, first and second moments) of the whole less those of the pieces, so the errors of these leave the
** group's sums, as long as the line is aboard. */
typedef struct weighing {
  node head;
  branch *pieces;
  uint32_t line; /* its child number */
  double mass;   /* kg, of those pieces */
  sy_vec3 cg;    /* m, theirs */
  double
      by_pieces; /* kg of the whole that lie where the pieces' cg does, by kg of these; 0 when its own cg was measured */
  sy_vec3 moment; /* kg m, then: beyond that, as records have found (measured.h) */
  bool inertia;   /* it was measured too */
  void (*cov)(const group_node *g,
              sy_cov4 *out); /* of the group's sums in its own frame, without what scales share */
} weighing;

struct group_node {
  node head;
  label label;
  sy_group group;
  branch *root;       /* NULL: empty */
  weighing *weighing; /* NULL: none */
  uint32_t children;
  char text[];
};

/* What is the same for all carriers. */
typedef struct tally {
  sy_exact cov[10], growth, unstated_mass;
  int64_t parts, points, usual, unstated, unknown;
} tally;

typedef sy_exact ten_sums[10]; /* m, first x y z, second xx yy zz xy xz yz */

/* What the errors that a scale's parts share do to (m, m x, m y, m z): per kg of its bias, then per unit of its gain error.
** No `cov` holds them: they add up before they are squared, and so must be kept as sums. */
typedef sy_exact scale_sums[8];

struct branch {
  node head;
  unsigned carriers, scales; /* bit set: which have rows; scales counted from 0 */
  tally tally;
  node *child[SY_RADIX];
  ten_sums sums[]; /* one a carrier, ascending; behind them the scales' */
};

/* A branch's sums while they are being worked out. Only rows in the masks are set. */
typedef struct amount {
  unsigned carriers, scales;
  tally tally;
  ten_sums sums[SY_CARRIER_COUNT];
  scale_sums scale[SY_MAX_INSTRUMENTS];
} amount;

struct sy_ledger_family {
  atomic_uint refs;
  atomic_ullong next_id;
  sy_alloc alloc;
  size_t instrument_count;
  sy_instrument instrument[SY_MAX_INSTRUMENTS]; /* set before the first ledger, never changed */
};
typedef struct sy_ledger_family family;

/* What records say of all ledgers that share it (measured.h), as the floor of the ledger sees it. */
typedef struct conditions {
  atomic_uint refs;
  void (*release)(struct conditions *c);                     /* the last reference */
  void (*covariance)(const sy_ledger *ledger, sy_cov4 *out); /* of the sums, as the records leave it */
  sy_status (*of_item)(const sy_ledger *ledger, const sy_route *route, sy_cov4 *out, sy_error *err);
} conditions;

struct sy_ledger {
  atomic_uint refs;
  family *family;
  group_node *root;
  conditions *measured; /* NULL: none; edits keep it */
};

family *sy_family_new(const sy_alloc *alloc);
family *sy_family_share(family *f);
void sy_family_release(family *f);

node *sy_node_share(node *n);
void sy_node_release(family *f, node *n);

/* NULL when memory is out. Texts may be NULL. The group takes over one reference to `root`, and one more to `weighing` (may be NULL). */
part_node *sy_node_part(family *f, const sy_part *part, const char *name, const char *tags);
group_node *sy_node_group(family *f, const sy_group *group, const char *name, const char *tags, branch *root,
                          uint32_t children, weighing *weighed);
/* Does the group count as weighed? Its line is aboard, and nobody has set it anew. */
bool sy_counts_as_weighed(const group_node *g);
const char *sy_label_name(const node *item); /* NULL when none */
const char *sy_label_tags(const node *item);

/* Is the item itself aboard, whatever is around it? */
static inline bool sy_node_aboard(const node *item) {
  return item->kind == NODE_PART ? !(((const part_node *)item)->part.flags & SY_PART_NOT_ABOARD)
                                 : !((const group_node *)item)->group.not_aboard;
}

/* What a branch counts. */
void sy_amount_of_branch(amount *out, const branch *b);
/* Add (or take out) what an item or branch counts. False when a term or a sum is beyond exact.h. */
bool sy_amount_add(amount *total, const node *n);
bool sy_amount_sub(amount *total, const node *n);
void sy_amount_totals(const amount *a, sy_totals *out);
/* The item's own amount as if it were aboard, in the frame of its group (a group: of its surroundings). */
bool sy_amount_of_item(amount *out, const node *item);
bool sy_part_terms_fit(const sy_part *part);
/* The rows of a branch's scales, one a bit in `scales`, ascending. */
const scale_sums *sy_branch_scales(const branch *b);
/* Add what the scales' errors do to the (m, m x, m y, m z) of `a`, in the frame of its sums. */
void sy_amount_add_scales(const amount *a, const family *f, sy_cov4 *cov);

/* A branch with room for the rows of so many carriers and scales, its level, children and sums not yet set. NULL when memory is out. */
branch *sy_branch_new(family *f, unsigned carriers, unsigned scales);

/* Branches take over one reference to each child; on failure (NULL) they have released them. *too_large:
** a range failure and not missing memory. */
branch *sy_branch_make(family *f, uint8_t level, node *const *child, size_t used, bool *too_large);
branch *sy_branch_replace(family *f, const branch *old, size_t index, node *child, bool *too_large);
/* `root` (may be NULL) with one more item; children is the number before. Keeps the caller's reference to root. */
branch *sy_branch_append(family *f, const branch *root, uint32_t children, node *item, bool *too_large);
node *sy_branch_item(const branch *root, uint32_t index);
/* Takes over the references in items[0..count); NULL with count 0 too. */
branch *sy_branch_build(family *f, node **items, size_t count, bool *too_large);

/* Where a kilogram more of its mass lies, from its cg, and how much an error of its place moves: otherwise only of a whole's line. */
static inline sy_vec3 sy_part_arm(const sy_part *p) {
  return p->whole != NULL ? p->whole->arm : (sy_vec3){0, 0, 0};
}
static inline double sy_part_moved(const sy_part *p) { return p->whole != NULL ? p->whole->moved : p->mass; }

/* The errors that a part's mass is made of: what one unit does to the mass of a piece (kg), how far from the part's cg it does so, and its
** standard uncertainty. The first is that of the mass as such; the others are those of a fill. */
enum { MASS_ERRORS = 5 };
typedef struct mass_error {
  double effect, sd;
  sy_vec3 arm;
} mass_error;
static inline int sy_mass_error_count(const sy_part *p) { return p->fill != NULL ? MASS_ERRORS : 1; }
mass_error sy_mass_error_of(const sy_part *p, int kind);
/* What one kilogram more of the part's mass does to (m, m x, m y, m z), of all its pieces. */
void sy_mass_response(const sy_part *p, double w[4]);
/* Adds variance times w w^T, the upper triangle. */
void sy_cov_add_mass(double c[10], const double w[4], double variance);
/* The covariance of (m, m x, m y, m z) of a part as its line says it. */
void sy_part_cov(const sy_part *p, double c[10]);
/* Do two parts of one line state the same there? Then it is one error. */
bool sy_same_mass_error(const sy_part *a, const sy_part *b, int kind);
/* Would an error along the axis be the same error of both, whatever they state? */
bool sy_same_direction(const sy_part *a, const sy_part *b, int axis, const sy_vec3 *mirror);

/* Errors of a place seen from the other side: 1 - 2 n n^T */
sy_vec3 sy_twin_reflect(sy_vec3 normal, sy_vec3 v);
/* Covariance of the sums of one piece or both, in the pair's own frame, whether or not they are aboard. */
sy_cov4 sy_pair_cov(const group_node *pair, bool left, bool right);

/* The group at the route, which has children, counts as weighed from now on. */
sy_status sy_ledger_put_weighing(const sy_ledger *ledger, const sy_route *route, weighing *weighed,
                                 sy_ledger **out, sy_error *err);

/* May the builder's items be appended to the group `name` that lies inside `depth` - 1 others? */
sy_status sy_ledger_builder_fits(const sy_ledger_builder *builder, const family *f, const char *name,
                                 size_t depth, sy_error *err);
/* The builder's top-level item, with a new reference; NULL past the end. */
node *sy_ledger_builder_take(sy_ledger_builder *builder, size_t index);

/* Takes over root, shares f and measured (may be NULL); NULL and root released: memory. */
sy_ledger *sy_ledger_wrap(family *f, group_node *root, conditions *measured);

void sy_conditions_release(conditions *c); /* NULL is fine */

#endif
