#include "figures/case_pages.h"

#include "document/cautions.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

/* In picture units; letters of 12 are 9 points on paper, 16 on a slide. */
enum {
    BROAD = 680,
    PHONE = 390,
    EDGE = 28,
    PHONE_EDGE = 14,
    AXIS = 40,   /* room for the dates below a pane */
    MARGIN = 168 /* from a pane to the page's edge, for prices beside it */
};

struct pages {
    struct picture **list;
    size_t count;
    struct typesetter *typesetter;
    const struct case_facts *facts;
    double height;
};

/* The next page, with its heading, below the first one's what the setup is; returns the y below, 0 without memory. */
static double begin_page(struct pages *pages, double width, double edge, struct picture **page)
{
    char prefix[32];
    struct text line;
    snprintf(prefix, sizeof prefix, "rl-case%zu", pages->count + 1);
    *page = picture_new(pages->typesetter, width, 20000, prefix);
    if (*page == NULL)
        return 0;
    pages->list[pages->count++] = *page;
    case_describe(pages->facts, *page);
    text_init(&line);
    case_title(pages->facts, &line);
    struct box box = {edge, 16, width - edge, INFINITY};
    box.top = picture_paragraph(*page, line.bytes, (struct type){FACE_BOLD, 17}, INK_MAIN,
                                PRIORITY_HEADING, box);
    text_clear(&line);
    if (pages->count == 1) {
        case_subtitle(pages->facts, &line);
        box.top = picture_paragraph(*page, line.bytes, (struct type){FACE_REGULAR, TEXT_SIZE},
                                    INK_SOFT, PRIORITY_HEADING, box);
    }
    text_free(&line);
    return box.top + 14;
}

/* The prices with their orders and what followed; returns the pane. */
static struct pane draw_prices(const struct case_facts *facts, struct picture *page, struct box box)
{
    struct pane pane = case_draw_price(facts, page, box);
    case_draw_orders(facts, page, &pane, true);
    case_draw_structure(facts, page, &pane);
    case_draw_outcome(facts, page, &pane);
    return pane;
}

/* Every page says what a single one taken out must say. */
static void end_page(struct pages *pages, struct picture *page, double y)
{
    y = picture_paragraph(page, caution_short, (struct type){FACE_ITALIC, NOTE_SIZE}, INK_MAIN,
                          PRIORITY_HEADING, (struct box){EDGE, y, BROAD - EDGE, INFINITY});
    picture_set_height(page, ceil(fmax(y + 8, pages->height)));
}

/* --- upright ------------------------------------------------------------------------ */

static double draw_upright(const struct case_facts *facts, struct picture *page, double top,
                           double price)
{
    struct box box = {EDGE + 40, top, BROAD - MARGIN, top + price};
    struct pane pane = draw_prices(facts, page, box);
    box.top = case_draw_strips(facts, page, &pane, box.bottom) + 8;
    box.left = EDGE;
    box.right = BROAD - EDGE;
    box.top = case_draw_words(facts, page, box, 3);
    return case_draw_foot(facts, page, true, box);
}

/* Drawn once to see what height the rest takes; the prices get what is left. */
static bool make_upright(struct pages *pages)
{
    enum { LEAST = 200, MOST = 460 };
    struct picture *page;
    double top = begin_page(pages, BROAD, EDGE, &page);
    if (top <= 0)
        return false;
    double left = pages->height - 10 - draw_upright(pages->facts, page, top, LEAST);
    picture_free(page);
    pages->count--;
    top = begin_page(pages, BROAD, EDGE, &page);
    if (top <= 0)
        return false;
    double y = draw_upright(pages->facts, page, top, round(fmax(LEAST, fmin(MOST, LEAST + left))));
    picture_set_height(page, ceil(fmax(y + 8, pages->height)));
    top = begin_page(pages, BROAD, EDGE, &page);
    if (top <= 0)
        return false;
    double middle = BROAD / 2.0;
    struct box side = {EDGE, top, middle - 14, INFINITY};
    side.top = case_draw_anatomy(pages->facts, page, side);
    side.top = case_draw_context(pages->facts, page, side);
    y = case_draw_checklist(pages->facts, page,
                            (struct box){middle + 14, top, BROAD - EDGE, INFINITY}, 0);
    end_page(pages, page, fmax(y, side.top) + 8);
    return true;
}

/* --- slides ------------------------------------------------------------------------- */

enum { CAUTION = 30 }; /* the caution at a slide's foot */

static void slide_figure(struct pages *pages, struct picture *page, double top)
{
    struct box box = {EDGE + 40, top, BROAD - MARGIN, pages->height - AXIS - CAUTION};
    struct pane pane = draw_prices(pages->facts, page, box);
    pane_time_axis(page, &pane, pages->facts->times, pages->facts->first, pages->facts->bar_count,
                   pages->facts->dated);
}

static void slide_strips(struct pages *pages, struct picture *page, double top)
{
    const struct case_facts *facts = pages->facts;
    struct pane pane = {.box = {EDGE + 40, top, BROAD - EDGE - 60, top},
                        .first = (double)facts->first,
                        .last = (double)facts->last + 1};
    case_draw_strips(facts, page, &pane, top - 12);
}

static void slide_candle(struct pages *pages, struct picture *page, double top)
{
    double middle = BROAD / 2.0;
    case_draw_anatomy(pages->facts, page, (struct box){EDGE, top, middle - 14, INFINITY});
    case_draw_context(pages->facts, page, (struct box){middle + 14, top, BROAD - EDGE, INFINITY});
}

static void slide_checks(struct pages *pages, struct picture *page, double top)
{
    double middle = BROAD / 2.0;
    case_draw_checklist(pages->facts, page,
                        (struct box){EDGE, top, middle - 14, pages->height - CAUTION},
                        middle + 14 - EDGE);
}

static void slide_words(struct pages *pages, struct picture *page, double top)
{
    case_draw_words(pages->facts, page, (struct box){EDGE, top, BROAD - EDGE, INFINITY}, 3);
}

static bool make_slides(struct pages *pages)
{
    static void (*const slides[])(struct pages * pages, struct picture * page,
                                  double top) = {slide_figure, slide_strips, slide_candle,
                                                 slide_checks, slide_words};
    for (size_t i = 0; i < sizeof slides / sizeof *slides; i++) {
        struct picture *page;
        if ((slides[i] == slide_strips && !case_has_strips(pages->facts)) ||
            (slides[i] == slide_checks && pages->facts->checklist.count == 0))
            continue;
        double top = begin_page(pages, BROAD, EDGE, &page);
        if (top <= 0)
            return false;
        slides[i](pages, page, top);
        end_page(pages, page, pages->height - CAUTION + 6);
    }
    return true;
}

/* --- phone -------------------------------------------------------------------------- */

static bool make_phone(struct pages *pages)
{
    enum { PRICE = 300 };
    const struct case_facts *facts = pages->facts;
    struct picture *page;
    double top = begin_page(pages, PHONE, PHONE_EDGE, &page);
    if (top <= 0)
        return false;
    struct box box = {PHONE_EDGE + 36, top, PHONE - MARGIN, top + PRICE};
    struct pane pane = draw_prices(facts, page, box);
    double y = case_draw_strips(facts, page, &pane, box.bottom) + 8;
    struct box column = {PHONE_EDGE, y, PHONE - PHONE_EDGE, INFINITY};
    column.top = case_draw_words(facts, page, column, 1) + 6;
    column.top = case_draw_anatomy(facts, page, column);
    column.top = case_draw_context(facts, page, column);
    column.top = case_draw_checklist(facts, page, column, 0) + 6;
    y = case_draw_foot(facts, page, true, column);
    picture_set_height(page, ceil(y) + 16);
    return true;
}

static bool make(struct pages *pages, enum case_form form)
{
    switch (form) {
    case CASE_UPRIGHT: return make_upright(pages);
    case CASE_SLIDES: return make_slides(pages);
    case CASE_PHONE: return make_phone(pages);
    case CASE_WIDE: break;
    }
    return false;
}

int case_pages_make(struct picture *list[CASE_PAGE_LIMIT], size_t *count,
                    struct typesetter *typesetter, const struct case_request *request,
                    enum case_form form, double height, struct error *error)
{
    enum { BEFORE_ON_PHONE = 20 };
    struct case_request narrow = *request;
    struct case_facts facts;
    *count = 0;
    if (form == CASE_WIDE) {
        int made = case_sheet_make(&list[0], typesetter, request, "rl-case", error);
        *count = made == ERROR_NONE;
        return made;
    }
    /* A bar needs some width to be told hollow from filled. */
    if (form == CASE_PHONE && narrow.before == 0)
        narrow.before = BEFORE_ON_PHONE;
    int code = case_facts_make(&facts, &narrow, error);
    if (code == ERROR_NONE) {
        struct pages pages = {.list = list,
                              .typesetter = typesetter,
                              .facts = &facts,
                              .height = round(BROAD * height)};
        if (!make(&pages, form))
            code = error_memory(error);
        *count = pages.count;
    }
    case_facts_free(&facts);
    return code;
}
