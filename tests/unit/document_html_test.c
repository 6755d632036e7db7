/* HTML as it is written, read back by GLib's reader of markup: texts and
 * attributes come back as they were, and nothing in them becomes markup. */
#include "document/html.h"

#include "base/random.h"

#include <glib.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static void assert_shown(const char *string, const char *expected)
{
    struct text text;
    text_init(&text);
    text_append_html(&text, string);
    assert_string_equal(text.bytes, expected);
    text_free(&text);
}

/* Marks of direction: Unicode Standard Annex 9, table of section 2. Pictures of
 * controls: the code chart of U+2400. */
static void marks_that_hide_are_shown(void **state)
{
    (void)state;
    assert_shown("a<b> & \"c\" 'd'", "a&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39;");
    assert_shown("\x1b[31m\x7f\x01", "\xe2\x90\x9b[31m\xe2\x90\xa1\xe2\x90\x81");
    assert_shown("tab\tline\n", "tab\tline\n");
    static const char *const marks[][2] = {
        {"\xd8\x9c", "[U+061C]"},          {"\xe2\x80\x8e", "[U+200E]"},
        {"\xe2\x80\x8f", "[U+200F]"},      {"\xe2\x80\xaa", "[U+202A]"},
        {"\xe2\x80\xab", "[U+202B]"},      {"\xe2\x80\xac", "[U+202C]"},
        {"\xe2\x80\xad", "[U+202D]"},      {"\xe2\x80\xae", "[U+202E]"},
        {"\xe2\x81\xa6", "[U+2066]"},      {"\xe2\x81\xa7", "[U+2067]"},
        {"\xe2\x81\xa8", "[U+2068]"},      {"\xe2\x81\xa9", "[U+2069]"},
        {"\xe2\x80\xa8", "[U+2028]"},      {"\xc2\x85", "[U+0085]"},
        {"\xef\xbb\xbf", "[U+FEFF]"},      {"\xef\xbf\xbf", "[U+FFFF]"},
        {"\xf0\x9f\xbf\xbe", "[U+1FFFE]"},
    };
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
        assert_shown(marks[i][0], marks[i][1]);
    assert_shown("caf\xc3\xa9 \xd7\xa9 \xe2\x80\x93 \xf0\x9f\x95\xaf",
                 "caf\xc3\xa9 \xd7\xa9 \xe2\x80\x93 \xf0\x9f\x95\xaf");
    assert_shown("cut \xe2\x80", "cut \xef\xbf\xbd\xef\xbf\xbd");
    assert_shown("\xc0\xaf", "\xef\xbf\xbd\xef\xbf\xbd");
}

static void elements_and_attributes(void **state)
{
    (void)state;
    struct text text;
    struct html html;
    text_init(&text);
    html_init(&html, &text);
    html_open_class(&html, "p", "note \"wide\"");
    html_attribute(&html, "title", NULL);
    html_attribute_integer(&html, "tabindex", -1);
    html_attribute_number(&html, "data-at", 0.1);
    html_attribute_number(&html, "data-none", NAN);
    html_flag(&html, "hidden", true);
    html_flag(&html, "inert", false);
    html_text(&html, "a");
    html_open(&html, "br");
    html_open(&html, "input");
    html_attribute(&html, "name", "<risk>");
    html_number(&html, 2, 1.005);
    html_number(&html, 2, NAN);
    html_element_class(&html, "b", "small", "1 < 2");
    html_integer(&html, 7);
    html_open(&html, "svg");
    html_markup(&html, "<path/>");
    html_close_all(&html, 2);
    html_line(&html);
    assert_string_equal(
        text.bytes, "<p class=\"note &quot;wide&quot;\" tabindex=\"-1\" data-at=\"0.1\" hidden>a"
                    "<br><input name=\"&lt;risk&gt;\">1.00<b class=\"small\">1 &lt; 2</b>7"
                    "<svg><path/></svg></p>\n");
    assert_int_equal(html.depth, 0);
    text_free(&text);
}

static void assert_address(const char *address, const char *expected)
{
    struct text text;
    struct html html;
    char whole[256];
    text_init(&text);
    html_init(&html, &text);
    html_open(&html, "a");
    html_address(&html, "href", address);
    html_close(&html);
    snprintf(whole, sizeof whole, "<a href=\"%s\"></a>", expected);
    assert_string_equal(text.bytes, whole);
    text_free(&text);
}

/* What a browser would run or take elsewhere, as the URL standard reads it: it
 * drops tabs, line ends and leading controls, and takes a backslash for a
 * slash. */
static void no_address_runs_anything(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "javascript:alert(1)", "JaVaScRiPt:alert(1)", " javascript:alert(1)", "java\tscript:x",
        "data:text/html,x",    "vbscript:x",          "\x01javascript:x",     "//elsewhere.example",
        "/\\elsewhere",        "\\\\elsewhere",       "file:///etc/passwd",   "blob:x",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_address(bad[i], "#");
    assert_address("/chart/lamp-tallow?from=2024-01-01&at=10:30",
                   "/chart/lamp-tallow?from=2024-01-01&amp;at=10:30");
    assert_address("#table", "#table");
    assert_address("?setup=a:b", "?setup=a:b");
    assert_address("study.html", "study.html");
    assert_address("https://www.example.org/", "https://www.example.org/");
}

static void text_of(GMarkupParseContext *context, const gchar *content, gsize length,
                    gpointer user_data, GError **error)
{
    (void)context;
    (void)error;
    g_string_append_len(user_data, content, (gssize)length);
}

static void start_of(GMarkupParseContext *context, const gchar *name, const gchar **names,
                     const gchar **values, gpointer user_data, GError **error)
{
    (void)context;
    (void)names;
    (void)error;
    g_string_append_printf(user_data, "<%s %s>", name, values[0] != NULL ? values[0] : "");
}

/* Printable characters only: the others do not come back, but as signs. */
static void random_word(struct random_stream *random, char word[64])
{
    static const char *const letters[] = {"<",
                                          ">",
                                          "&",
                                          "\"",
                                          "'",
                                          "a",
                                          "--",
                                          "]]>",
                                          "\xc3\xa9",
                                          "\xe2\x82\xac",
                                          "<script>",
                                          "&amp;",
                                          "\xf0\x9f\x95\xaf"};
    word[0] = '\0';
    for (uint64_t left = 1 + random_below(random, 7); left > 0; left--)
        strcat(word, letters[random_below(random, sizeof letters / sizeof letters[0])]);
}

static void random_words_come_back(void **state)
{
    (void)state;
    const GMarkupParser parser = {.start_element = start_of, .text = text_of};
    for (uint64_t i = 0; i < 3000; i++) {
        struct random_stream random;
        struct text text;
        struct html html;
        char value[64];
        char word[64];
        char expected[160];
        random_start(&random, 20260802, i);
        random_word(&random, value);
        random_word(&random, word);
        text_init(&text);
        html_init(&html, &text);
        html_open_class(&html, "p", value);
        html_text(&html, word);
        html_close(&html);
        GString *found = g_string_new(NULL);
        GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, found, NULL);
        assert_true(g_markup_parse_context_parse(context, text.bytes, (gssize)text.length, NULL));
        assert_true(g_markup_parse_context_end_parse(context, NULL));
        snprintf(expected, sizeof expected, "<p %s>%s", value, word);
        assert_string_equal(found->str, expected);
        g_markup_parse_context_free(context);
        g_string_free(found, TRUE);
        text_free(&text);
    }
}

/* RFC 3986, 2.1 and 2.3; GLib escapes the same. */
static void parts_of_addresses(void **state)
{
    (void)state;
    struct text text;
    text_init(&text);
    text_append_address(&text, "a b/c?d=e&f#%+\xc3\xa9-._~");
    char *expected = g_uri_escape_string("a b/c?d=e&f#%+\xc3\xa9-._~", NULL, FALSE);
    assert_string_equal(text.bytes, expected);
    assert_string_equal(text.bytes, "a%20b%2Fc%3Fd%3De%26f%23%25%2B%C3%A9-._~");
    g_free(expected);
    text_free(&text);
}

/* A sign of a number, U+2212 of the Unicode standard; no hyphen of a date, a name, a range. */
static void signs_of_numbers(void **state)
{
    (void)state;
    struct text text;
    struct html html;
    text_init(&text);
    html_init(&html, &text);
    html_prose(&html, "-1.5 to -0.2 (-3 <R>), 2010-01-04, low-2, a - b, -x");
    assert_string_equal(text.bytes, "\xe2\x88\x92"
                                    "1.5 to \xe2\x88\x92"
                                    "0.2 (\xe2\x88\x92"
                                    "3 &lt;R&gt;), 2010-01-04, low-2, a - b, -x");
    text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks_that_hide_are_shown), cmocka_unit_test(elements_and_attributes),
        cmocka_unit_test(no_address_runs_anything),  cmocka_unit_test(random_words_come_back),
        cmocka_unit_test(parts_of_addresses),        cmocka_unit_test(signs_of_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
