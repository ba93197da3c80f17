/* bench_mesh.c - a binary STL of a million triangles: its integrals, reading it with all checks, and a plain sum of its bytes
** as the least that reading can cost. bench_mesh.py asks for the jobs. Each opens and maps the file anew. */
#include "serve.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mass/mesh.h"
#include "reader/huge_pages.h"

static void stop(const char *what) {
  fprintf(stderr, "%s\n", what);
  exit(1);
}

#ifndef MAP_POPULATE
#define MAP_POPULATE 0 /* pages are then mapped one by one */
#endif

static const char *map_file(const char *path, size_t *size) {
  const int file = open(path, O_RDONLY);
  struct stat about;
  if (file < 0 || fstat(file, &about) != 0) stop(path);
  *size = (size_t)about.st_size;
  const char *bytes = mmap(NULL, *size, PROT_READ, MAP_PRIVATE | MAP_POPULATE, file, 0);
  if (bytes == MAP_FAILED) stop("mmap");
  close(file);
  return bytes;
}

static void unmap(const char *bytes, size_t size) { munmap((void *)(uintptr_t)bytes, size); }

static double kept; /* so that nothing is left out */

static void sum_bytes(void *path, size_t items) {
  for (size_t i = 0; i < items; i++) {
    size_t size;
    const char *bytes = map_file(path, &size);
    uint64_t sum[4] = {0, 0, 0, 0};
    for (size_t at = 0; at + 32 <= size; at += 32)
      for (size_t k = 0; k < 4; k++) {
        uint64_t word;
        memcpy(&word, bytes + at + 8 * k, 8);
        sum[k] += word;
      }
    kept += (double)(sum[0] + sum[1] + sum[2] + sum[3]);
    unmap(bytes, size);
  }
}

static void integrate(void *path, size_t items) {
  for (size_t i = 0; i < items; i++) {
    size_t size;
    const char *bytes = map_file(path, &size);
    sy_massprops body;
    if (sy_mesh_body_of_stl(bytes, size, &body, NULL) != SY_OK) stop("no body");
    kept += body.inertia.xx;
    unmap(bytes, size);
  }
}

static void read_and_check(void *path, size_t items) {
  for (size_t i = 0; i < items; i++) {
    size_t size;
    const char *bytes = map_file(path, &size);
    const sy_alloc alloc = syl_huge_pages(); /* as core.mesh does */
    sy_mesh *mesh = NULL;
    sy_massprops body;
    if (sy_mesh_read(bytes, size, &alloc, &mesh, NULL) != SY_OK) stop("not read");
    if (sy_mesh_massprops(mesh, 1, &body, NULL) != SY_OK) stop("not closed");
    kept += body.inertia.xx;
    sy_mesh_free(mesh);
    unmap(bytes, size);
  }
}

int main(int argc, char **argv) {
  bench_job jobs[] = {{"bytes", sum_bytes, 0}, {"integrals", integrate, 0}, {"read", read_and_check, 0}};
  if (argc != 2) return 1;
  const int code = bench_serve(jobs, sizeof jobs / sizeof *jobs, argv[1]);
  fprintf(stderr, kept == 0.5 ? " " : "");
  return code;
}
