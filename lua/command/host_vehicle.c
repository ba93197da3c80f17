#include "command/host_vehicle.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "reader/lexer.h"

static bool is_word(const char *text, const syl_token *t, const char *word) {
  const size_t length = strlen(word);
  return t->kind == SYL_NAME && (size_t)t->text.length == length &&
         memcmp(text + t->text.start, word, length) == 0;
}

static bool says_vehicle(const char *text, size_t size) {
  syl_lexer x = {text, text, text + size, 1, false};
  syl_token before = {.kind = SYL_END}, word = before;
  bool found = false;
  for (;;) {
    const syl_token t = syl_next_token(&x);
    if (t.kind == SYL_END) return found;
    if (is_word(text, &t, "require")) return false; /* a script, which may have a word `vehicle` of its own */
    const bool field = before.kind == SYL_SIGN && (before.sign == '.' || before.sign == ':');
    if (is_word(text, &word, "vehicle") && t.kind == SYL_SIGN && t.sign == '{' && !field) found = true;
    before = word;
    word = t;
  }
}

bool syl_is_vehicle_file(const char *path) {
  enum { MOST = 4 << 20 };
  FILE *file = fopen(path, "rb");
  if (file == NULL) return false;
  char *text = malloc(MOST);
  size_t size = text == NULL ? 0 : fread(text, 1, MOST, file);
  fclose(file);
  const bool found = text != NULL && says_vehicle(text, size);
  free(text);
  return found;
}
