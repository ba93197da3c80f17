/* balance.h - the balance of a ledger on a geometry, and how its answers are shown. */
#ifndef SYL_BIND_STATICS_BALANCE_H
#define SYL_BIND_STATICS_BALANCE_H

#include "bind/vehicle/geometry.h"

/* Raises when nothing aboard has a mass. */
void syl_balance_of(lua_State *L, const sy_ledger *ledger, const syl_geometry *g, sy_totals *totals,
                    sy_balance *out);

double syl_shown_value(const sy_balance *b, syl_shown s);

/* What one standard uncertainty of the cross weight does to the answer as it is shown. */
double syl_cross_effect(const sy_balance *b, const syl_geometry *g, syl_shown s);

#endif
