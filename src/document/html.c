#include "document/html.h"

#include "document/paragraph.h"

#include <assert.h>
#include <math.h>
#include <string.h>

void html_init(struct html *html, struct text *text)
{
    *html = (struct html){.text = text};
}

/* The void elements of the HTML standard, 13.1.2. */
static bool has_no_end(const char *name)
{
    static const char *const names[] = {"area",  "base", "br",   "col",    "embed", "hr", "img",
                                        "input", "link", "meta", "source", "track", "wbr"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (strcmp(names[i], name) == 0)
            return true;
    return false;
}

static bool is_name(const char *name)
{
    return name[0] >= 'a' && name[0] <= 'z' &&
           name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-")] == '\0';
}

static void end_tag(struct html *html)
{
    if (html->in_tag)
        text_append_char(html->text, '>');
    html->in_tag = false;
}

void html_open(struct html *html, const char *name)
{
    assert(is_name(name));
    end_tag(html);
    text_append_char(html->text, '<');
    text_append(html->text, name);
    html->in_tag = true;
    if (has_no_end(name))
        return;
    assert(html->depth < HTML_DEPTH);
    html->open[html->depth++] = name;
}

void html_open_class(struct html *html, const char *name, const char *class)
{
    html_open(html, name);
    html_attribute(html, "class", class);
}

void html_close(struct html *html)
{
    assert(html->depth > 0);
    end_tag(html);
    text_append(html->text, "</");
    text_append(html->text, html->open[--html->depth]);
    text_append_char(html->text, '>');
}

void html_close_all(struct html *html, size_t count)
{
    while (count-- > 0)
        html_close(html);
}

static void begin_attribute(struct html *html, const char *name)
{
    assert(html->in_tag && is_name(name));
    text_append_char(html->text, ' ');
    text_append(html->text, name);
}

void html_attribute(struct html *html, const char *name, const char *value)
{
    if (value == NULL)
        return;
    begin_attribute(html, name);
    text_append(html->text, "=\"");
    text_append_html(html->text, value);
    text_append_char(html->text, '"');
}

void html_attribute_integer(struct html *html, const char *name, int64_t value)
{
    begin_attribute(html, name);
    text_append_format(html->text, "=\"%lld\"", (long long)value);
}

void html_attribute_number(struct html *html, const char *name, double value)
{
    if (!isfinite(value))
        return;
    begin_attribute(html, name);
    text_append(html->text, "=\"");
    text_append_number(html->text, value);
    text_append_char(html->text, '"');
}

void html_flag(struct html *html, const char *name, bool there)
{
    if (there)
        begin_attribute(html, name);
}

/* Browsers leave out controls and spaces before they look for a scheme, and
 * take a backslash for a slash: an address with any of them is not safe. */
static bool is_safe_address(const char *address)
{
    static const char *const schemes[] = {"http://", "https://", "mailto:"};
    for (const char *c = address; *c != '\0'; c++)
        if ((unsigned char)*c <= ' ' || *c == '\\' || *c == 0x7f)
            return false;
    for (size_t i = 0; i < sizeof schemes / sizeof schemes[0]; i++)
        if (strncmp(address, schemes[i], strlen(schemes[i])) == 0)
            return true;
    if (strncmp(address, "//", 2) == 0)
        return false;
    return address[strcspn(address, ":/?#")] != ':';
}

void html_address(struct html *html, const char *name, const char *address)
{
    html_attribute(html, name, is_safe_address(address) ? address : "#");
}

void html_text(struct html *html, const char *string)
{
    end_tag(html);
    text_append_html(html->text, string);
}

void html_prose(struct html *html, const char *words)
{
    struct text text;
    text_init(&text);
    text_append_prose(&text, words);
    html_text(html, text.bytes);
    html->text->failed = html->text->failed || text_failed(&text);
    text_free(&text);
}

void html_number(struct html *html, int decimals, double number)
{
    end_tag(html);
    if (isfinite(number))
        text_append_format(html->text, "%.*f", decimals, number);
}

void html_integer(struct html *html, int64_t number)
{
    end_tag(html);
    text_append_integer(html->text, number);
}

void html_element(struct html *html, const char *name, const char *string)
{
    html_element_class(html, name, NULL, string);
}

void html_element_class(struct html *html, const char *name, const char *class, const char *string)
{
    html_open_class(html, name, class);
    html_text(html, string);
    html_close(html);
}

void html_markup(struct html *html, const char *markup)
{
    end_tag(html);
    text_append(html->text, markup);
}

void html_line(struct html *html)
{
    end_tag(html);
    text_append_char(html->text, '\n');
}

void text_append_address(struct text *text, const char *part)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                "0123456789-._~";
    for (const unsigned char *c = (const unsigned char *)part; *c != '\0'; c++) {
        if (strchr(plain, *c) != NULL)
            text_append_char(text, (char)*c);
        else
            text_append_format(text, "%%%02X", *c);
    }
}

void text_append_html(struct text *text, const char *string)
{
    size_t left = strlen(string);
    while (left > 0) {
        char instead[TEXT_SHOWN_SIZE];
        size_t length = text_character(string, left, instead);
        if (strchr("\n\t\r", *string) != NULL)
            text_append_char(text, *string);
        else if (instead[0] != '\0')
            text_append(text, instead);
        else if (length == 1)
            text_append_xml(text, (const char[]){*string, '\0'});
        else
            text_append_bytes(text, string, length);
        string += length;
        left -= length;
    }
}
