/* open.h - the pieces of the module steelyard.core. Each adds its functions to the table on top of the stack. */
#ifndef SYL_BIND_OPEN_H
#define SYL_BIND_OPEN_H

#include <lua.h>

void syl_open_constants(lua_State *L);
void syl_open_numbers(lua_State *L);
void syl_open_text(lua_State *L);
void syl_open_file_number(lua_State *L);
void syl_open_fields(lua_State *L);
void syl_open_item_reader(lua_State *L);
void syl_open_plain_lines(lua_State *L);
void syl_open_csv(lua_State *L);
void syl_open_folder(lua_State *L);
void syl_open_geometry(lua_State *L);
void syl_open_mesh(lua_State *L);
void syl_open_ledger(lua_State *L);
void syl_open_pieces(lua_State *L);
void syl_open_whole(lua_State *L);
void syl_open_inertia(lua_State *L);
void syl_open_builder(lua_State *L);
void syl_open_pairing(lua_State *L);
void syl_open_balance(lua_State *L);
void syl_open_answers(lua_State *L);
void syl_open_found(lua_State *L);
void syl_open_beside(lua_State *L);
void syl_open_item(lua_State *L);
void syl_open_pendulum(lua_State *L);
void syl_open_lift(lua_State *L);
void syl_open_shop(lua_State *L);
void syl_open_shop_floor(lua_State *L);
void syl_open_clearance(lua_State *L);
void syl_open_outline(lua_State *L);
void syl_open_marks(lua_State *L);
void syl_open_usable(lua_State *L);
void syl_open_fixed(lua_State *L);
void syl_open_corner(lua_State *L);
void syl_open_weighed(lua_State *L);
void syl_open_perches(lua_State *L);
void syl_open_partcg(lua_State *L);
void syl_open_weigh(lua_State *L);
void syl_open_attitude(lua_State *L);
void syl_open_transfer(lua_State *L);
void syl_open_settle(lua_State *L);
void syl_open_stability(lua_State *L);
void syl_open_reconcile(lua_State *L);
void syl_open_measured(lua_State *L);
void syl_open_person(lua_State *L);
void syl_open_spread(lua_State *L);
void syl_open_sensitivity(lua_State *L);
void syl_open_column(lua_State *L);
void syl_open_column_bytes(lua_State *L);
void syl_open_points(lua_State *L);
void syl_open_plan(lua_State *L);
void syl_open_plan_run(lua_State *L);
void syl_open_summary(lua_State *L);
void syl_open_judge(lua_State *L);
void syl_open_front(lua_State *L);
void syl_open_pack(lua_State *L);
void syl_open_seek(lua_State *L);

int luaopen_steelyard_core(lua_State *L);

#endif
