/* main.c - a fuzz target without libFuzzer: reads the files named on the command line, once each.
** With it the corpus is part of every test run, with any compiler. */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int read_one(const char *path) {
  FILE *file = fopen(path, "rb");
  if (file == NULL) return -1;
  enum { MOST = 8 << 20 }; /* twice what the readers accept */
  uint8_t *data = malloc(MOST);
  if (data == NULL) {
    fclose(file);
    return -1;
  }
  const size_t size = fread(data, 1, MOST, file);
  const int bad = ferror(file);
  fclose(file);
  uint8_t *exact = bad ? NULL : malloc(size + (size == 0)); /* no slack: a checker sees one byte too many */
  if (exact != NULL) {
    for (size_t i = 0; i < size; i++) exact[i] = data[i];
    LLVMFuzzerTestOneInput(exact, size);
  }
  free(data);
  free(exact);
  return exact == NULL ? -1 : 0;
}

int main(int argc, char **argv) {
  for (int i = 1; i < argc; i++)
    if (read_one(argv[i]) != 0) {
      fprintf(stderr, "cannot read %s\n", argv[i]);
      return 1;
    }
  printf("%d inputs read\n", argc - 1);
  return 0;
}
