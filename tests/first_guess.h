/* first_guess.h - an invented two-seater of eighteen lines, as a first ledger would have it.
**
** The wanted figures beside the tests that use it were worked apart from this project, once by hand and once in
** NumPy, from the balance of moments and the parallel axes of Meriam, Kraige & Bolton, Engineering Mechanics.
*/
#ifndef SY_TESTS_FIRST_GUESS_H
#define SY_TESTS_FIRST_GUESS_H

#include "ledger_tools.h"

#define FIRST_GUESS_WHEELBASE 2.45

enum {
  FIRST_ENGINE = 2,
  FIRST_TRANSAXLE = 3,
  FIRST_FRONT_CORNERS = 4,
  FIRST_REAR_CORNERS = 5,
  FIRST_FUEL = 10,
  FIRST_DRIVER = 17,
  FIRST_LINES = 18
};

/* mm: back from the front axle, to the right, above ground; sd: standard uncertainty of the mass, kg */
typedef struct first_line {
  const char *name;
  double mass, back, right, up, sd;
} first_line;

static inline first_line first_guess_line(size_t i) {
  static const first_line lines[FIRST_LINES] = {
      {"tub and hoop", 78, 1020, 0, 360, 8},
      {"rear frame", 24, 2050, 0, 330, 4},
      {"engine dry", 168, 1810, 0, 345, 0.5},
      {"transaxle", 62, 2390, 0, 300, 0.3},
      {"front corners", 59, 0, 0, 292, 1},
      {"rear corners", 66, 2450, 0, 305, 1},
      {"front links and rack", 22, 60, 0, 330, 2},
      {"rear links and shafts", 20, 2400, 0, 330, 2},
      {"cooling wet", 21, -350, 0, 300, 2},
      {"tank", 9, 1290, 0, 310, 1},
      {"fuel", 29.8, 1290, 0, 310, 0.4},
      {"battery", 12, 600, -250, 250, 0.1},
      {"loom and control unit", 16, 1300, 0, 350, 4},
      {"body", 46, 1250, 0, 520, 8},
      {"exhaust", 18, 2500, 0, 330, 2},
      {"oil and tank", 14, 1500, 150, 400, 1},
      {"seat, pedals, column", 26, 750, 120, 330, 3},
      {"driver", 80, 1010, 180, 370, 0.5},
  };
  return lines[i];
}

/* x_sd: standard uncertainty of every x, m. pairs: the corners as points at half tracks of 750 and 740 mm. */
static inline sy_ledger *first_guess(const sy_alloc *alloc, double x_sd, bool pairs) {
  sy_ledger_builder *b = start_ledger(alloc);
  for (size_t i = 0; i < FIRST_LINES; i++) {
    const first_line line = first_guess_line(i);
    sy_part part = point(line.mass, -line.back / 1000, -line.right / 1000, line.up / 1000);
    part.mass_sd = line.sd;
    part.cg_sd.x = x_sd;
    part.cg_stated = part.cg;
    if (pairs && (i == FIRST_FRONT_CORNERS || i == FIRST_REAR_CORNERS)) {
      part.mass /= 2;
      part.mass_sd /= 2;
      part.cg.y = i == FIRST_FRONT_CORNERS ? 0.750 : 0.740;
      const sy_group plain = sy_group_default();
      add_pair(b, line.name, &plain, &part);
    } else {
      add(b, line.name, &part);
    }
  }
  return finish(b);
}

#endif
