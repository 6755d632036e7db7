/* A growing text that fails once and is checked once.
 *
 * After an allocation failure every append is a no-op and `text_failed` is
 * true; so a writer appends freely and asks at the end. The bytes are UTF-8
 * and always end in a NUL that is not counted. */
#ifndef RUSHLIGHT_BASE_TEXT_H
#define RUSHLIGHT_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct text {
    char *bytes; /* never NULL after text_init: an empty text is "" */
    size_t length;
    size_t capacity; /* 0 while `bytes` is the shared empty text */
    bool failed;
};

void text_init(struct text *text);
/* Frees the bytes; the text is empty and usable again. */
void text_free(struct text *text);
/* Empties the text and keeps its memory; clears the failure. */
void text_clear(struct text *text);
bool text_failed(const struct text *text);
/* Hands the bytes to the caller, who frees them; NULL if an append failed. */
char *text_take(struct text *text);

/* Whether all of bytes[0..length) is well-formed UTF-8 (Unicode standard, table
 * 3-7: no overlong forms, no surrogates, nothing beyond U+10FFFF). A NUL is a
 * character like any other here. */
bool text_is_utf8(const char *bytes, size_t length);

/* Characters that a terminal or a reader must not meet as they are: controls
 * (line ends and tabs among them), the controls of the bidirectional algorithm
 * (Unicode Standard Annex 9, 2), the line and paragraph separators, the controls
 * U+0080 to U+009F, the byte order mark, and those that stand for nothing. */
enum { TEXT_SHOWN_SIZE = 12 };

/* The character at bytes[0..left), left > 0: its length, and what stands for it
 * where it is not to be met, such as a picture (U+241B) or [U+202E]; else the
 * empty text. Of a byte that is no character it is U+FFFD. */
size_t text_character(const char *bytes, size_t left, char instead[TEXT_SHOWN_SIZE]);
/* Whether every character may be met as it is. */
bool text_is_shown(const char *string);

void text_append(struct text *text, const char *string);
/* The text with what stands for such characters. */
void text_append_shown(struct text *text, const char *string);
void text_append_bytes(struct text *text, const char *bytes, size_t length);
void text_append_char(struct text *text, char c);
void text_append_format(struct text *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The shortest decimal that reads back as the same double; NaN gives nothing,
 * infinities `inf` and `-inf`; -0 gives 0. */
void text_append_number(struct text *text, double value);
void text_append_integer(struct text *text, int64_t value);

/* One cell of a CSV line (RFC 4180), quoted where it must be, and for people: a
 * text that a spreadsheet would take for a formula (one that begins with =, +, -
 * or @ and is no number) has an apostrophe in front, and what nobody sees is
 * shown as text_append_shown does, line ends and tabs aside. */
void text_append_csv(struct text *text, const char *string);
/* The same for programs: every byte as it is. */
void text_append_csv_exact(struct text *text, const char *string);
/* A JSON string with its quotes (RFC 8259); invalid UTF-8 becomes U+FFFD, and
 * what nobody sees is written \u with its number. It is a double-quoted scalar of
 * YAML 1.1, too. */
void text_append_json(struct text *text, const char *string);
/* Character data or attribute value of XML and HTML; characters that XML 1.0
 * forbids (controls, U+FFFE, U+FFFF) become U+FFFD. */
void text_append_xml(struct text *text, const char *string);

#endif
