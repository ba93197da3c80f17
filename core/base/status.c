#include "base/status.h"

#include <stdarg.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"

const char *sy_status_name(sy_status status) {
  switch (status) {
#define SY_STATUS_NAME(code, name, meaning)                                                                  \
  case code: return name;
    SY_STATUS_LIST(SY_STATUS_NAME)
#undef SY_STATUS_NAME
  }
  return "none";
}

const char *sy_status_meaning(sy_status status) {
  switch (status) {
#define SY_STATUS_MEANING(code, name, meaning)                                                               \
  case code: return meaning;
    SY_STATUS_LIST(SY_STATUS_MEANING)
#undef SY_STATUS_MEANING
  }
  return "no such status";
}

/* A text of limited size, filled from the left. */
typedef struct line {
  char *text;
  size_t size;
  size_t used;
  bool cut;
} line;

static void put(line *l, const char *text, size_t length) {
  const size_t room = l->size - 1 - l->used;
  if (length > room) l->cut = true;
  const size_t n = length < room ? length : room;
  memcpy(l->text + l->used, text, n);
  l->used += n;
}

/* Ends in "..." when cut, and never inside a UTF-8 character: names go on into JSON. */
static void finish(line *l) {
  if (l->cut) {
    size_t keep = l->size - 1 - 3;
    while (keep > 0 && ((unsigned char)l->text[keep] & 0xC0u) == 0x80u) keep--;
    memcpy(l->text + keep, "...", 3);
    l->used = keep + 3;
  }
  l->text[l->used] = '\0';
}

static void copy(char *text, size_t size, const char *from) {
  line l = {text, size, 0, false};
  if (from != NULL) put(&l, from, strlen(from));
  finish(&l);
}

static void put_integer(line *l, size_t magnitude, bool negative) {
  char digits[24];
  size_t at = sizeof digits;
  do digits[--at] = (char)('0' + magnitude % 10);
  while ((magnitude /= 10) > 0);
  if (negative) digits[--at] = '-';
  put(l, digits + at, sizeof digits - at);
}

static void put_format(line *l, const char *format, va_list args) {
  for (const char *p = format; *p != '\0'; p++) {
    if (*p != '%') {
      put(l, p, 1);
      continue;
    }
    p++;
    if (*p == 's') {
      const char *text = va_arg(args, const char *);
      put(l, text, strlen(text));
    } else if (*p == 'd') {
      const int value = va_arg(args, int);
      put_integer(l, value < 0 ? (size_t)(-(long long)value) : (size_t)value, value < 0);
    } else if (*p == 'z' && p[1] == 'u') {
      p++;
      put_integer(l, va_arg(args, size_t), false);
    } else if (*p == 'g') {
      char number[SY_TEXT_DOUBLE];
      put(l, number, sy_text_from_double(va_arg(args, double), number));
    } else if (*p == '%') {
      put(l, p, 1);
    } else {
      put(l, "(bad format)", 12); /* our own slip: the rest of the arguments cannot be trusted */
      return;
    }
  }
}

sy_status sy_fail(sy_error *err, sy_status status, const char *part, const char *field, const char *format,
                  ...) {
  if (err == NULL) return status;
  err->status = status;
  copy(err->part, sizeof err->part, part);
  copy(err->field, sizeof err->field, field);
  line message = {err->message, sizeof err->message, 0, false};
  va_list args;
  va_start(args, format);
  put_format(&message, format, args);
  va_end(args);
  finish(&message);
  return status;
}
