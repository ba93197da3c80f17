#include "reader/sandbox_limits.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"

enum {
  FIRST_CHUNK = 4096,        /* bytes: most files take little */
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
static bool time_is_up(const syl_sandbox *sandbox) {
  return seconds_of(CLOCK_MONOTONIC) - sandbox->wall_start > sandbox->caps.seconds &&
         seconds_of(CLOCK_THREAD_CPUTIME_ID) - sandbox->start > sandbox->caps.seconds;
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

static int user_line(const syl_sandbox *sandbox) {
  return sandbox->S == NULL ? 0 : syl_user_line(sandbox->S);
}

static void stop(syl_sandbox *sandbox, syl_stop why) {
  if (sandbox->stop != SYL_RUNNING) return;
  sandbox->stop = why;
  sandbox->compiled = sandbox->text != NULL;
  sandbox->line = sandbox->compiled ? sandbox->compiling : user_line(sandbox);
}

bool syl_sandbox_out_of_time(syl_sandbox *sandbox) {
  if (sandbox->stop == SYL_RUNNING && time_is_up(sandbox)) stop(sandbox, SYL_STOP_TIME);
  return sandbox->stop != SYL_RUNNING;
}

static bool allowed(syl_sandbox *sandbox, size_t more) {
  if (sandbox->stop != SYL_RUNNING) return false;
  if (++sandbox->requests == sandbox->caps.requests) stop(sandbox, SYL_STOP_TEST);
  if (sandbox->total + more > sandbox->caps.total) stop(sandbox, SYL_STOP_TOTAL);
  if (sandbox->live + more > sandbox->caps.live) { /* Lua collects and asks again */
    sandbox->line = user_line(sandbox);
    if (++sandbox->refused > COLLECTIONS) stop(sandbox, SYL_STOP_LIVE);
    return false;
  }
  return sandbox->stop == SYL_RUNNING;
}

/* Bytes of a table's fields. They come as a block of their own that was none before, without a kind: other such blocks grow from small
** ones. While a text is compiled, its names, texts and numbers are in one table, never taken out: more of them take no longer. */
static size_t most_of_a_table(const syl_sandbox *sandbox) {
  return sandbox->caps.fields * FIELD * (sandbox->text != NULL ? COMPILED : 1);
}

/* lua_Alloc: for a new object, `old_size` is its kind */
static void *resize_counted(void *user, void *old, size_t old_size, size_t size) {
  syl_sandbox *sandbox = user;
  const size_t before = old == NULL ? 0 : old_size;
  if (size == 0) {
    sandbox->live -= before;
    return syl_pool_alloc(&sandbox->pool, old, old_size, 0);
  }
  if (size > before) {
    if (old == NULL && old_size == LUA_TSTRING && size > sandbox->caps.text) stop(sandbox, SYL_STOP_TEXT);
    if (old == NULL && old_size == 0 && size > LONG_STEP) {
      if (size > most_of_a_table(sandbox)) stop(sandbox, SYL_STOP_TABLE);
      syl_sandbox_out_of_time(sandbox);
    }
    if (!allowed(sandbox, size - before)) return NULL;
  }
  void *block = syl_pool_alloc(&sandbox->pool, old, old_size, size);
  if (block == NULL) {
    stop(sandbox, SYL_STOP_LIVE);
    return NULL;
  }
  if (size > before) sandbox->total += size - before;
  sandbox->live += size - before; /* wraps round when it shrinks, which is what is meant */
  return block;
}

static void count_steps(lua_State *S, lua_Debug *about) {
  (void)about;
  syl_sandbox *sandbox = syl_sandbox_of(S);
  sandbox->steps += STEPS_BETWEEN_LOOKS;
  if (sandbox->live > COLLECT_FROM && !sandbox->collecting) {
    sandbox->collecting = true;
    lua_gc(S, LUA_GCRESTART);
  }
  if (sandbox->steps > sandbox->caps.steps) stop(sandbox, SYL_STOP_STEPS);
  if (!syl_sandbox_out_of_time(sandbox)) return;
  lua_pushlightuserdata(S, sandbox); /* an error value that takes no memory */
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

syl_sandbox *syl_sandbox_of(lua_State *S) {
  void *user;
  lua_getallocf(S, &user);
  return user;
}

lua_State *syl_sandbox_start(syl_sandbox *sandbox, syl_caps caps) {
  *sandbox = (syl_sandbox){
      .caps = caps, .start = seconds_of(CLOCK_THREAD_CPUTIME_ID), .wall_start = seconds_of(CLOCK_MONOTONIC)};
  syl_pool_open(&sandbox->pool, sy_alloc_default(), FIRST_CHUNK);
  sandbox->S = lua_newstate(resize_counted, sandbox);
  if (sandbox->S != NULL) lua_gc(sandbox->S, LUA_GCSTOP);
  return sandbox->S;
}

void syl_sandbox_close(syl_sandbox *sandbox) {
  lua_State *S = sandbox->S;
  sandbox->S = NULL; /* nothing looks for lines any more */
  if (S != NULL) lua_close(S);
  syl_pool_release(&sandbox->pool);
}

void syl_sandbox_count_steps(syl_sandbox *sandbox) {
  lua_sethook(sandbox->S, count_steps, LUA_MASKCOUNT, STEPS_BETWEEN_LOOKS);
}

void syl_sandbox_say_why(const syl_sandbox *sandbox, syl_problem *out) {
  *out = (syl_problem){.line = sandbox->line};
  snprintf(out->code, sizeof out->code, "limit");
  char *text = out->message;
  const size_t room = sizeof out->message;
  switch (sandbox->stop) {
  case SYL_STOP_TOTAL:
    snprintf(text, room, "keeps asking for memory, %zu MiB in all", sandbox->caps.total >> 20);
    break;
  case SYL_STOP_TEXT:
    snprintf(text, room, "makes a text of more than %zu KiB", sandbox->caps.text >> 10);
    break;
  case SYL_STOP_TABLE:
    snprintf(text, room,
             sandbox->compiled ? "has more than %zu different names, texts and numbers"
                               : "makes a table of more than %zu fields",
             sandbox->compiled ? COMPILED * sandbox->caps.fields : sandbox->caps.fields);
    break;
  case SYL_STOP_STEPS:
    snprintf(text, room, "does not come to an end within %llu million steps",
             (unsigned long long)(sandbox->caps.steps / 1000000));
    break;
  case SYL_STOP_TIME: {
    char seconds[SY_TEXT_DOUBLE]; /* a point in every locale */
    sy_text_from_double(sandbox->caps.seconds, seconds);
    snprintf(text, room, "does not come to an end within %s s", seconds);
    break;
  }
  default: snprintf(text, room, "takes more than %zu MiB of memory", sandbox->caps.live >> 20); break;
  }
}
