/* Files made from a figure, read by programs from outside the project: libxml2
 * (xmllint) and Poppler (pdftotext, pdfinfo, pdffonts). */
#define _POSIX_C_SOURCE 200809L /* sysconf */
#include "draw/output.h"
#include "draw/typesetter.h"
#include "reader.h"
#include "report/sheet_file.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cmocka.h>

struct sample {
    struct typesetter *typesetter;
    struct picture *picture;
    struct text svg;
    struct output_figure figure;
};

static int set_up(void **state)
{
    static struct sample sample;
    struct error error;
    sample = (struct sample){0};
    text_init(&sample.svg);
    assert_int_equal(typesetter_new(&sample.typesetter, &error), ERROR_NONE);
    sample.picture = picture_new(sample.typesetter, 400, 300, "t");
    picture_describe(sample.picture, "Tallow & rush <1>", "A line and three words");
    picture_line(sample.picture, LAYER_MARKS, (struct pen){INK_MAIN, 1, DASH_NONE}, 10, 20, 390,
                 280);
    picture_word(sample.picture, "Ünïcode Ωμέγα 1−2 < 3 & 4", (struct type){FACE_REGULAR, 12},
                 INK_MAIN, PRIORITY_NOTE, (struct spot){20, 100, ALIGN_START}, 0);
    picture_word(sample.picture, "heavy", (struct type){FACE_BOLD, 12}, INK_ACCENT, PRIORITY_NOTE,
                 (struct spot){20, 140, ALIGN_START}, 0);
    assert_int_equal(picture_write(sample.picture, THEME_PRINT, &sample.svg, &error), ERROR_NONE);
    sample.figure = (struct output_figure){sample.picture, &sample.svg};
    *state = &sample;
    return 0;
}

static int tear_down(void **state)
{
    struct sample *sample = *state;
    text_free(&sample->svg);
    picture_free(sample->picture);
    typesetter_free(sample->typesetter);
    return 0;
}

static const struct output_words document = {.title = "Tallow & rush <1>", .language = "en-GB"};

static void svg_is_xml(void **state)
{
    struct sample *sample = *state;
    struct text answer;
    text_init(&answer);
    assert_int_equal(read_with("xmllint --noout \"$file\" 2>&1", &sample->svg, &answer), 0);
    assert_string_equal(answer.bytes, "");
    text_clear(&answer);
    assert_int_equal(read_with("xmllint --xpath \"string(//*[local-name()='title'])\" \"$file\"",
                               &sample->svg, &answer),
                     0);
    assert_string_equal(answer.bytes, "Tallow & rush <1>\n");
    text_free(&answer);
}

/* A file of its own carries its letters: taken out of it and read by FreeType
 * (fc-scan), they are the font's own, in the faces shown. */
static void svg_carries_its_letters(void **state)
{
    struct sample *sample = *state;
    const struct sheet_target target = {.form = SHEET_SVG, .theme = THEME_LIGHT};
    struct error error;
    struct text file;
    struct text answer;
    text_init(&file);
    text_init(&answer);
    assert_int_equal(sheet_write(sample->picture, NULL, &target, &file, &error), ERROR_NONE);
    assert_int_equal(read_with("xmllint --noout \"$file\" 2>&1", &file, &answer), 0);
    assert_string_equal(answer.bytes, "");
    read_with("grep -o 'base64,[^)]*' \"$file\" | while IFS=, read -r _ letters; do "
              "echo \"$letters\" | base64 -d >\"$file.ttf\"; "
              "fc-scan -f '%{family}/%{style}\\n' \"$file.ttf\"; rm \"$file.ttf\"; done",
              &file, &answer);
    assert_string_equal(answer.bytes, "Lato/Regular\nLato/Bold\n");
    text_free(&answer);
    text_free(&file);
}

/* The signature and the IHDR chunk (PNG specification 1.2, 3.1 and 4.1.1). */
static void png_has_the_size_asked_for(void **state)
{
    struct sample *sample = *state;
    struct error error;
    struct text png;
    text_init(&png);
    assert_int_equal(output_png(&sample->figure, 2, &png, &error), ERROR_NONE);
    assert_memory_equal(png.bytes, "\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x03\x20\0\0\x02\x58", 24);
    text_clear(&png);
    assert_int_equal(output_png(&sample->figure, 100, &png, &error), ERROR_INPUT);
    assert_string_equal(error.text,
                        "a picture of 40000 by 30000 pixels is too large; 20000 is allowed");
    text_free(&png);
}

static void pdf_keeps_text_title_language_and_fonts(void **state)
{
    struct sample *sample = *state;
    struct error error;
    struct text pdf;
    struct text answer;
    text_init(&pdf);
    text_init(&answer);
    assert_int_equal(output_pdf(&sample->figure, 1, PAPER_A4, &document, &pdf, &error), ERROR_NONE);
    assert_int_equal(read_with("pdftotext \"$file\" -", &pdf, &answer), 0);
    assert_non_null(strstr(answer.bytes, "Ünïcode Ωμέγα 1−2 < 3 & 4"));
    assert_non_null(strstr(answer.bytes, "heavy"));
    text_clear(&answer);
    assert_int_equal(read_with("pdfinfo \"$file\"", &pdf, &answer), 0);
    assert_non_null(strstr(answer.bytes, "Title:           Tallow & rush <1>\n"));
    assert_non_null(strstr(answer.bytes, "(A4)"));
    assert_null(strstr(answer.bytes, "CreationDate"));
    text_clear(&answer);
    assert_int_equal(read_with("pdffonts \"$file\" | grep -c Lato-Bold", &pdf, &answer), 0);
    text_clear(&answer);
    /* All of them embedded, cut down, and with their Unicode values: the
     * columns emb, sub, uni. */
    read_with("pdffonts \"$file\" | tail -n +3 | grep -vc ' yes yes yes '", &pdf, &answer);
    assert_string_equal(answer.bytes, "0\n");
    text_clear(&answer);
    assert_int_equal(read_with("grep -ac '/Lang (en-GB)' \"$file\"", &pdf, &answer), 0);
    text_free(&answer);
    text_free(&pdf);
}

static void pdf_of_the_same_is_the_same(void **state)
{
    struct sample *sample = *state;
    struct error error;
    struct text first;
    struct text second;
    text_init(&first);
    text_init(&second);
    const struct output_figure both[] = {sample->figure, sample->figure};
    assert_int_equal(output_pdf(both, 2, PAPER_SLIDE, &document, &first, &error), ERROR_NONE);
    assert_int_equal(output_pdf(both, 2, PAPER_SLIDE, &document, &second, &error), ERROR_NONE);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.bytes, second.bytes, first.length);
    struct text answer;
    text_init(&answer);
    assert_int_equal(read_with("pdfinfo \"$file\" | sed -n 's/^Pages: *//p'", &first, &answer), 0);
    assert_string_equal(answer.bytes, "2\n");
    text_free(&answer);
    text_free(&first);
    text_free(&second);
}

/* Poppler's pdftohtml writes the outline as items with the number of their page. */
static void pdf_has_bookmarks(void **state)
{
    struct sample *sample = *state;
    const struct output_figure both[] = {sample->figure, sample->figure};
    const struct output_bookmark bookmarks[] = {{"Fen & <wold>", 0, 20}, {"Zweitens: Übung", 1, 0}};
    struct output_words words = document;
    struct error error;
    struct text pdf;
    struct text answer;
    text_init(&pdf);
    text_init(&answer);
    static const char outline[] = "pdftohtml -xml -stdout -i \"$file\" | grep '<item '";
    assert_int_equal(output_pdf(both, 2, PAPER_A4, &words, &pdf, &error), ERROR_NONE);
    assert_int_equal(read_with(outline, &pdf, &answer), 0);
    assert_string_equal(answer.bytes, "<item page=\"1\">Tallow &amp; rush &lt;1&gt;</item>\n"
                                      "<item page=\"2\">Tallow &amp; rush &lt;1&gt;</item>\n");
    words.bookmarks = bookmarks;
    words.bookmark_count = 2;
    text_clear(&pdf);
    text_clear(&answer);
    assert_int_equal(output_pdf(both, 2, PAPER_A4, &words, &pdf, &error), ERROR_NONE);
    assert_int_equal(read_with(outline, &pdf, &answer), 0);
    assert_string_equal(answer.bytes, "<item page=\"1\">Fen &amp; &lt;wold&gt;</item>\n"
                                      "<item page=\"2\">Zweitens: Übung</item>\n");
    text_free(&answer);
    text_free(&pdf);
}

static void html_needs_nothing_else(void **state)
{
    struct sample *sample = *state;
    struct error error;
    struct text html;
    struct text answer;
    struct table table;
    static const struct column columns[] = {{"what", "what", COLUMN_TEXT, 0, ""},
                                            {"value", "value", COLUMN_FIGURE, 0, ""}};
    const struct sheet_target target = {.form = SHEET_HTML, .theme = THEME_AUTO};
    table_init(&table, "rows", columns, 2);
    table_set_words(&table, "As a table", NULL);
    table_text(&table, "<body>");
    table_text(&table, "1 & 2");
    text_init(&html);
    text_init(&answer);
    assert_int_equal(sheet_write(sample->picture, &table, &target, &html, &error), ERROR_NONE);
    assert_null(strstr(html.bytes, "src=\""));
    assert_null(strstr(html.bytes, "href"));
    assert_non_null(strstr(html.bytes, "<html lang=\"en\">"));
    assert_non_null(strstr(html.bytes, "font-weight:bold;font-style:normal;src:url(data:font/ttf"));
    assert_non_null(strstr(html.bytes, "&lt;body&gt;</th><td>1 &amp; 2</td>"));
    /* xmllint's HTML reader knows HTML 4 only: it does not know <svg>. */
    assert_int_equal(read_with("xmllint --html --xpath 'count(//table//tr)' \"$file\" 2>/dev/null",
                               &html, &answer),
                     0);
    assert_string_equal(answer.bytes, "2\n");
    table_free(&table);
    text_free(&answer);
    text_free(&html);
}

static void papers_have_their_sizes(void **state)
{
    (void)state;
    double width;
    double height;
    paper_size(PAPER_A4_LANDSCAPE, &width, &height);
    /* ISO 216: 297 by 210 mm. */
    assert_int_equal((int)(width / 72 * 25.4 * 10 + 0.5), 2970);
    assert_int_equal((int)(height / 72 * 25.4 * 10 + 0.5), 2100);
}

/* The libraries would end the process, or wait for ever. */
static void little_memory_is_an_error_before_drawing(void **state)
{
    (void)state;
    struct rlimit before;
    struct error error;
    struct typesetter *typesetter = NULL;
    unsigned long pages = 0;
    FILE *sizes = fopen("/proc/self/statm", "r");
    assert_non_null(sizes);
    assert_int_equal(fscanf(sizes, "%lu", &pages), 1);
    fclose(sizes);
    assert_int_equal(getrlimit(RLIMIT_AS, &before), 0);
    const struct rlimit little = {(rlim_t)pages * (rlim_t)sysconf(_SC_PAGESIZE) + (64 << 20),
                                  before.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_AS, &little), 0);
    int code = typesetter_new(&typesetter, &error);
    assert_int_equal(setrlimit(RLIMIT_AS, &before), 0);
    assert_int_equal(code, ERROR_MACHINE);
    assert_null(typesetter);
    assert_non_null(strstr(error.text, "too little memory to draw"));
    assert_int_equal(typesetter_new(&typesetter, &error), ERROR_NONE);
    typesetter_free(typesetter);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(svg_is_xml, set_up, tear_down),
        cmocka_unit_test_setup_teardown(svg_carries_its_letters, set_up, tear_down),
        cmocka_unit_test_setup_teardown(pdf_has_bookmarks, set_up, tear_down),
        cmocka_unit_test_setup_teardown(png_has_the_size_asked_for, set_up, tear_down),
        cmocka_unit_test_setup_teardown(pdf_keeps_text_title_language_and_fonts, set_up, tear_down),
        cmocka_unit_test_setup_teardown(pdf_of_the_same_is_the_same, set_up, tear_down),
        cmocka_unit_test_setup_teardown(html_needs_nothing_else, set_up, tear_down),
        cmocka_unit_test(papers_have_their_sizes),
        cmocka_unit_test(little_memory_is_an_error_before_drawing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
