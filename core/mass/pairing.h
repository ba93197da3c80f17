/* pairing.h - which lines of two ledgers of different families are the same line: two vehicle files, or one before and after an edit.
**
** Units   SI: m.
** Lines   are parts, and pairs as one. What a line states the same in both (propagate.h) is one error of both. Places are compared as they
**         were stated, in the directions of the line's group: the one in `from` plus `shift` with the one in `to`, to a tenth of a
**         nanometre, because two files may state one place along other axes and from another zero.
** Pairs   of which one file states the left piece and the other the right one (y runs the other way there) are compared as images in the
**         vehicle's centre plane, y = 0; along it their errors are the same, across it the same with the other sign.
** Scales  likewise: instrument i of `from` is instrument j of `to` where the caller says so and their standard uncertainties agree.
** Later   lines are known by identity and place in the tree, which stay, so a pairing holds for all ledgers of the two families.
*/
#ifndef SY_MASS_PAIRING_H
#define SY_MASS_PAIRING_H

#include "ledger.h"

typedef struct sy_pairing sy_pairing;

typedef struct sy_same_line {
  sy_route from, to; /* of a part or a pair */
  sy_vec3 shift;     /* m */
} sy_same_line;

/* The two ledgers are read here only. same_instrument[i] is the number in `to` of instrument i + 1 of `from`, 0 for none; NULL for none
** at all. The pairing is the caller's, to be freed; alloc NULL means malloc.
** Errors  SY_UNKNOWN  a route leads nowhere, or an instrument is not there
**         SY_TYPE     a route leads to a group, or a part is paired with a pair
**         SY_CLASH    a line or an instrument is named twice, or the ledgers are of one family
**         SY_RANGE    a shift is not finite;  SY_LIMIT  memory is out */
SY_API sy_status sy_pairing_new(const sy_alloc *alloc, const sy_ledger *from, const sy_ledger *to,
                                const sy_same_line *lines, size_t count,
                                const uint32_t same_instrument[SY_MAX_INSTRUMENTS], sy_pairing **out,
                                sy_error *err);

/* The same for two ledgers whose lines have the same path of names (groups, then its own) and the same form, none shifted; of lines
** with one path in a ledger the first. Instruments are the same that have the same number and state the same. */
SY_API sy_status sy_pairing_by_path(const sy_alloc *alloc, const sy_ledger *from, const sy_ledger *to,
                                    sy_pairing **out, sy_error *err);

/* The shift of a line whose place is to be compared as counted from a group around it that is the same in both, or from the vehicle: that
** group's depth in each ledger, 0: the vehicle. A line in a group that was moved counts from there; one in a group without a place of its
** own, which lies at its file's zero, from further out. by: m, how much further forward, left and up in `to` a part lies on the vehicle
** that both files state by the same numbers (the zero of `to` less that of `from`); used at depth 0.
** shift   in the directions of the group around the line in `to`
** Errors  SY_UNKNOWN  a route leads nowhere, or a depth is not of a group around the line;  SY_RANGE  by is not finite */
SY_API sy_status sy_pairing_shift(const sy_ledger *from, const sy_ledger *to, const sy_same_line *line,
                                  const uint32_t depth[2], sy_vec3 by, sy_vec3 *shift, sy_error *err);

SY_API void sy_pairing_free(sy_pairing *pairing); /* NULL is fine */

#endif
