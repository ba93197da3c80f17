/* sandbox_limits.h - a Lua state whose memory, steps and time are counted and capped.
**
** Caps     memory alive at one time, memory asked for in all, length of one text, fields of one table, steps, and last of all processor
**          time.
** Stop     the first cap that is reached is kept, with the line, and from then on every request is refused.
*/
#ifndef SYL_READER_SANDBOX_LIMITS_H
#define SYL_READER_SANDBOX_LIMITS_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "bind/errors.h"
#include "reader/pool.h"

typedef enum syl_stop {
  SYL_RUNNING,
  SYL_STOP_LIVE,
  SYL_STOP_TOTAL,
  SYL_STOP_TEXT,
  SYL_STOP_TABLE,
  SYL_STOP_STEPS,
  SYL_STOP_TIME,
  SYL_STOP_TEST
} syl_stop;

typedef struct syl_caps {
  size_t live, total; /* bytes */
  size_t text;        /* bytes of one text; keeps each step short, comparing texts above all */
  size_t
      fields; /* of one table: numbers can be chosen as keys that collide once the table grows, and then growing it is one step
                         that takes the square of them */
  uint64_t steps; /* of Lua's virtual machine */
  double seconds;
  uint64_t requests; /* for tests: refuse from this request on; 0 never */
} syl_caps;

enum { SYL_MARKS = 8 };

typedef struct syl_sandbox {
  syl_caps caps;
  syl_pool pool;
  size_t live, total;
  uint64_t steps, requests;
  unsigned refused;  /* requests that a full collection may still have helped */
  bool collecting;   /* garbage is collected from some size on */
  double start;      /* s of this thread's processor time */
  double wall_start; /* s of a clock on the wall */
  syl_stop stop;
  int line;      /* where it stopped; 0 not known */
  bool compiled; /* was the text being compiled then? */
  lua_State *S;
  const char *text;    /* what is being compiled, NULL when nothing is */
  int compiling;       /* the line of it that was reached */
  syl_problem problem; /* what a word of the file found wrong; code "" when nothing */
  struct {
    const void *metatable;
    char name[16];
  } mark[SYL_MARKS]; /* kinds of table that are distinguished by their metatable */
  int marks;
} syl_sandbox;

syl_caps syl_caps_default(void);

/* Makes the state, or gives NULL. The struct must stay where it is until syl_sandbox_close. */
lua_State *syl_sandbox_start(syl_sandbox *sandbox, syl_caps caps);

/* Closes the state, if there is one, and gives its memory back. Does nothing the second time. */
void syl_sandbox_close(syl_sandbox *sandbox);

/* The sandbox of a state made above. */
syl_sandbox *syl_sandbox_of(lua_State *S);

/* Starts counting steps. */
void syl_sandbox_count_steps(syl_sandbox *sandbox);

/* Is time up? Then it also stops. For long work that takes no steps. */
bool syl_sandbox_out_of_time(syl_sandbox *sandbox);

/* What was stopped, in words. */
void syl_sandbox_say_why(const syl_sandbox *sandbox, syl_problem *out);

/* The line of the user's text, the chunk of this name, that is being run in a sandbox, or 0. Asks for no memory. */
#define SYL_USER_CHUNK "vehicle"
int syl_user_line(lua_State *S);

#endif
