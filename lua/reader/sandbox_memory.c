#include "reader/sandbox_memory.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"

enum {
  STEPS_BETWEEN_LOOKS = 100, /* with texts of 64 KiB at most, a hundred steps take milliseconds at worst */
  COLLECT_FROM =
      4 << 20,  /* bytes alive; most files end before, and collecting nothing saves a fifth of the time */
  FIELD = 24,   /* bytes of a field in a table: a key, a value, their types and the next, on 64 bits */
  COMPILED = 4, /* times as many fields in the table of a compiler */
  LONG_STEP =
      32768, /* bytes: for a table of more the clock is looked at, since filling it anew is part of one step */
  COLLECTIONS = 4 /* full collections under pressure before giving up: each may take 0.1 s */
};

static double seconds_of(clockid_t clock) {
  struct timespec t;
  clock_gettime(clock, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Processor time, so that a busy machine does not turn a good file into a bad one. Asking for it takes the kernel, the time on the
** wall mostly not; and a thread never uses more of the first than of the second passes. */
static bool time_is_up(const syl_meter *m) {
  return seconds_of(CLOCK_MONOTONIC) - m->wall_start > m->caps.seconds &&
         seconds_of(CLOCK_THREAD_CPUTIME_ID) - m->start > m->caps.seconds;
}

int syl_user_line(lua_State *S) {
  lua_Debug about;
  for (int level = 0; lua_getstack(S, level, &about); level++) {
    lua_getinfo(S, "l", &about);
    if (about.currentline <= 0) continue; /* C, or words that come compiled */
    lua_getinfo(S, "S", &about);
    if (strcmp(about.short_src, SYL_USER_CHUNK) == 0) return about.currentline;
  }
  return 0;
}

static int user_line(const syl_meter *m) { return m->S == NULL ? 0 : syl_user_line(m->S); }

static void stop(syl_meter *m, syl_stop why) {
  if (m->stop != SYL_RUNNING) return;
  m->stop = why;
  m->compiled = m->text != NULL;
  m->line = m->compiled ? m->compiling : user_line(m);
}

bool syl_meter_late(syl_meter *m) {
  if (m->stop == SYL_RUNNING && time_is_up(m)) stop(m, SYL_STOP_TIME);
  return m->stop != SYL_RUNNING;
}

static bool allowed(syl_meter *m, size_t more) {
  if (m->stop != SYL_RUNNING) return false;
  if (++m->requests == m->caps.requests) stop(m, SYL_STOP_TEST);
  if (m->total + more > m->caps.total) stop(m, SYL_STOP_TOTAL);
  if (m->live + more > m->caps.live) { /* Lua collects and asks again */
    m->line = user_line(m);
    if (++m->refused > COLLECTIONS) stop(m, SYL_STOP_LIVE);
    return false;
  }
  return m->stop == SYL_RUNNING;
}

/* Bytes of a table's fields. They come as a block of their own that was none before, without a kind: other such blocks grow from small
** ones. While a text is compiled, its names, texts and numbers are in one table, never taken out: more of them take no longer. */
static size_t most_of_a_table(const syl_meter *m) {
  return m->caps.fields * FIELD * (m->text != NULL ? COMPILED : 1);
}

/* lua_Alloc: for a new object, `old_size` tells its kind */
static void *metered(void *user, void *old, size_t old_size, size_t size) {
  syl_meter *m = user;
  const size_t before = old == NULL ? 0 : old_size;
  if (size == 0) {
    m->live -= before;
    return syl_pool_alloc(&m->pool, old, old_size, 0);
  }
  if (size > before) {
    if (old == NULL && old_size == LUA_TSTRING && size > m->caps.text) stop(m, SYL_STOP_TEXT);
    if (old == NULL && old_size == 0 && size > LONG_STEP) {
      if (size > most_of_a_table(m)) stop(m, SYL_STOP_TABLE);
      syl_meter_late(m);
    }
    if (!allowed(m, size - before)) return NULL;
  }
  void *block = syl_pool_alloc(&m->pool, old, old_size, size);
  if (block == NULL) {
    stop(m, SYL_STOP_LIVE);
    return NULL;
  }
  if (size > before) m->total += size - before;
  m->live += size - before; /* wraps round when it shrinks, which is what is meant */
  return block;
}

static void count_steps(lua_State *S, lua_Debug *about) {
  (void)about;
  syl_meter *m = syl_meter_of(S);
  m->steps += STEPS_BETWEEN_LOOKS;
  if (m->live > COLLECT_FROM && !m->collecting) {
    m->collecting = true;
    lua_gc(S, LUA_GCRESTART);
  }
  if (m->steps > m->caps.steps) stop(m, SYL_STOP_STEPS);
  if (!syl_meter_late(m)) return;
  lua_pushlightuserdata(S, m); /* an error value that takes no memory */
  lua_error(S);
}

syl_caps syl_caps_default(void) {
  return (syl_caps){.live = 16u << 20,
                    .total = 512u << 20,
                    .text = 64u << 10,
                    .fields = 8192, /* a power of 2, as Lua's tables grow */
                    .steps = 20000000,
                    .seconds = 1,
                    .requests = 0};
}

syl_meter *syl_meter_of(lua_State *S) {
  void *user;
  lua_getallocf(S, &user);
  return user;
}

lua_State *syl_meter_state(syl_meter *meter, syl_caps caps) {
  *meter = (syl_meter){
      .caps = caps, .start = seconds_of(CLOCK_THREAD_CPUTIME_ID), .wall_start = seconds_of(CLOCK_MONOTONIC)};
  syl_pool_open(&meter->pool, sy_alloc_default());
  meter->S = lua_newstate(metered, meter);
  if (meter->S != NULL) lua_gc(meter->S, LUA_GCSTOP);
  return meter->S;
}

void syl_meter_close(syl_meter *meter) {
  lua_State *S = meter->S;
  meter->S = NULL; /* nothing looks for lines any more */
  if (S != NULL) lua_close(S);
  syl_pool_release(&meter->pool);
}

void syl_meter_watch(syl_meter *meter) {
  lua_sethook(meter->S, count_steps, LUA_MASKCOUNT, STEPS_BETWEEN_LOOKS);
}

void syl_meter_tell(const syl_meter *m, syl_problem *out) {
  *out = (syl_problem){.line = m->line};
  snprintf(out->code, sizeof out->code, "limit");
  char *text = out->message;
  const size_t room = sizeof out->message;
  switch (m->stop) {
  case SYL_STOP_TOTAL:
    snprintf(text, room, "keeps asking for memory, %zu MiB in all", m->caps.total >> 20);
    break;
  case SYL_STOP_TEXT: snprintf(text, room, "makes a text of more than %zu KiB", m->caps.text >> 10); break;
  case SYL_STOP_TABLE:
    snprintf(text, room,
             m->compiled ? "has more than %zu different names, texts and numbers"
                         : "makes a table of more than %zu fields",
             m->compiled ? COMPILED * m->caps.fields : m->caps.fields);
    break;
  case SYL_STOP_STEPS:
    snprintf(text, room, "does not come to an end within %llu million steps",
             (unsigned long long)(m->caps.steps / 1000000));
    break;
  case SYL_STOP_TIME: {
    char seconds[SY_TEXT_DOUBLE]; /* a point in every locale */
    sy_text_from_double(m->caps.seconds, seconds);
    snprintf(text, room, "does not come to an end within %s s", seconds);
    break;
  }
  default: snprintf(text, room, "takes more than %zu MiB of memory", m->caps.live >> 20); break;
  }
}
