/* balance_answers.h - everything a balance sheet states, as a set of answers: statics/balance.h by name.
**
** Units, frame and source as there. cg_behind counts from the front axle, backward; height and yaw_inertia are cg.z and inertia.zz.
** Wheel loads of four wheels are those of the cross weight that the vehicle is set to: its uncertainty is SY_STATED_CROSS_SHARE.
** Where the wheels stand is uncertain as SY_STATED_PLACES say.
** Sensitivities are all in closed form. The solved state is a sy_balance.
*/
#ifndef SY_ANSWERS_BALANCE_ANSWERS_H
#define SY_ANSWERS_BALANCE_ANSWERS_H

#include "answer_set.h"

/* Errors of its solve  SY_MISSING  nothing aboard has a mass */
SY_API const sy_answer_set *sy_balance_answers(void);

#endif
