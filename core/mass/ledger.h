/* ledger.h - the parts of a car as a tree of values: every edit gives a new ledger and leaves the old one alone.
**
** Units    SI: kg, m. A part lies in the frame of its group, a group in the frame of the group around it; the
**          outermost frame is the vehicle's (ISO 8855:2011).
** Sharing  ledgers are reference counted and share all they can: an edit copies the nodes on one path. They may be
**          read from several threads at once.
** Totals   are sums of whole multiples of 2^-78 (exact.h): they depend on the parts and their places only, not on
**          the order of edits. Lengths that a shift adds up are kept to a whole picometre (1e-12 m) for the same reason.
** Place    a child's place among its siblings never changes and is never given to another: what is taken out is only
**          removed (`aboard` false). So a route found in one ledger is good in all that derive from it.
** Identity each item has a number that stays the same in every ledger derived from one start and is never reused.
** Uncertainty  first order. The errors of a part's mass and place are independent of those of every other part; `count`
**          pieces, and the two pieces of a pair, share one error. A part with the same identity and the same stated
**          value in two ledgers carries the same error in both (propagate.h).
** Memory   about 280 bytes a part and 8 more for each scale in use; an edit of a 300 part ledger adds about 2 kB, given
**          back when it is released.
*/
#ifndef SY_MASS_LEDGER_H
#define SY_MASS_LEDGER_H

#include <stdint.h>

#include "../base/alloc.h"
#include "sums.h"

typedef struct sy_ledger sy_ledger;
typedef struct sy_ledger_builder sy_ledger_builder;

/* Who carries a piece: the body, an axle's two wheels (shared by the lever rule in y), or one wheel. */
enum {
  SY_CARRIER_BODY = 0,
  SY_CARRIER_AXLE = 1,  /* + axle index 0..7 */
  SY_CARRIER_WHEEL = 9, /* + wheel index 0..15 */
  SY_CARRIER_COUNT = 25,
  SY_MAX_UNSPRUNG = 4, /* wheels or axles that share one part */
  SY_MAX_NESTING = 32,
  SY_MAX_INSTRUMENTS = 16,
  SY_MOST_WHOLES = 4 /* groups inside one another that count as weighed (whole.h) */
};
#define SY_ALL_CARRIERS ((1u << SY_CARRIER_COUNT) - 1u)

typedef struct sy_unsprung {
  double fraction[SY_MAX_UNSPRUNG]; /* > 0, together <= 1; the rest is on the body */
  uint8_t carrier[SY_MAX_UNSPRUNG];
  uint8_t count;
} sy_unsprung;

enum {
  SY_PART_NOT_ABOARD = 1, /* not aboard: counts nothing */
  SY_PART_UNSTATED =
      2,               /* nothing was said about the uncertainty of its mass: counted as exact, and counted */
  SY_PART_UNKNOWN = 4, /* its mass is not known: `mass` is 0, and it is counted */
  SY_PART_POINT = 8,   /* no inertia of its own was stated */
  SY_PART_SOLID = 16,  /* its inertia is proportional to its mass (it came from a shape) */
  SY_PART_MIRRORED =
      32, /* of a pair: its place is the image of the one that was stated and errs as in the mirror */
  SY_PART_IMAGE =
      64, /* of a pair: not the piece that was stated but its mirror image; it states itself where it is not MIRRORED */
  SY_PART_CORRECTED =
      128, /* mass and place are as records have them (measured.h); its line states `mass_stated` and `cg_stated` */
  SY_PART_USUAL =
      256 /* its inertia is that of a body of a usual density (solids.h), whose error all such parts share */
};

/* What the mass of a tank is made of: dry + density x volume, of one piece. A fill is another value of one line: its dry mass and its
** density err the same at every volume, each where it acts. */
typedef struct sy_fill {
  double dry, dry_sd;         /* kg, of the empty tank */
  double density, density_sd; /* kg/m^3 */
  double volume, volume_sd;   /* m^3 */
  double share_sd;            /* fraction of the mass: one relative error of all that the line says */
  sy_vec3 dry_arm;            /* m, in the group's directions, from the part's cg to that of the empty tank */
  sy_vec3 liquid_arm;         /* to that of the liquid */
  sy_vec3 surface_arm;        /* to the middle of its surface, where a little more of it lies */
} sy_fill;

/* What the line of a group that counts as it was weighed (whole.h) knows of that weighing; its mass may be below 0. */
typedef struct sy_whole {
  double mass;   /* kg, of the whole group as weighed, or as records correct that */
  double stated; /* kg, as weighed */
  sy_vec3
      arm; /* m, in the group's directions, from this line's cg to that of the whole: mass x arm is its moment beyond its own */
  sy_vec3 moment;     /* kg m, and that beyond it which records have found (measured.h) */
  double moved;       /* kg that an error of the line's place moves */
  sy_sym3 inertia_sd; /* kg m^2, of each entry of a measured inertia */
} sy_whole;

typedef struct sy_part {
  uint64_t id;     /* 0: a new number is given; by hand: below 2^63 */
  double mass;     /* kg, of one piece */
  double mass_sd;  /* kg, standard uncertainty beside those in `fill` */
  sy_vec3 cg;      /* m, in the group's frame */
  sy_vec3 cg_sd;   /* m, standard uncertainties, in the group's directions */
  sy_sym3 inertia; /* kg m^2, of one piece about its cg, in the group's directions */
  double growth;   /* fraction of the mass allowed for growth, kept apart from uncertainty */
  sy_vec3
      cg_stated;  /* m, the place as its line states it, there too: shifting and turning the part leaves it */
  uint32_t count; /* pieces at this place, >= 1 */
  uint32_t number; /* the caller's own number for whatever else it knows */
  uint32_t flags;
  sy_unsprung unsprung;
  uint32_t instrument; /* the scale it was weighed on, counted from 1; 0: none */
  double bias_share;   /* kg of one piece's mass per kg of the scale's bias */
  double gain_mass;    /* kg of one piece's mass per unit of the scale's relative gain error */
  const sy_fill *fill; /* of a tank, else NULL; the ledger keeps a copy that is good as long as the item is */
  double mass_stated;  /* kg, of one piece, as its line states it; only of a part that is CORRECTED */
  const sy_whole *whole; /* of the line that a weighed group has beyond its parts, else NULL; kept likewise */
} sy_part;

typedef struct sy_group {
  uint64_t id;
  sy_frame frame; /* into the frame of the group around it */
  uint32_t number;
  bool not_aboard;
  bool
      twin; /* a pair: its two children, left then right, are mirror images and share their errors; one is MIRRORED */
  sy_vec3 twin_normal; /* unit normal of the mirror plane, in the group's own directions */
} sy_group;

/* How to reach an item: child numbers from the root. depth 0 is the root group itself. */
typedef struct sy_route {
  uint32_t depth;
  uint32_t child[SY_MAX_NESTING];
} sy_route;

/* A scale's errors that all parts weighed on it share, beside what each reading has of its own in mass_sd. */
typedef struct sy_instrument {
  double bias_sd; /* kg, standard uncertainty of its zero */
  double gain_sd; /* standard uncertainty of its gain, as a fraction */
} sy_instrument;

SY_API sy_part sy_part_default(void); /* count 1, all else 0 */
SY_API sy_group sy_group_default(void);

/* ---- building ------------------------------------------------------------------------------------------- */

/* `relative` NULL starts a new line of identities; otherwise the builder's items get numbers that are new to all ledgers
** related to it. NULL when memory is out. */
SY_API sy_ledger_builder *sy_ledger_builder_new(const sy_alloc *alloc, const sy_ledger *relative);

/* The scales that parts name by number; before anything is booked, once for all related ledgers.
** Errors  SY_CLASH  the builder is for a ledger that exists, or something is booked
**         SY_LIMIT  more than SY_MAX_INSTRUMENTS;  SY_RANGE  a standard uncertainty < 0 or not finite */
SY_API sy_status sy_ledger_builder_instruments(sy_ledger_builder *builder, const sy_instrument *instruments,
                                               size_t count, sy_error *err);
SY_API void sy_ledger_builder_free(sy_ledger_builder *builder);

/* Names and tags are copied; name may be NULL; tags are separated by line breaks, NULL for none.
** Errors  SY_RANGE   a value is not finite, mass or an uncertainty < 0, mass above 1e5 kg, a coordinate above 1e3 m, count 0,
**                    fractions not in 0..1 or over 1 together, a placement that is not a rotation, a sum above 2^40
**         SY_LIMIT   memory is out, or SY_MAX_NESTING groups inside one another
** After an error the builder can only be freed. */
SY_API sy_status sy_ledger_add_part(sy_ledger_builder *builder, const char *name, const char *tags,
                                    const sy_part *part, sy_error *err);
SY_API sy_status sy_ledger_open_group(sy_ledger_builder *builder, const char *name, const char *tags,
                                      const sy_group *group, sy_error *err);
/* Errors  SY_CLASH  no group is open, or a pair has not got two parts */
SY_API sy_status sy_ledger_close_group(sy_ledger_builder *builder, sy_error *err);

/* The finished ledger; the builder is used up and must still be freed.
** Errors  SY_CLASH  a group is still open;  SY_LIMIT  memory is out;  SY_RANGE  a sum above 2^40 */
SY_API sy_status sy_ledger_finish(sy_ledger_builder *builder, sy_ledger **out, sy_error *err);

SY_API sy_ledger *sy_ledger_share(sy_ledger *ledger); /* one more owner */
SY_API void sy_ledger_release(sy_ledger *ledger);     /* one owner less; NULL is fine */

/* ---- editing: each gives a new ledger in *out, owned by the caller ------------------------------------------ */

/* All edits: SY_UNKNOWN  the route leads nowhere;  SY_LIMIT  memory is out;  SY_RANGE  as for sy_ledger_add_part. */

/* Replace a part's values; identity, name and tags stay. SY_TYPE when the route leads to a group. */
SY_API sy_status sy_ledger_put(const sy_ledger *ledger, const sy_route *route, const sy_part *part,
                               sy_ledger **out, sy_error *err);
/* Replace a group's number, frame or mark of not being aboard; identity and children stay. SY_TYPE when it leads to a part. */
SY_API sy_status sy_ledger_put_group(const sy_ledger *ledger, const sy_route *route, const sy_group *group,
                                     sy_ledger **out, sy_error *err);
/* Shift an item by `by` (m, vehicle directions). A pair is shifted and turned piece by piece: its own frame stays. */
SY_API sy_status sy_ledger_shift(const sy_ledger *ledger, const sy_route *route, sy_vec3 by, sy_ledger **out,
                                 sy_error *err);
/* Turn an item by the rotation `turn` about `point` (vehicle frame). The inertia of a part, and of each piece of a pair, turns with
** it; the uncertainties of its place keep their directions. */
SY_API sy_status sy_ledger_turn(const sy_ledger *ledger, const sy_route *route, sy_mat3 turn, sy_vec3 point,
                                sy_ledger **out, sy_error *err);
SY_API sy_status sy_ledger_set_aboard(const sy_ledger *ledger, const sy_route *route, bool aboard,
                                      sy_ledger **out, sy_error *err);
/* Give an item other tags (separated by line breaks, NULL for none); all else stays. SY_TYPE for the whole ledger. */
SY_API sy_status sy_ledger_set_tags(const sy_ledger *ledger, const sy_route *route, const char *tags,
                                    sy_ledger **out, sy_error *err);
/* Append the builder's top-level items to the group at `route`. SY_TYPE when that is a part; SY_CLASH when it is a pair,
** the builder is not related to `ledger` or has an open group; SY_LIMIT when groups would lie too deep. */
SY_API sy_status sy_ledger_append(const sy_ledger *ledger, const sy_route *route, sy_ledger_builder *items,
                                  sy_ledger **out, sy_error *err);

/* ---- asking ------------------------------------------------------------------------------------------------- */

typedef struct sy_totals {
  sy_sums all;                       /* about the vehicle's origin */
  sy_sums carried[SY_CARRIER_COUNT]; /* by carrier; only those named in `carriers` are filled */
  unsigned carriers;                 /* bit set: those whose sums are not all zero */
  sy_cov4 cov;          /* of all.m and all.first; of a ledger that records correct what they leave of it */
  double growth_mass;   /* kg, the allowances */
  double unstated_mass; /* kg, in parts that count as exact because nothing was said */
  size_t parts, points, usual, unstated, unknown; /* booked lines aboard; a pair is one */
} sy_totals;

SY_API void sy_ledger_totals(const sy_ledger *ledger, sy_totals *out);

/* The same with cov zero: what only asks for sums need not square the scales' errors. */
SY_API void sy_ledger_sums(const sy_ledger *ledger, sy_totals *out);

/* Has anything aboard a mass? The same as sums.all.m > 0, sooner. */
SY_API bool sy_ledger_has_mass(const sy_ledger *ledger);

/* The scales that parts name by number, as given to the builder; returns how many there are. */
SY_API size_t sy_ledger_instruments(const sy_ledger *ledger, sy_instrument out[SY_MAX_INSTRUMENTS]);

/* Do two parts of one booked line state the same mass, or the same coordinate (axis 0, 1 or 2 of their group)? Then they share its error.
** mirror: the normal of the pair's plane where one of them is a piece of a pair, else NULL (propagate.h says what it does). */
SY_API bool sy_same_mass_statement(const sy_part *a, const sy_part *b);
SY_API bool sy_same_coordinate(const sy_part *a, const sy_part *b, int axis, const sy_vec3 *mirror);

/* The mass of one piece as its line states it, kg: corrections stand beside it. */
static inline double sy_part_stated_mass(const sy_part *part) {
  return part->flags & SY_PART_CORRECTED ? part->mass_stated : part->mass;
}

/* The standard uncertainty of one piece's mass, with what its fill says; kg. */
SY_API double sy_part_mass_sd(const sy_part *part);

/* The part with its arms turned as `turn` says; `room` holds them. */
SY_API void sy_part_turn_fill(sy_part *part, sy_mat3 turn, sy_fill *room);

/* The same for one item, in the vehicle's frame, whether or not it is aboard. SY_UNKNOWN as above. */
SY_API sy_status sy_ledger_item_totals(const sy_ledger *ledger, const sy_route *route, sy_totals *out,
                                       sy_error *err);

typedef struct sy_item {
  const char *name;    /* NULL when it has none */
  const char *tags;    /* separated by line breaks, or NULL */
  const sy_part *part; /* one of the two is NULL */
  const sy_group *group;
  sy_frame outer; /* from the item's surroundings to the vehicle's frame */
  bool aboard;    /* it and everything around it */
  bool side;      /* one piece of a pair */
  size_t children;
  sy_route route;
} sy_item;

/* The pointers are good as long as the ledger is. */
SY_API sy_status sy_ledger_item(const sy_ledger *ledger, const sy_route *route, sy_item *out, sy_error *err);

/* Call `visit` for every item in file order, a group before its children; it returns false to leave a group's children
** out. */
typedef bool sy_ledger_visitor(void *user, const sy_item *item);
SY_API void sy_ledger_visit(const sy_ledger *ledger, sy_ledger_visitor *visit, void *user);

/* Find items by name or path. "engine" fits any item of that name, "powertrain/engine" one whose group is so named,
** "front corner/left" one side of a pair. `routes` holds `room` of them; returns how many fit altogether. */
SY_API size_t sy_ledger_find(const sy_ledger *ledger, const char *name, sy_route *routes, size_t room);
SY_API size_t sy_ledger_find_tag(const sy_ledger *ledger, const char *tag, sy_route *routes, size_t room);

#endif
