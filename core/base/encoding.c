#include "base/encoding.h"

#include <stdint.h>
#include <string.h>

typedef unsigned char byte;

const char *sy_encoding_name(sy_encoding encoding) {
  switch (encoding) {
  case SY_ENCODING_UTF8: return "UTF-8";
  case SY_ENCODING_UTF16_LE: return "UTF-16, little end first";
  case SY_ENCODING_UTF16_BE: return "UTF-16, big end first";
  case SY_ENCODING_WINDOWS_1252: return "Windows-1252";
  }
  return "none";
}

/* The line that byte `at` of UTF-8, or of an encoding that has ASCII in it, stands on: CR LF is one end. */
static size_t line_at(const char *text, size_t at) {
  size_t line = 1;
  for (size_t i = 0; i < at; i++)
    if (text[i] == '\n' || (text[i] == '\r' && text[i + 1] != '\n'))
      line++; /* text[at] is there to look at */
  return line;
}

static sy_status refuse(sy_error *err, size_t line, const char *what) {
  sy_error place;
  sy_fail(&place, SY_CONTENT, NULL, NULL, "line %zu", line);
  return sy_fail(err, SY_CONTENT, place.message, NULL, "%s", what);
}

static sy_status refuse_byte(sy_error *err, size_t line, byte b, const char *what) {
  static const char digits[] = "0123456789ABCDEF";
  const char hex[] = {'0', 'x', digits[b >> 4], digits[b & 15], '\0'};
  sy_error sentence;
  sy_fail(&sentence, SY_CONTENT, NULL, NULL, "the byte %s %s", hex, what);
  return refuse(err, line, sentence.message);
}

/* ---- UTF-8 ---------------------------------------------------------------------------------------------------- */

/* Bytes of the letter at `s`, or 0 when it is none: no overlong forms, no surrogates, nothing above U+10FFFF. */
static size_t letter_length(const byte *s, size_t left) {
  const byte first = s[0];
  if (first < 0x80) return 1;
  const size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || length > left) return 0;
  const byte lowest = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
  const byte highest = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
  if (s[1] < lowest || s[1] > highest) return 0;
  for (size_t i = 2; i < length; i++)
    if ((s[i] & 0xC0) != 0x80) return 0;
  return length;
}

typedef struct survey {
  size_t whole, broken; /* letters beyond ASCII */
  size_t first_broken;
} survey;

static survey look_for_utf8(const char *text, size_t size) {
  survey s = {0, 0, 0};
  const byte *p = (const byte *)text;
  size_t i = 0;
  while (i < size) {
    uint64_t eight;
    if (i + sizeof eight <= size) { /* most text is ASCII: eight letters at a time */
      memcpy(&eight, p + i, sizeof eight);
      if ((eight & UINT64_C(0x8080808080808080)) == 0) {
        i += sizeof eight;
        continue;
      }
    }
    const size_t length = letter_length(p + i, size - i);
    if (length == 0 && s.broken++ == 0) s.first_broken = i;
    if (length > 1) s.whole++;
    i += length == 0 ? 1 : length;
  }
  return s;
}

/* ---- to UTF-8 ------------------------------------------------------------------------------------------------- */

static size_t put_letter(char *out, uint32_t code) {
  if (code < 0x80) {
    out[0] = (char)code;
    return 1;
  }
  const size_t length = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  for (size_t i = length - 1; i > 0; i--) {
    out[i] = (char)(0x80u | (code & 0x3Fu));
    code >>= 6;
  }
  static const byte lead[] = {0, 0, 0xC0, 0xE0, 0xF0};
  out[0] = (char)(lead[length] | code);
  return length;
}

static sy_status new_block(const sy_alloc *alloc, size_t size, sy_decoded *out, sy_error *err) {
  out->block_size = size + 1; /* never empty */
  out->block = sy_alloc_new(alloc, out->block_size);
  if (out->block == NULL)
    return sy_fail(err, SY_LIMIT, NULL, NULL, "no memory for %zu bytes", out->block_size);
  out->text = out->block;
  return SY_OK;
}

static uint32_t unit_at(const byte *s, bool little) {
  return little ? (uint32_t)s[1] << 8 | s[0] : (uint32_t)s[0] << 8 | s[1];
}

/* Every unit of two bytes becomes three at most, every two units four. */
static sy_status from_utf16(const char *bytes, size_t size, const sy_alloc *alloc, sy_decoded *out,
                            sy_error *err) {
  const byte *s = (const byte *)bytes;
  const bool little = out->encoding == SY_ENCODING_UTF16_LE;
  const sy_status status = new_block(alloc, size / 2 * 3, out, err);
  if (status != SY_OK) return status;
  size_t used = 0;
  size_t line = 1;
  const char *wrong = size % 2 != 0 ? "half a letter at the end of UTF-16" : NULL;
  for (size_t i = 0; i + 1 < size; i += 2) {
    uint32_t code = unit_at(s + i, little);
    if (code >= 0xD800 && code < 0xDC00 && i + 3 < size) {
      const uint32_t low = unit_at(s + i + 2, little);
      if (low >= 0xDC00 && low < 0xE000) {
        code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
        i += 2;
      }
    }
    if (code == 0 || (code >= 0xD800 && code < 0xE000)) {
      wrong = code == 0 ? "is not text: a zero letter" : "half a letter in UTF-16";
      break;
    }
    if (code == '\n' || (code == '\r' && !(i + 3 < size && unit_at(s + i + 2, little) == '\n'))) line++;
    used += put_letter(out->block + used, code);
  }
  out->size = used;
  if (wrong == NULL) return SY_OK;
  sy_decoded_free(alloc, out);
  return refuse(err, line, wrong);
}

/* 0x80 to 0x9F; 0: undefined. The rest is as in Latin-1, the first 256 letters of Unicode. */
static const uint16_t windows_1252[32] = {0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                          0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
                                          0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                          0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

static sy_status from_windows_1252(const char *bytes, size_t size, const sy_alloc *alloc, sy_decoded *out,
                                   sy_error *err) {
  const sy_status status = new_block(alloc, 3 * size, out, err);
  if (status != SY_OK) return status;
  for (size_t i = 0; i < size; i++) {
    const byte b = (byte)bytes[i];
    const uint32_t code = b >= 0x80 && b < 0xA0 ? windows_1252[b - 0x80] : b;
    if (code == 0) {
      sy_decoded_free(alloc, out);
      return refuse_byte(err, line_at(bytes, i), b, "is neither UTF-8 nor Windows-1252");
    }
    out->size += put_letter(out->block + out->size, code);
  }
  return SY_OK;
}

/* ---- which ---------------------------------------------------------------------------------------------------- */

static bool starts_with(const char *bytes, size_t size, const char *start, size_t length) {
  return size >= length && memcmp(bytes, start, length) == 0;
}

/* The length of a byte order mark, with what it says. */
static size_t read_mark(const char *bytes, size_t size, sy_encoding *encoding) {
  *encoding = SY_ENCODING_UTF8;
  if (starts_with(bytes, size, "\xEF\xBB\xBF", 3)) return 3;
  *encoding = SY_ENCODING_UTF16_LE;
  if (starts_with(bytes, size, "\xFF\xFE", 2)) return 2;
  *encoding = SY_ENCODING_UTF16_BE;
  if (starts_with(bytes, size, "\xFE\xFF", 2)) return 2;
  *encoding = SY_ENCODING_UTF8;
  return 0;
}

static bool looks_like_utf16(const char *bytes, size_t size, sy_encoding *encoding) {
  size_t zeros[2] = {0, 0};
  for (size_t i = 0; i < size; i++)
    if (bytes[i] == '\0') zeros[i % 2]++;
  const size_t pairs = size / 2;
  if (pairs == 0 || size % 2 != 0) return false;
  if (zeros[0] == 0 && 2 * zeros[1] >= pairs)
    *encoding = SY_ENCODING_UTF16_LE;
  else if (zeros[1] == 0 && 2 * zeros[0] >= pairs)
    *encoding = SY_ENCODING_UTF16_BE;
  else
    return false;
  return true;
}

static sy_status from_single_bytes(const char *text, size_t size, const sy_alloc *alloc, sy_decoded *out,
                                   sy_error *err) {
  const survey s = look_for_utf8(text, size);
  if (s.broken == 0) {
    out->text = text;
    out->size = size;
    return SY_OK;
  }
  if (out->mark || s.whole > s.broken)
    return refuse_byte(err, line_at(text, s.first_broken), (byte)text[s.first_broken],
                       out->mark ? "is not UTF-8, which the file says it is"
                                 : "is not UTF-8, as most of the file is");
  out->encoding = SY_ENCODING_WINDOWS_1252;
  return from_windows_1252(text, size, alloc, out, err);
}

sy_status sy_encoding_decode(const char *bytes, size_t size, const sy_alloc *alloc, sy_decoded *out,
                             sy_error *err) {
  sy_decoded d = {NULL, 0, SY_ENCODING_UTF8, false, NULL, 0};
  const size_t mark = read_mark(bytes, size, &d.encoding);
  d.mark = mark > 0;
  const char *text = bytes + mark;
  const size_t left = size - mark;
  const char *zero = d.encoding == SY_ENCODING_UTF8 && left > 0 ? memchr(text, '\0', left) : NULL;
  sy_status status;
  if (zero != NULL && (d.mark || !looks_like_utf16(text, left, &d.encoding)))
    status = refuse(err, line_at(text, (size_t)(zero - text)), "is not text: a zero byte");
  else if (d.encoding != SY_ENCODING_UTF8)
    status = from_utf16(text, left, alloc, &d, err);
  else
    status = from_single_bytes(text, left, alloc, &d, err);
  if (status == SY_OK) *out = d;
  return status;
}

void sy_decoded_free(const sy_alloc *alloc, sy_decoded *decoded) {
  sy_alloc_free(alloc, decoded->block, decoded->block_size);
  decoded->block = NULL;
  decoded->text = NULL;
  decoded->size = 0;
}
