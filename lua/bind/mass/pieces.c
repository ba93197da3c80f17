/* pieces.c - what a ledger holds as lists of plain numbers: for sums over all lines, where a table a line would be most of the time. */
#include <lauxlib.h>

#include "bind/mass/ledger.h"
#include "bind/open.h"

typedef struct listing {
  lua_State *L;
  sy_route group; /* only what lies in it; of depth 0: everything */
  lua_Integer count;
  bool routes;
} listing;

/* The lists stand at 4, 5 and 6. */
static bool list_piece(void *user, const sy_item *item) {
  listing *list = user;
  lua_State *L = list->L;
  if (!syl_leads_to(item, &list->group)) return false;
  if (item->part == NULL || item->route.depth <= list->group.depth || !item->aboard) return true;
  list->count++;
  lua_pushinteger(L, (lua_Integer)item->part->number);
  lua_seti(L, 4, list->count);
  lua_pushnumber(L, item->part->mass * (double)item->part->count);
  lua_seti(L, 5, list->count);
  if (list->routes) {
    syl_push_route(L, &item->route);
    lua_seti(L, 6, list->count);
  }
  return true;
}

/* core.pieces_aboard(ledger, route?, routes?) -> numbers, masses (kg, of all that a line counts), with `routes` those too: of parts and
** pieces of pairs aboard, in file order; with a route of those inside that group or pair */
static int l_pieces_aboard(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  listing list = {.L = L, .routes = lua_toboolean(L, 3)};
  if (!lua_isnoneornil(L, 2)) list.group = syl_check_route(L, 2);
  lua_settop(L, 3);
  for (int i = 0; i < 3; i++) lua_newtable(L);
  sy_ledger_visit(ledger, list_piece, &list);
  if (!list.routes) lua_pop(L, 1);
  return list.routes ? 3 : 2;
}

void syl_open_pieces(lua_State *L) {
  lua_pushcfunction(L, l_pieces_aboard);
  lua_setfield(L, -2, "pieces_aboard");
}
