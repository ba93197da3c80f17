/* Text STL and OBJ, word by word. */
#include <string.h>

#include "base/text.h"
#include "mass/mesh_parts.h"

typedef struct words {
  const char *at, *end;
  size_t line; /* from 0 */
  sy_error *err;
} words;

static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\f'; }

/* The next word of the line into `word`; false at its end. */
static bool next_on_line(words *w, const char **word, size_t *length) {
  while (w->at < w->end && is_blank(*w->at)) w->at++;
  if (w->at == w->end || *w->at == '\n') return false;
  *word = w->at;
  while (w->at < w->end && !is_blank(*w->at) && *w->at != '\n') w->at++;
  *length = (size_t)(w->at - *word);
  return true;
}

static bool next_line(words *w) {
  while (w->at < w->end && *w->at != '\n') w->at++;
  if (w->at == w->end) return false;
  w->at++;
  w->line++;
  return true;
}

/* The next word, on whatever line; false at the end. */
static bool next(words *w, const char **word, size_t *length) {
  while (!next_on_line(w, word, length))
    if (!next_line(w)) return false;
  return true;
}

/* Upper and lower case are alike; `word` is in lower case. */
static bool is(const char *text, size_t length, const char *word) {
  if (strlen(word) != length) return false;
  for (size_t i = 0; i < length; i++) {
    const char c = text[i] >= 'A' && text[i] <= 'Z' ? (char)(text[i] + 32) : text[i];
    if (c != word[i]) return false;
  }
  return true;
}

enum { SHOWN = 40 }; /* letters of a wrong word in a message */

static sy_status wrong_word(const words *w, const char *word, size_t length, const char *want) {
  char where[MESH_WHERE], shown[SHOWN + 1];
  sy_mesh_where(where, "line", w->line);
  size_t n = 0;
  for (; n < length && n < SHOWN; n++) shown[n] = word[n] >= ' ' && word[n] <= '~' ? word[n] : '?';
  shown[n] = 0;
  return length == 0
             ? sy_fail(w->err, SY_CONTENT, where, "", "ends where %s should stand", want)
             : sy_fail(w->err, SY_CONTENT, where, "", "has \"%s\" where %s should stand", shown, want);
}

static sy_status expect(words *w, const char *want) {
  const char *word = NULL;
  size_t length = 0;
  if (next(w, &word, &length) && is(word, length, want)) return SY_OK;
  return wrong_word(w, word, length, want);
}

static sy_status number(words *w, bool on_line, double *out) {
  const char *word = NULL;
  size_t length = 0;
  if ((on_line ? next_on_line(w, &word, &length) : next(w, &word, &length)) &&
      sy_text_to_double(word, length, out))
    return SY_OK;
  return wrong_word(w, word, length, "a number");
}

static sy_status point(words *w, bool on_line, sy_vec3 *p) {
  sy_status status = number(w, on_line, &p->x);
  if (status == SY_OK) status = number(w, on_line, &p->y);
  if (status == SY_OK) status = number(w, on_line, &p->z);
  return status;
}

/* ---- STL ------------------------------------------------------------------------------------------------------------ */

/* normal x y z, outer loop, three times vertex x y z, endloop, endfacet. The normal is not used: it follows from the corners. */
static sy_status facet(sy_mesh *mesh, words *w) {
  uint32_t corner[3] = {0, 0, 0};
  sy_status status = expect(w, "normal");
  for (int k = 0; k < 3 && status == SY_OK; k++) { /* some write a normal that is not a number */
    const char *word;
    size_t length;
    if (!next(w, &word, &length)) status = wrong_word(w, "", 0, "a number");
  }
  if (status == SY_OK) status = expect(w, "outer");
  if (status == SY_OK) status = expect(w, "loop");
  for (int k = 0; k < 3 && status == SY_OK; k++) {
    sy_vec3 p = {0, 0, 0};
    char where[MESH_WHERE];
    status = expect(w, "vertex");
    if (status == SY_OK) status = point(w, false, &p);
    sy_mesh_where(where, "line", w->line);
    if (status == SY_OK) status = sy_mesh_weld(mesh, p, where, &corner[k], w->err);
  }
  if (status == SY_OK) status = expect(w, "endloop");
  if (status == SY_OK) status = expect(w, "endfacet");
  if (status == SY_OK) status = sy_mesh_add_triangle(mesh, corner[0], corner[1], corner[2], w->err);
  return status;
}

sy_status sy_mesh_read_stl_text(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err) {
  words w = {bytes, bytes + size, 0, err};
  const char *word = "";
  size_t length = 0;
  sy_status status = SY_OK;
  bool inside = false; /* between solid and endsolid */
  while (status == SY_OK && next(&w, &word, &length)) {
    const bool begins = is(word, length, "solid"), ends = is(word, length, "endsolid");
    if ((begins && !inside) || (ends && inside)) {
      inside = begins;
      (void)next_line(&w); /* the rest is a name */
    } else if (inside && is(word, length, "facet")) {
      status = facet(mesh, &w);
    } else {
      status = wrong_word(&w, word, length, inside ? "facet or endsolid" : "solid");
    }
  }
  if (status == SY_OK && inside)
    status = sy_fail(err, SY_CONTENT, "mesh", "", "is cut off: endsolid is missing");
  return status;
}

/* ---- OBJ ------------------------------------------------------------------------------------------------------------ */

/* Corners in file order as numbers of vertices. */
typedef struct corners {
  const sy_alloc *alloc;
  uint32_t *number;
  size_t count, room;
} corners;

static sy_status keep_corner(corners *c, uint32_t number_of_vertex, sy_error *err) {
  if (c->count == c->room) {
    const size_t more = c->room < 64 ? 64 : 2 * c->room;
    uint32_t *bigger =
        c->alloc->resize(c->alloc->user, c->number, c->room * sizeof *bigger, more * sizeof *bigger);
    if (bigger == NULL) return sy_mesh_no_memory(err);
    c->number = bigger;
    c->room = more;
  }
  c->number[c->count++] = number_of_vertex;
  return SY_OK;
}

/* "7", "7/2", "7//3", "-1/..": the corner it names, from 1, or from the last one backwards. */
static sy_status corner_of(const words *w, const corners *c, const char *word, size_t length, uint32_t *out) {
  size_t digits = 0;
  double x;
  while (digits < length && word[digits] != '/') digits++;
  if (!sy_text_to_double(word, digits, &x) || floor(x) != x)
    return wrong_word(w, word, length, "the number of a corner");
  const double at = x < 0 ? (double)c->count + x : x - 1;
  if (x == 0 || !(at >= 0 && at < (double)c->count)) {
    char where[MESH_WHERE];
    sy_mesh_where(where, "line", w->line);
    return sy_fail(w->err, SY_CONTENT, where, "", "names corner %g, %zu stand before it", x, c->count);
  }
  *out = c->number[(size_t)at];
  return SY_OK;
}

static sy_status face(sy_mesh *mesh, words *w, const corners *c) {
  const char *word;
  size_t length;
  uint32_t first = 0, last = 0, now = 0;
  size_t count = 0;
  while (next_on_line(w, &word, &length)) {
    if (is(word, length, "\\")) { /* the line goes on */
      if (!next_line(w)) break;
      continue;
    }
    const sy_status status = corner_of(w, c, word, length, &now);
    if (status != SY_OK) return status;
    if (count == 0) first = now;
    if (count >= 2) {
      const sy_status added = sy_mesh_add_triangle(mesh, first, last, now, w->err);
      if (added != SY_OK) return added;
    }
    last = now;
    count++;
  }
  return count >= 3 ? SY_OK : wrong_word(w, "", 0, "a face's three corners or more");
}

static sy_status obj_line(sy_mesh *mesh, words *w, corners *c, const char *word, size_t length) {
  if (is(word, length, "f")) return face(mesh, w, c);
  if (is(word, length, "surf") || is(word, length, "curv"))
    return wrong_word(w, word, length, "a flat face (curved ones are not read)");
  if (!is(word, length, "v")) return SY_OK; /* normals, textures, names: no concern of ours */
  sy_vec3 p = {0, 0, 0};
  char where[MESH_WHERE];
  uint32_t at;
  sy_status status = point(w, true, &p);
  sy_mesh_where(where, "line", w->line);
  if (status == SY_OK) status = sy_mesh_weld(mesh, p, where, &at, w->err);
  if (status == SY_OK) status = keep_corner(c, at, w->err);
  return status;
}

sy_status sy_mesh_read_obj(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err) {
  words w = {bytes, bytes + size, 0, err};
  corners c = {.alloc = &mesh->alloc};
  sy_status status = SY_OK;
  do {
    const char *word;
    size_t length;
    if (next_on_line(&w, &word, &length)) status = obj_line(mesh, &w, &c, word, length);
  } while (status == SY_OK && next_line(&w));
  if (status == SY_OK && c.count == 0)
    status = sy_fail(err, SY_CONTENT, "mesh", "", "is neither STL nor OBJ: it has no corners");
  sy_alloc_free(c.alloc, c.number, c.room * sizeof *c.number);
  return status;
}
