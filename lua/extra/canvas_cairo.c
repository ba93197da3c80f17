/* canvas_cairo.c - marks on paper as PNG or PDF, a module of its own: steelyard.canvas_cairo, loaded when the first of them is written.
**
** Units    mm of paper from its top left corner, x to the right, y down; sizes of letters in mm an em; turns in degrees, counter-clockwise
**          as seen; colours {red, green, blue} in 0 to 1.
** Text     by Pango: letters that run to the left, and those that the family lacks, come out as in a browser. Kerning and ligatures are off,
**          so that figures under each other stay in their columns and a text is as wide as draw/metrics.lua says.
** Memory   a page collects its bytes in blocks of the Lua state's allocator. Callbacks of cairo raise nothing: they fail, the page keeps
**          that, and finish() reports it.
** Errors   Lua errors of plain text. Pango ends the process where it finds no memory for a line of text (GLib does).
*/
#include <cairo-pdf.h>
#include <lauxlib.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#define PAGE   "steelyard.page"
#define FAMILY "Liberation Sans"

/* Finer than that a home printer does not place a dot of a grey edge; the thinnest line, 0.18 mm, is 1.4 dots, the least letters 20 dots. */
static const double DOTS_AN_INCH = 200, MM_AN_INCH = 25.4, POINTS_AN_INCH = 72;

enum { MOST_DASHES = 8, FIRST_ROOM = 1 << 16 };

typedef struct page {
  cairo_surface_t *surface; /* NULL once finished */
  cairo_t *cr;
  PangoLayout *layout;
  lua_Alloc allocate;
  void *allocator;
  unsigned char *bytes;
  size_t size, room;
  int is_png;
} page;

/* ---- the bytes ---------------------------------------------------------------------------------------------------------------- */

static cairo_status_t take(void *closure, const unsigned char *data, unsigned length) {
  page *p = closure;
  if (length > p->room - p->size) {
    size_t room = p->room > 0 ? p->room : FIRST_ROOM;
    while (length > room - p->size) {
      if (room > SIZE_MAX / 2) return CAIRO_STATUS_NO_MEMORY;
      room *= 2;
    }
    unsigned char *more = p->allocate(p->allocator, p->bytes, p->room, room);
    if (more == NULL) return CAIRO_STATUS_NO_MEMORY;
    p->bytes = more, p->room = room;
  }
  memcpy(p->bytes + p->size, data, length);
  p->size += length;
  return CAIRO_STATUS_SUCCESS;
}

static void let_go(page *p) {
  if (p->layout != NULL) g_object_unref(p->layout);
  cairo_destroy(p->cr);
  cairo_surface_destroy(p->surface); /* an unfinished PDF writes its rest here, so the bytes go last */
  if (p->bytes != NULL) p->allocate(p->allocator, p->bytes, p->room, 0);
  p->layout = NULL, p->cr = NULL, p->surface = NULL, p->bytes = NULL;
  p->size = p->room = 0;
}

static int l_collect(lua_State *L) {
  let_go(luaL_checkudata(L, 1, PAGE));
  return 0;
}

static page *check_page(lua_State *L) {
  page *p = luaL_checkudata(L, 1, PAGE);
  if (p->surface == NULL) luaL_argerror(L, 1, "the page is finished");
  return p;
}

/* ---- a page ------------------------------------------------------------------------------------------------------------------- */

static double check_finite(lua_State *L, int argument) {
  const double x = luaL_checknumber(L, argument);
  luaL_argcheck(L, isfinite(x), argument, "must be finite");
  return x;
}

static double check_above_zero(lua_State *L, int argument) {
  const double x = check_finite(L, argument);
  luaL_argcheck(L, x > 0.0, argument, "must be above 0");
  return x;
}

static void fail_on(lua_State *L, cairo_status_t status) {
  if (status != CAIRO_STATUS_SUCCESS) luaL_error(L, "cairo: %s", cairo_status_to_string(status));
}

static void white(cairo_t *cr) {
  cairo_set_source_rgb(cr, 1, 1, 1);
  cairo_paint(cr);
}

/* Edges of letters stay where they are at every size: no grid of dots pulls at them, and none at their widths. */
static void prepare_text(page *p) {
  p->layout = pango_cairo_create_layout(p->cr);
  PangoContext *context = pango_layout_get_context(p->layout);
  cairo_font_options_t *how = cairo_font_options_create();
  cairo_font_options_set_hint_style(how, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(how, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(how, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context, how);
  cairo_font_options_destroy(how);
  pango_context_set_round_glyph_positions(context, FALSE);
  pango_cairo_update_layout(p->cr, p->layout);
  pango_layout_set_auto_dir(p->layout, FALSE);
  pango_layout_set_single_paragraph_mode(p->layout, TRUE);
  PangoAttrList *list = pango_attr_list_new();
  pango_attr_list_insert(list, pango_attr_font_features_new("kern=0, liga=0, clig=0"));
  pango_layout_set_attributes(p->layout, list);
  pango_attr_list_unref(list);
}

/* page("png" or "pdf", width, height, title) -> page, white: of a PDF the first of those that turn() goes on to */
static int l_page(lua_State *L) {
  static const char *const kinds[] = {"png", "pdf", NULL};
  const int is_png = luaL_checkoption(L, 1, NULL, kinds) == 0;
  const double width = check_above_zero(L, 2), height = check_above_zero(L, 3);
  const char *title = luaL_checkstring(L, 4);
  const double dots = (is_png ? DOTS_AN_INCH : POINTS_AN_INCH) / MM_AN_INCH;
  luaL_argcheck(L, width * dots <= INT16_MAX, 2, "is too large");
  luaL_argcheck(L, height * dots <= INT16_MAX, 3, "is too large");
  page *p = lua_newuserdatauv(L, sizeof *p, 0);
  memset(p, 0, sizeof *p);
  p->allocate = lua_getallocf(L, &p->allocator);
  p->is_png = is_png;
  luaL_setmetatable(L, PAGE);
  if (is_png) {
    p->surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(width * dots), (int)ceil(height * dots));
  } else {
    p->surface = cairo_pdf_surface_create_for_stream(take, p, width * dots, height * dots);
    cairo_pdf_surface_restrict_to_version(
        p->surface, CAIRO_PDF_VERSION_1_4); /* all that is needed, and read everywhere */
    cairo_pdf_surface_set_metadata(p->surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(p->surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   ""); /* none: the same bytes every day */
  }
  p->cr = cairo_create(p->surface);
  fail_on(L, cairo_status(p->cr));
  cairo_scale(p->cr, dots, dots);
  cairo_set_line_join(p->cr, CAIRO_LINE_JOIN_ROUND);
  white(p->cr);
  prepare_text(p);
  return 1;
}

/* page:turn(width, height): the page is done and another of that size, white, begins behind it. A PNG has one alone. */
static int l_turn(lua_State *L) {
  page *p = check_page(L);
  luaL_argcheck(L, !p->is_png, 1, "a PNG has one page");
  const double dots = POINTS_AN_INCH / MM_AN_INCH;
  const double width = check_above_zero(L, 2), height = check_above_zero(L, 3);
  luaL_argcheck(L, width * dots <= INT16_MAX, 2, "is too large");
  luaL_argcheck(L, height * dots <= INT16_MAX, 3, "is too large");
  cairo_show_page(p->cr);
  cairo_pdf_surface_set_size(p->surface, width * dots, height * dots);
  fail_on(L, cairo_status(p->cr));
  white(p->cr);
  return 0;
}

/* A PNG says how large its dots are, which cairo leaves out: a chunk pHYs behind the header, 7874 dots a metre both ways.
** Source  W3C, PNG Specification, 2nd edition, 11.3.5.3; the chunk never changes, so its check sum stands here. */
static const char DENSITY[] = "\0\0\0\11pHYs\0\0\x1e\xc2\0\0\x1e\xc2\1\x6e\xd0\x75\x3e";
enum { HEADER = 8 + 25 };

/* page:finish() -> the bytes of the file; the page is done with */
static int l_finish(lua_State *L) {
  page *p = check_page(L);
  cairo_status_t status = cairo_status(p->cr);
  if (status == CAIRO_STATUS_SUCCESS && p->is_png)
    status = cairo_surface_write_to_png_stream(p->surface, take, p);
  if (status == CAIRO_STATUS_SUCCESS) {
    cairo_surface_finish(p->surface);
    status = cairo_surface_status(p->surface);
  }
  fail_on(L, status);
  if (p->is_png && p->size > HEADER) {
    luaL_Buffer bytes;
    luaL_buffinitsize(L, &bytes, p->size + sizeof DENSITY);
    luaL_addlstring(&bytes, (const char *)p->bytes, HEADER);
    luaL_addlstring(&bytes, DENSITY, sizeof DENSITY - 1);
    luaL_addlstring(&bytes, (const char *)p->bytes + HEADER, p->size - HEADER);
    luaL_pushresult(&bytes);
  } else {
    lua_pushlstring(L, (const char *)p->bytes, p->size);
  }
  let_go(p);
  return 1;
}

/* ---- shapes ------------------------------------------------------------------------------------------------------------------- */

static double number_in(lua_State *L, int table, lua_Integer i) {
  lua_geti(L, table, i);
  const double x = lua_tonumber(L, -1);
  lua_pop(L, 1);
  if (!isfinite(x)) luaL_error(L, "a coordinate is not finite");
  return x;
}

/* page:loop({{x, y}, ...}, closed): a line or a round more of the shape that paint() paints */
static int l_loop(lua_State *L) {
  page *p = check_page(L);
  luaL_checktype(L, 2, LUA_TTABLE);
  const lua_Integer n = luaL_len(L, 2);
  for (lua_Integer i = 1; i <= n; i++) {
    if (lua_geti(L, 2, i) != LUA_TTABLE) return luaL_argerror(L, 2, "points {x, y} expected");
    const double x = number_in(L, 4, 1), y = number_in(L, 4, 2);
    lua_pop(L, 1);
    if (i == 1)
      cairo_move_to(p->cr, x, y);
    else
      cairo_line_to(p->cr, x, y);
  }
  if (lua_toboolean(L, 3)) cairo_close_path(p->cr);
  return 0;
}

/* page:ellipse(x, y, long, short, turn) */
static int l_ellipse(lua_State *L) {
  page *p = check_page(L);
  const double x = check_finite(L, 2), y = check_finite(L, 3), a = check_finite(L, 4), b = check_finite(L, 5);
  const double turn = check_finite(L, 6) * G_PI / 180;
  if (!(a > 0.0 && b > 0.0)) return 0; /* no area, nothing to see */
  cairo_save(p->cr);
  cairo_translate(p->cr, x, y);
  cairo_rotate(p->cr, -turn);
  cairo_scale(p->cr, a, b);
  cairo_new_sub_path(p->cr);
  cairo_arc(p->cr, 0, 0, 1, 0, 2 * G_PI);
  cairo_close_path(p->cr);
  cairo_restore(p->cr);
  return 0;
}

static void set_colour(lua_State *L, page *p, int colour) {
  cairo_set_source_rgb(p->cr, number_in(L, colour, 1), number_in(L, colour, 2), number_in(L, colour, 3));
}

/* page:paint(fill or nil, colour or nil, weight, dashes or nil): paints the shape, fill first, and begins another */
static int l_paint(lua_State *L) {
  page *p = check_page(L);
  lua_settop(L, 5);
  if (!lua_isnil(L, 2)) {
    luaL_checktype(L, 2, LUA_TTABLE);
    set_colour(L, p, 2);
    cairo_fill_preserve(p->cr); /* by the nonzero rule, cairo's own default */
  }
  if (!lua_isnil(L, 3)) {
    luaL_checktype(L, 3, LUA_TTABLE);
    double lengths[MOST_DASHES];
    int count = 0;
    if (lua_istable(L, 5))
      for (; count < MOST_DASHES && count < (int)luaL_len(L, 5); count++)
        lengths[count] = number_in(L, 5, count + 1);
    set_colour(L, p, 3);
    cairo_set_line_width(p->cr, check_above_zero(L, 4));
    cairo_set_dash(p->cr, lengths, count, 0);
    cairo_stroke_preserve(p->cr);
  }
  cairo_new_path(p->cr);
  return 0;
}

/* ---- texts -------------------------------------------------------------------------------------------------------------------- */

/* Sets the line with what stands at words, words + 1 (size) and words + 2 (bold); gives it. */
static PangoLayoutLine *set_line(lua_State *L, page *p, int words) {
  size_t length;
  const char *bytes = luaL_checklstring(L, words, &length);
  const double size = check_above_zero(L, words + 1);
  luaL_argcheck(L, length <= 10000, words, "is too long for a line");
  luaL_argcheck(L, g_utf8_validate(bytes, (gssize)length, NULL), words, "is not UTF-8");
  PangoFontDescription *font = pango_font_description_new();
  pango_font_description_set_family_static(font, FAMILY);
  pango_font_description_set_weight(font,
                                    lua_toboolean(L, words + 2) ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
  pango_layout_set_font_description(p->layout, font);
  pango_font_description_free(font);
  pango_layout_set_text(p->layout, bytes, (int)length);
  return pango_layout_get_line_readonly(p->layout, 0);
}

static double width_of(PangoLayoutLine *line) {
  PangoRectangle logical;
  pango_layout_line_get_extents(line, NULL, &logical);
  return logical.width / (double)PANGO_SCALE;
}

/* page:width(words, size, bold) -> mm */
static int l_width(lua_State *L) {
  page *p = check_page(L);
  lua_pushnumber(L, width_of(set_line(L, p, 2)));
  return 1;
}

/* page:text(words, size, bold, x, y, anchor, colour, halo): on the base line y, from x to the right ("start"), about it ("middle") or to the
** left ("end"); halo: width in mm of the white about the letters, 0 for none */
static int l_text(lua_State *L) {
  static const char *const anchors[] = {"start", "middle", "end", NULL};
  page *p = check_page(L);
  const double x = check_finite(L, 5), y = check_finite(L, 6), halo = check_finite(L, 9);
  const int anchor = luaL_checkoption(L, 7, NULL, anchors);
  luaL_checktype(L, 8, LUA_TTABLE);
  PangoLayoutLine *line = set_line(L, p, 2);
  const double left = x - anchor * width_of(line) / 2;
  if (halo > 0.0) {
    cairo_move_to(p->cr, left, y);
    pango_cairo_layout_line_path(p->cr, line);
    cairo_set_source_rgb(p->cr, 1, 1, 1);
    cairo_set_line_width(p->cr, 2 * halo);
    cairo_set_dash(p->cr, NULL, 0, 0);
    cairo_stroke(p->cr);
  }
  set_colour(L, p, 8);
  cairo_move_to(p->cr, left, y);
  pango_cairo_show_layout_line(p->cr, line);
  cairo_new_path(p->cr);
  return 0;
}

static const luaL_Reg methods[] = {{"loop", l_loop},     {"ellipse", l_ellipse}, {"paint", l_paint},
                                   {"text", l_text},     {"width", l_width},     {"turn", l_turn},
                                   {"finish", l_finish}, {"__gc", l_collect},    {NULL, NULL}};
static const luaL_Reg functions[] = {{"page", l_page}, {NULL, NULL}};

/* the one symbol the module exports */
int luaopen_steelyard_canvas_cairo(lua_State *L);

__attribute__((visibility("default"))) int luaopen_steelyard_canvas_cairo(lua_State *L) {
  luaL_checkversion(L);
  luaL_newmetatable(L, PAGE);
  luaL_setfuncs(L, methods, 0);
  lua_pushvalue(L, -1);
  lua_setfield(L, -2, "__index");
  luaL_newlib(L, functions);
  return 1;
}
