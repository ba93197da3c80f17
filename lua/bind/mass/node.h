/* node.h - a part as file/nodes.lua makes it, to what the ledger books: for a new car, and for edits and fills of one. */
#ifndef SYL_BIND_MASS_NODE_H
#define SYL_BIND_MASS_NODE_H

#include <lua.h>

#include "bind/mass/pair.h"
#include "bind/vehicle/geometry.h"
#include "mass/ledger.h"
#include "reader/plain_lines.h"

/* Which node, and what is known beside it. Indices are of the stack. */
typedef struct syl_node {
  int node;    /* the part, tank or person, a table without metamethods */
  int context; /* of car/build.lua: {carriers = {[name] = number}, scales = {[name] = number}, assume = {[basis] = share of the mass} or
               nil, otherwise = sd of a coordinate that states none, mm} */
  bool has_liquid; /* a tank whose body is worked out with what lies in it */
  bool
      is_fill; /* a tank that now holds `litres`: nothing changes but what its mass is made of, and its body */
  double litres, litres_sd; /* of a fill; litres_sd NaN: not stated */
  const syl_piece *piece;   /* of a pair; NULL for any other part */
  const sy_mat3 *mirror;    /* the reflection of a piece that is the image of the one stated, else NULL */
  int alone; /* nine numbers by rows: the turns of the part by itself since it was filed; 0: none */
} syl_node;

/* All that the node says over what stands in `part`, but for its place, its name and what lies in a tank. fill: holds what the part's
** `fill` then points to, of a tank. Returns false with `err` filled when a shape is none. Raises on wrong types. */
bool syl_read_node(lua_State *L, const syl_node *n, const syl_geometry *g, sy_part *part, sy_fill *fill,
                   sy_error *err);

/* The place of a new part; at_top: its `at` is a point of the file, otherwise it is measured from the group's place. */
void syl_read_node_place(lua_State *L, const syl_node *n, const syl_geometry *g, bool at_top, sy_part *part);

/* What the context says: the share of a mass that is assumed to be uncertain for that basis (NULL: none is stated), below 0 where nothing
** is; the standard uncertainty of a coordinate that states none, mm; does a part without a shape have one of a usual density? */
double syl_assumed_share(lua_State *L, int context, const char *basis);
double syl_place_sd_otherwise(lua_State *L, int context);
bool syl_assumes_shapes(lua_State *L, int context);

/* A new part from a plain line, as its node would make it: `otherwise`, `share` for its basis and `shapes` are what the context says. */
void syl_plain_part(const syl_plain_line *line, const syl_geometry *g, bool at_top, double otherwise,
                    double share, bool shapes, sy_part *part);

/* Push the tags of the node, one a line, or nil. */
void syl_push_tags(lua_State *L, int node);

/* Where a part stated at `at` with standard uncertainties `sd` lies (mm, file axes). */
void syl_place_part(const syl_geometry *g, bool at_top, const double at[3], const double sd[3],
                    sy_part *part);

/* The rotation for {nose_up, nose_down, left_up, right_up, nose_left, nose_right} in degrees at `index`. */
sy_mat3 syl_read_turn(lua_State *L, int index);

/* Gives a part of which only the mass is known the inertia of a body of a usual density. */
void syl_set_usual(sy_part *part);

#endif
