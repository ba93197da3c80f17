/* balance.c - the balance sheet as a Lua table.
**
** Scripts ask for thousands of sheets, and most of the time went to finding the same seventy keys among Lua's texts: so the keys are
** upvalues of the functions here, each made once, and the tables are made as large as they become. Most sheets are made for a few of the
** numbers that stand in no table inside: these are the headlines, which can be had alone.
*/
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "answers/ask.h"
#include "answers/balance_answers.h"
#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"

static double shown_value(const sy_balance *b, syl_shown s) {
  return s.scale * b->value[s.answer] + s.offset;
}

/* What one standard uncertainty of the cross weight does to the answer as it is shown. */
static double cross_effect(const sy_balance *b, const syl_geometry *g, syl_shown s) {
  return g->cross_sd > 0 ? s.scale * g->cross_sd * sy_balance_by_cross(b, s.answer) : 0;
}

/* ---- keys ------------------------------------------------------------------------------------------------------ */

/* front to diagonal_ratio as in sy_answer */
/* clang-format off */
#define KEYS(K) \
  K(mass) K(height) K(cg_behind) K(cg_left) \
  K(front) K(rear) K(left) K(right) K(front_share) K(left_share) K(cross_share) K(diagonal_ratio) \
  K(cg) K(x) K(y) K(z) K(axle) K(sd) K(wheelbase) K(yaw_inertia) K(yaw_index) \
  K(inertia) K(xx) K(yy) K(zz) K(xy) K(xz) K(yz) \
  K(lifted) K(sprung) K(unsprung) K(unstated) K(parts) K(mass_share) K(points) K(unknown)
/* clang-format on */
#define AS_INDEX(name) KEY_##name,
#define AS_TEXT(name)  #name,
typedef enum key { KEY_none, KEYS(AS_INDEX) KEY_COUNT } key; /* upvalues count from 1 */
static const char *const key_text[] = {"", KEYS(AS_TEXT)};

/* Sizes of the larger tables, what the Lua side adds included. */
enum { HEADLINES_SIZE = 32, RESULT_SIZE = 40, SD_SIZE = 24, TABLES = 8 };

/* The sheet while it is made. */
typedef struct sheet {
  lua_State *L;
  const sy_balance *b;
  const sy_totals *t;
  const syl_geometry *g;
  int result, sd, axle_names, wheel_keys; /* where they lie on the stack */
  const double *
      after; /* standard uncertainties by answer (AFTER_BEHIND: of cg_behind), NaN where the root's covariance and the cross weight say it */
} sheet;

/* Behind the answers. */
enum { AFTER_BEHIND = SY_ANSWER_COUNT, AFTER_COUNT };

/* ---- filling tables -------------------------------------------------------------------------------------------- */

/* table[key] = value; nothing for a NaN. */
static void put(lua_State *L, int table, key k, double value) {
  if (isnan(value)) return;
  lua_pushvalue(L, lua_upvalueindex((int)k));
  lua_pushnumber(L, value);
  lua_rawset(L, table);
}

static void put_count(lua_State *L, int table, key k, size_t count) {
  lua_pushvalue(L, lua_upvalueindex((int)k));
  lua_pushinteger(L, (lua_Integer)count);
  lua_rawset(L, table);
}

/* table[list[i]] = value */
static void put_listed(lua_State *L, int table, int list, int i, double value) {
  lua_rawgeti(L, list, i);
  lua_pushnumber(L, value);
  lua_rawset(L, table);
}

/* A new table under `k` of `outer`, left on the stack; gives its index. */
static int open_table(lua_State *L, int outer, key k, int items, int fields) {
  lua_createtable(L, items, fields);
  lua_pushvalue(L, lua_upvalueindex((int)k));
  lua_pushvalue(L, -2);
  lua_rawset(L, outer);
  return lua_gettop(L);
}

/* ---- answers --------------------------------------------------------------------------------------------------- */

/* Standard uncertainty of a flat answer, straight from the root's covariance; beside the parts' the cross weight has its own. */
static double uncertainty_of(const sheet *s, syl_shown shown) {
  if (s->after != NULL && !isnan(s->after[shown.answer])) return fabs(shown.scale) * s->after[shown.answer];
  const sy_sensitivity by = sy_balance_sensitivity(s->b, shown.answer);
  const double parts = fabs(shown.scale) * sqrt(sy_cov4_variance(&s->t->cov, &by));
  const double cross = cross_effect(s->b, s->g, shown);
  return cross != 0 ? sqrt(parts * parts + cross * cross) : parts;
}

/* An answer into one table, its uncertainty into another. */
static void put_answer(const sheet *s, int values, int uncertainties, key k, syl_shown shown) {
  const double value = shown_value(s->b, shown);
  if (isnan(value)) return;
  put(s->L, values, k, value);
  put(s->L, uncertainties, k, uncertainty_of(s, shown));
}

static void put_loads(const sheet *s) {
  static const double scale[] = {SYL_PER_KG, SYL_PER_KG, SYL_PER_KG, SYL_PER_KG, 100, 100, 100, 1};
  for (int i = 0; i < 8; i++)
    put_answer(s, s->result, s->sd, (key)(KEY_front + i),
               (syl_shown){(sy_answer)(SY_ANSWER_FRONT + i), scale[i], 0});
  for (int i = 0; i < s->b->map.wheel_count; i++) {
    const syl_shown shown = {(sy_answer)(SY_ANSWER_WHEEL + i), SYL_PER_KG, 0};
    put_listed(s->L, s->result, s->wheel_keys, i + 1, shown_value(s->b, shown));
    put_listed(s->L, s->sd, s->wheel_keys, i + 1, uncertainty_of(s, shown));
  }
}

static void put_cg(const sheet *s) {
  const int cg = open_table(s->L, s->result, KEY_cg, 0, 3), sd = open_table(s->L, s->sd, KEY_cg, 0, 3);
  for (int i = 0; i < 3; i++)
    put_answer(s, cg, sd, (key)(KEY_x + i), syl_shown_place(&s->g->axes, i, SY_ANSWER_CG_X));
  lua_pop(s->L, 2);
}

static void put_axles(const sheet *s) {
  const int n = s->b->axle_count, axle = open_table(s->L, s->result, KEY_axle, 0, n),
            sd = open_table(s->L, s->sd, KEY_axle, 0, n);
  for (int i = 0; i < n; i++) {
    const syl_shown shown = {(sy_answer)(SY_ANSWER_AXLE + i), SYL_PER_KG, 0};
    put_listed(s->L, axle, s->axle_names, i + 1, shown_value(s->b, shown));
    put_listed(s->L, sd, s->axle_names, i + 1, uncertainty_of(s, shown));
  }
  lua_pop(s->L, 2);
}

static void put_inertia(const sheet *s) {
  static const int row[6] = {0, 1, 2, 0, 0, 1}, column[6] = {0, 1, 2, 1, 2, 2};
  const int table = open_table(s->L, s->result, KEY_inertia, 0, 6);
  for (int i = 0; i < 6; i++) /* + 0.0: no minus zero where an axis is reversed */
    put(s->L, table, (key)(KEY_xx + i),
        shown_value(s->b, syl_shown_moment(&s->g->axes, row[i], column[i])) + 0.0);
  lua_pop(s->L, 1);
}

/* The keys of wheels whose load is negative: the vehicle would tip. */
static void put_lifted(const sheet *s) {
  const int list = open_table(s->L, s->result, KEY_lifted, 0, 0);
  lua_Integer n = 0;
  for (int i = 0; i < s->b->map.wheel_count; i++)
    if (s->b->value[SY_ANSWER_WHEEL + i] < 0) {
      lua_rawgeti(s->L, s->wheel_keys, i + 1);
      lua_rawseti(s->L, list, ++n);
    }
  lua_pop(s->L, 1);
}

/* Mass and place of what the body or the wheels carry; leaves the table on the stack. */
static int open_carried(const sheet *s, key k, sy_answer mass) {
  const int table = open_table(s->L, s->result, k, 0, 3);
  put(s->L, table, KEY_mass, s->b->value[mass]);
  const int cg = open_table(s->L, table, KEY_cg, 0, 3);
  for (int i = 0; i < 3; i++)
    put(s->L, cg, (key)(KEY_x + i),
        shown_value(s->b, syl_shown_place(&s->g->axes, i, (sy_answer)(mass + 1))));
  lua_pop(s->L, 1);
  return table;
}

static void put_carried(const sheet *s) {
  open_carried(s, KEY_sprung, SY_ANSWER_SPRUNG_MASS);
  const int unsprung = open_carried(s, KEY_unsprung, SY_ANSWER_UNSPRUNG_MASS);
  const int axle = open_table(s->L, unsprung, KEY_axle, 0, s->b->axle_count);
  for (int i = 0; i < s->b->axle_count; i++)
    put_listed(s->L, axle, s->axle_names, i + 1, s->b->value[SY_ANSWER_UNSPRUNG_AXLE + i]);
  lua_pop(s->L, 3);
}

static void put_unstated(const sheet *s) {
  const int unstated = open_table(s->L, s->result, KEY_unstated, 0, 2);
  put_count(s->L, unstated, KEY_parts, s->t->unstated);
  put(s->L, unstated, KEY_mass_share, 100.0 * s->t->unstated_mass / s->b->whole.mass);
  lua_pop(s->L, 1);
}

static void put_counts(const sheet *s) {
  put_count(s->L, s->result, KEY_points, s->t->points);
  put_count(s->L, s->result, KEY_parts, s->t->parts);
  put_count(s->L, s->result, KEY_unknown, s->t->unknown);
}

/* ---- rows of the set of answers that have no key above --------------------------------------------------------------- */

/* Has the sheet its own way to that row, or does it go by axes, axles or wheels? */
static bool is_known(const sy_answer_row *row) {
  bool known = row->per != SY_PER_CAR || strchr(row->name, '.') != NULL;
  for (int k = 1; k < KEY_COUNT && !known; k++) known = strcmp(key_text[k], row->name) == 0;
  return known;
}

enum { MOST_MORE = 16 };

/* Pushes their names; `rows` gets where they stand. */
static int push_more(lua_State *L, int *rows) {
  const sy_answer_set *set = sy_balance_answers();
  int n = 0;
  for (int r = 0; r < set->rows; r++) {
    if (is_known(&set->row[r])) continue;
    luaL_checkstack(L, 1, NULL);
    lua_pushstring(L, set->row[r].name);
    rows[n++] = r;
  }
  return n;
}

/* An answer that was added to the set is in the sheet too. */
static void put_more(const sheet *s) {
  const sy_answer_set *set = sy_balance_answers();
  const int *const rows = lua_touserdata(s->L, lua_upvalueindex(KEY_COUNT));
  for (int i = 0; i < MOST_MORE && rows[i] >= 0; i++) {
    const sy_answer_row *row = &set->row[rows[i]];
    put(s->L, s->result, (key)(KEY_COUNT + 1 + i),
        row->value(s->b, row->at) * syl_in_workshop_units(row->unit));
  }
}

static double behind_uncertainty(const sheet *s) {
  if (s->after != NULL && !isnan(s->after[AFTER_BEHIND])) return 1e3 * s->after[AFTER_BEHIND];
  return uncertainty_of(s, syl_shown_behind(s->g));
}

/* Does it follow a cross weight that was read, or where wheels stand? */
static bool follows(const sheet *s, const sy_answer_row *row, int at) {
  bool any = s->g->cross_measured && cross_effect(s->b, s->g, (syl_shown){(sy_answer)at, 1, 0}) != 0;
  for (int k = 0; k < s->g->rate_count && !any; k++) {
    double by = 0;
    if (sy_stated_place(&s->g->rate[k])) any = !row->by_stated(s->b, at, &s->g->rate[k], &by) || by != 0;
  }
  return any;
}

/* A cross weight that was read errs together with the sums, as the readings do that both come from; and where wheels stand errs beside them, or
** with these readings. */
static void ask_after(const sheet *s, const sy_ledger *ledger, double after[AFTER_COUNT]) {
  const sy_answer_set *set = sy_balance_answers();
  const sy_car car = {.now = ledger,
                      .drawn = ledger,
                      .vehicle = s->g->vehicle,
                      .map = s->g->map,
                      .stated = s->g->rate,
                      .stated_count = (size_t)s->g->rate_count};
  sy_asked asked[SY_MOST_ASKED];
  int place[SY_MOST_ASKED];
  double value[SY_MOST_ASKED], sd[SY_MOST_ASKED];
  sy_error err;
  int count = 0;
  for (int i = 0; i < AFTER_COUNT; i++) after[i] = (double)NAN; /* not asked */
  for (int i = 0; i < sy_answer_count(set, &s->g->vehicle) && count < SY_MOST_ASKED; i++) {
    asked[count] = sy_answer_nth(set, &s->g->vehicle, i);
    const sy_answer_row *row = &set->row[asked[count].row];
    const int at = row->at + asked[count].index;
    if (at >= SY_ANSWER_COUNT || !follows(s, row, at)) continue;
    place[count++] = strcmp(row->name, "cg_behind") == 0 ? (int)AFTER_BEHIND : at;
  }
  if (sy_answers_ask_solved(set, &car, s->b, asked, count, value, sd, &err) != SY_OK) syl_raise(s->L, &err);
  for (int i = 0; i < count; i++) after[place[i]] = sd[i];
}

/* ---- sheets -------------------------------------------------------------------------------------------------------- */

static void put_headlines(const sheet *s) {
  put_answer(s, s->result, s->sd, KEY_mass, (syl_shown){SY_ANSWER_MASS, 1, 0});
  put_answer(s, s->result, s->sd, KEY_height, (syl_shown){SY_ANSWER_CG_Z, 1e3, 0});
  put(s->L, s->result, KEY_cg_behind, shown_value(s->b, syl_shown_behind(s->g)));
  put(s->L, s->sd, KEY_cg_behind, behind_uncertainty(s));
  put_answer(s, s->result, s->sd, KEY_cg_left, (syl_shown){SY_ANSWER_CG_Y, 1e3, 0});
  put_loads(s);
  put(s->L, s->result, KEY_wheelbase, (s->b->front_x - s->b->rear_x) * 1e3);
  put(s->L, s->result, KEY_yaw_inertia, s->b->value[SY_ANSWER_ZZ]);
  put(s->L, s->result, KEY_yaw_index, s->b->value[SY_ANSWER_YAW_INDEX]);
  put_counts(s);
  put_more(s);
}

/* What stands in tables inside the sheet. */
static void put_tables(const sheet *s) {
  put_cg(s);
  put_axles(s);
  put_inertia(s);
  put_lifted(s);
  put_carried(s);
  put_unstated(s);
}

typedef void filler(const sheet *s);

/* Solves for the ledger and the geometry at index 1 and 2; leaves the result and the table of its uncertainties on the stack. */
static void push_sheet(lua_State *L, const sy_ledger *ledger, const sy_totals *t, int size, int sd_size,
                       filler *first, filler *second) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  sy_balance b;
  sy_error err;
  double after[AFTER_COUNT];
  if (sy_balance_make(t, &g->vehicle, &g->map, &b, &err) != SY_OK) syl_raise(L, &err);
  lua_settop(L, 2);
  lua_getiuservalue(L, 2, SYL_AXLE_NAMES);
  lua_getiuservalue(L, 2, SYL_WHEEL_KEYS);
  lua_createtable(L, 0, size);
  lua_createtable(L, 0, sd_size);
  sheet s = {L, &b, t, g, .axle_names = 3, .wheel_keys = 4, .result = 5, .sd = 6};
  if (g->cross_measured || g->places_err) {
    ask_after(&s, ledger, after);
    s.after = after;
  }
  first(&s);
  if (second != NULL) second(&s);
}

static void put_sd(lua_State *L) {
  lua_pushvalue(L, lua_upvalueindex(KEY_sd));
  lua_pushvalue(L, -2);
  lua_rawset(L, -4);
  lua_pop(L, 1);
}

/* core.balance(ledger, geometry) -> result with sd, all fields of the page but state, notes and corner_basis.
** Loads in kg, shares in percent, places in mm and file axes. The uncertainties of inertia and of what is carried are left to
** core.ask. */
static int l_balance(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  push_sheet(L, ledger, &t, RESULT_SIZE, SD_SIZE, put_headlines, put_tables);
  put_sd(L);
  return 1;
}

/* core.headlines(ledger, geometry) -> the same without what stands in tables; nil where nothing aboard has a mass */
static int l_headlines(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  if (!(t.all.m > 0)) return 0;
  push_sheet(L, ledger, &t, HEADLINES_SIZE, SD_SIZE, put_headlines, NULL);
  put_sd(L);
  return 1;
}

/* core.balance_tables(ledger, geometry) -> what core.headlines leaves out, and its uncertainties */
static int l_balance_tables(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  push_sheet(L, ledger, &t, TABLES, TABLES, put_tables, NULL);
  return 2;
}

static const luaL_Reg functions[] = {
    {"balance", l_balance},
    {"headlines", l_headlines},
    {"balance_tables", l_balance_tables},
    {NULL, NULL},
};

void syl_open_balance(lua_State *L) {
  luaL_checkstack(L, KEY_COUNT, NULL);
  for (int k = 1; k < KEY_COUNT; k++) lua_pushstring(L, key_text[k]);
  int *const rows = lua_newuserdatauv(L, MOST_MORE * sizeof *rows, 0);
  for (int i = 0; i < MOST_MORE; i++) rows[i] = -1;
  const int more = push_more(L, rows);
  luaL_setfuncs(L, functions, KEY_COUNT + more);
}
