#include "document/markup.h"

#include <stddef.h>
#include <string.h>

enum { DEPTH = 64, NAME_SIZE = 24 };

static const char *const elements[] = {
    "b",   "caption",    "circle",  "dd",    "defs",  "desc", "div",   "dl",
    "dt",  "figcaption", "figure",  "g",     "h2",    "h3",   "p",     "path",
    "pre", "rect",       "section", "small", "span",  "svg",  "table", "tbody",
    "td",  "text",       "th",      "thead", "title", "tr",   "tspan", NULL,
};

static const char *const attributes[] = {
    "aria-hidden",
    "aria-labelledby",
    "class",
    "cx",
    "cy",
    "d",
    "fill",
    "font-family",
    "font-size",
    "font-style",
    "font-weight",
    "height",
    "id",
    "lang",
    "r",
    "role",
    "scope",
    "shape-rendering",
    "stroke-dasharray",
    "stroke-linejoin",
    "stroke-width",
    "text-anchor",
    "viewBox",
    "width",
    "x",
    "xmlns",
    "y",
    NULL,
};

static bool is_among(const char *name, const char *const *list)
{
    for (; *list != NULL; list++)
        if (strcmp(*list, name) == 0)
            return true;
    return false;
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* A name, which begins with a letter; past it. NULL: there is none, or it is too
 * long. */
static const char *take_name(const char *at, char name[NAME_SIZE])
{
    size_t length = 0;
    while (is_letter(at[length]) ||
           (length > 0 && ((at[length] >= '0' && at[length] <= '9') || at[length] == '-')))
        length++;
    if (length == 0 || length >= NAME_SIZE)
        return NULL;
    memcpy(name, at, length);
    name[length] = '\0';
    return at + length;
}

/* ` name="value"`, past it; the value holds neither marks nor an address. */
static const char *take_attribute(const char *at)
{
    char name[NAME_SIZE];
    if (*at++ != ' ' || (at = take_name(at, name)) == NULL || !is_among(name, attributes) ||
        at[0] != '=' || at[1] != '"')
        return NULL;
    const char *value = at + 2;
    size_t length = strcspn(value, "\"<>");
    if (value[length] != '"' || memchr(value, '(', length) != NULL)
        return NULL;
    return value + length + 1;
}

/* &name; or &#number; past it. */
static const char *take_entity(const char *at)
{
    size_t length = strcspn(at + 1, ";&<> \n") + 1;
    return at[length] == ';' && length > 1 && length < NAME_SIZE ? at + length + 1 : NULL;
}

struct opened {
    char names[DEPTH][NAME_SIZE];
    size_t depth;
};

/* A tag, past it. */
static const char *take_tag(const char *at, struct opened *opened)
{
    char name[NAME_SIZE];
    if (at[1] == '/') {
        at = take_name(at + 2, name);
        if (at == NULL || *at != '>' || opened->depth == 0 ||
            strcmp(opened->names[--opened->depth], name) != 0)
            return NULL;
        return at + 1;
    }
    at = take_name(at + 1, name);
    if (at == NULL || !is_among(name, elements))
        return NULL;
    while (at != NULL && *at == ' ')
        at = take_attribute(at);
    if (at != NULL && at[0] == '/' && at[1] == '>')
        return at + 2;
    if (at == NULL || *at != '>' || opened->depth == DEPTH)
        return NULL;
    strcpy(opened->names[opened->depth++], name);
    return at + 1;
}

bool markup_is_drawn(const char *markup)
{
    struct opened opened = {.depth = 0};
    const char *at = markup;
    while (at != NULL && *at != '\0') {
        if (*at == '<')
            at = take_tag(at, &opened);
        else if (*at == '&')
            at = take_entity(at);
        else if (*at == '>')
            at = NULL;
        else
            at++;
    }
    return at != NULL && opened.depth == 0;
}
