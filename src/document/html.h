/* HTML written element by element, escaped by what a thing is.
 *
 * An element is opened, given attributes while its start tag is open, filled,
 * and closed; the writer keeps the open ones and closes them by their names.
 * Names of elements and attributes are the program's own and are asserted to be
 * small letters, digits and hyphens; everything else may come from a person and
 * is escaped. A misuse (an attribute after content, a close too many) is an
 * assertion. It never fails but with the text that it appends to. */
#ifndef RUSHLIGHT_DOCUMENT_HTML_H
#define RUSHLIGHT_DOCUMENT_HTML_H

#include "base/text.h"

enum { HTML_DEPTH = 64 };

struct html {
    struct text *text; /* appended to; the caller's */
    const char *open[HTML_DEPTH];
    size_t depth;
    bool in_tag; /* the start tag of the innermost element is not ended yet */
};

void html_init(struct html *html, struct text *text);

/* Opens an element; the name is borrowed until it is closed. Elements that have
 * no end tag (br, img, input, link, meta, hr, ...) are not kept open: their
 * attributes follow as usual, and they are not closed. */
void html_open(struct html *html, const char *name);
/* The same with its class. */
void html_open_class(struct html *html, const char *name, const char *class);
/* Closes the innermost element. */
void html_close(struct html *html);
/* Closes so many. */
void html_close_all(struct html *html, size_t count);

/* Attributes of the start tag that is open. A NULL value leaves it out. */
void html_attribute(struct html *html, const char *name, const char *value);
void html_attribute_integer(struct html *html, const char *name, int64_t value);
/* The shortest decimal that reads back; NaN and infinities leave it out. */
void html_attribute_number(struct html *html, const char *name, double value);
/* An attribute that says yes by being there: checked, disabled, open. */
void html_flag(struct html *html, const char *name, bool there);
/* An address: one on this server (it begins with '/', '#', '?' or a name
 * without a colon before the first slash), or one of http, https and mailto.
 * Anything else, such as javascript:, becomes "#". Its parts are to be escaped
 * with text_append_address first. */
void html_address(struct html *html, const char *name, const char *address);

/* Content. Marks that cannot be seen or that turn the direction of what follows
 * are shown as signs: controls as the pictures of Unicode's block 2400, marks
 * of direction and the like as [U+202E]; broken UTF-8 is U+FFFD. Line ends and
 * tabs stay. */
void html_text(struct html *html, const char *string);
/* The same of words for people, as text_append_prose sets them. */
void html_prose(struct html *html, const char *words);
/* Its decimals as they are put: "%.*f"; NaN and infinities are nothing. */
void html_number(struct html *html, int decimals, double number);
void html_integer(struct html *html, int64_t number);
/* An element with nothing but a text in it. */
void html_element(struct html *html, const char *name, const char *string);
void html_element_class(struct html *html, const char *name, const char *class, const char *string);
/* Markup that the program made itself, such as an SVG or a style sheet: not
 * escaped, never anything that came from outside. */
void html_markup(struct html *html, const char *markup);
/* A line end, for whoever reads the source. */
void html_line(struct html *html);

/* One part of an address, a step of a path or a value behind '=': all but
 * letters, digits and -._~ as %XX of its bytes (RFC 3986, 2.1 and 2.3). */
void text_append_address(struct text *text, const char *part);
/* Text as html_text escapes it. */
void text_append_html(struct text *text, const char *string);

#endif
