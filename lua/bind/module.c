/* module.c - the Lua module steelyard.core: the library as plain functions. Scripts use `require "steelyard"`. */
#include <lauxlib.h>

#include "bind/check_word.h"
#include "bind/complaint.h"
#include "bind/errors.h"
#include "bind/open.h"
#include "bind/study/grown_file.h"
#include "bind/study/interrupt.h"
#include "bind/study/terminal.h"
#include "bind/write_file.h"
#include "reader/sandbox.h"

enum { FUNCTIONS = 128 }; /* room for about as many */

/* the one symbol the module exports */
__attribute__((visibility("default"))) int luaopen_steelyard_core(lua_State *L) {
  luaL_checkversion(L);
  lua_createtable(L, 0, FUNCTIONS);
  syl_open_fail(L);
  syl_open_constants(L);
  syl_open_numbers(L);
  syl_open_text(L);
  syl_open_file_number(L);
  syl_open_fields(L);
  syl_open_item_reader(L);
  syl_open_plain_lines(L);
  syl_open_csv(L);
  syl_open_sandbox(L);
  syl_open_write_file(L);
  syl_open_folder(L);
  syl_open_check_word(L);
  syl_open_complaint(L);
  syl_open_geometry(L);
  syl_open_mesh(L);
  syl_open_ledger(L);
  syl_open_pieces(L);
  syl_open_whole(L);
  syl_open_inertia(L);
  syl_open_builder(L);
  syl_open_pairing(L);
  syl_open_balance(L);
  syl_open_answers(L);
  syl_open_found(L);
  syl_open_beside(L);
  syl_open_item(L);
  syl_open_pendulum(L);
  syl_open_lift(L);
  syl_open_shop(L);
  syl_open_shop_floor(L);
  syl_open_clearance(L);
  syl_open_outline(L);
  syl_open_marks(L);
  syl_open_usable(L);
  syl_open_fixed(L);
  syl_open_corner(L);
  syl_open_weighed(L);
  syl_open_perches(L);
  syl_open_partcg(L);
  syl_open_weigh(L);
  syl_open_attitude(L);
  syl_open_transfer(L);
  syl_open_settle(L);
  syl_open_stability(L);
  syl_open_reconcile(L);
  syl_open_measured(L);
  syl_open_person(L);
  syl_open_spread(L);
  syl_open_sensitivity(L);
  syl_open_plan(L);
  syl_open_plan_run(L);
  syl_open_grown_file(L);
  syl_open_interrupt(L);
  syl_open_terminal(L);
  syl_open_column(L);
  syl_open_column_bytes(L);
  syl_open_points(L);
  syl_open_summary(L);
  syl_open_judge(L);
  syl_open_front(L);
  syl_open_pack(L);
  syl_open_seek(L);
  return 1;
}
