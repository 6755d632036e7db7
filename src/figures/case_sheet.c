#include "figures/case_sheet.h"

#include "base/words.h"
#include "document/cautions.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

enum {
    PRICE_TOP = 84,
    PRICE_HEIGHT = 330,
    FIGURE_MARGIN = 158,
    FIGURE_EDGE = 12,
    FIGURE_AXIS = 38 /* two lines of names, and the tail of a letter */
};

static void draw_heading(const struct case_facts *facts, struct picture *picture)
{
    struct text title;
    struct text subtitle;
    text_init(&title);
    text_init(&subtitle);
    case_title(facts, &title);
    case_subtitle(facts, &subtitle);
    picture_word(picture, title.bytes, (struct type){FACE_BOLD, 19}, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){28, 38, ALIGN_START}, PAGE_WIDTH - 56);
    picture_word(picture, subtitle.bytes, (struct type){FACE_REGULAR, 12.5}, INK_SOFT,
                 PRIORITY_HEADING, (struct spot){28, 58, ALIGN_START}, PAGE_WIDTH - 56);
    text_free(&title);
    text_free(&subtitle);
}

void case_describe(const struct case_facts *facts, struct picture *picture)
{
    struct text title;
    struct text description;
    text_init(&title);
    text_init(&description);
    case_title(facts, &title);
    case_subtitle(facts, &description);
    text_append(&description, ". ");
    case_plan(facts, &description);
    text_append_char(&description, ' ');
    case_followed(facts, &description);
    text_append_char(&description, ' ');
    case_rank(facts, &description);
    picture_describe(picture, title.bytes, description.bytes);
    text_free(&title);
    text_free(&description);
}

double case_draw_foot(const struct case_facts *facts, struct picture *picture, bool structure,
                      struct box box)
{
    struct type type = {FACE_REGULAR, NOTE_SIZE};
    struct text caption;
    text_init(&caption);
    case_caption(facts, structure, &caption);
    box.bottom = INFINITY;
    double y = picture_paragraph(picture, caption.bytes, type, INK_SOFT, PRIORITY_HEADING, box);
    box.top = y + 4;
    y = picture_paragraph(picture, caution_plan, (struct type){FACE_ITALIC, NOTE_SIZE}, INK_MAIN,
                          PRIORITY_HEADING, box);
    text_free(&caption);
    return y;
}

static void draw_sheet(const struct case_facts *facts, struct picture *picture)
{
    struct box box = {PLOT_LEFT, PRICE_TOP, PLOT_RIGHT, PRICE_TOP + PRICE_HEIGHT};
    draw_heading(facts, picture);
    struct pane pane = case_draw_price(facts, picture, box);
    case_draw_orders(facts, picture, &pane, true);
    case_draw_structure(facts, picture, &pane);
    case_draw_outcome(facts, picture, &pane);
    double left = case_draw_strips(facts, picture, &pane, box.bottom);
    struct box foot = {28, left + 8, FOOT_RIGHT + 8, INFINITY};
    foot.top = case_draw_words(facts, picture, foot, 3);
    foot.right = FOOT_RIGHT;
    left = case_draw_foot(facts, picture, true, foot);
    struct box side = {SIDE_LEFT, PRICE_TOP - 6, SIDE_RIGHT, INFINITY};
    side.top = case_draw_anatomy(facts, picture, side);
    side.top = case_draw_context(facts, picture, side);
    double right = case_draw_checklist(facts, picture, side, 0);
    picture_set_height(picture, ceil(fmax(left, right)) + 22);
    case_describe(facts, picture);
}

int case_sheet_make(struct picture **picture, struct typesetter *typesetter,
                    const struct case_request *request, const char *prefix, struct error *error)
{
    struct case_facts facts;
    *picture = NULL;
    int code = case_facts_make(&facts, request, error);
    if (code == ERROR_NONE) {
        *picture = picture_new(typesetter, PAGE_WIDTH, 800, prefix);
        if (*picture == NULL)
            code = error_memory(error);
        else
            draw_sheet(&facts, *picture);
    }
    case_facts_free(&facts);
    return code;
}

/* --- several ------------------------------------------------------------------------ */

enum { CELL_TOP = 84, CELL_WIDTH = 532, CELL_HEIGHT = 270, CELL_AXIS = 40, CELL_MARGIN = 150 };

static void draw_cell(const struct case_facts *facts, struct picture *picture, double left,
                      double top)
{
    char date[TICK_TEXT_SIZE];
    char result[TICK_TEXT_SIZE] = "";
    char line[3 * TICK_TEXT_SIZE];
    case_time(facts, facts->candle, date);
    if (facts->filled && trade_closed(facts->trade.reason))
        case_r_text(facts->trade.r, result);
    else if (facts->request->nearly)
        snprintf(result, sizeof result, "nearly a case");
    else if (facts->request->outcome)
        snprintf(result, sizeof result, "%s", trade_reason_name(facts->trade.reason));
    snprintf(line, sizeof line, "%s%s%s", date, result[0] != '\0' ? ": " : "", result);
    struct box box = {left + 42, top + 24, left + CELL_WIDTH - CELL_MARGIN,
                      top + CELL_HEIGHT - CELL_AXIS};
    picture_word(picture, line, (struct type){FACE_BOLD, TEXT_SIZE}, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){left, top + TEXT_SIZE, ALIGN_START}, CELL_WIDTH);
    struct pane pane = case_draw_price(facts, picture, box);
    case_draw_orders(facts, picture, &pane, false);
    case_draw_outcome(facts, picture, &pane);
    pane_time_axis(picture, &pane, facts->times, facts->first, facts->bar_count, facts->dated);
}

static void draw_several_heading(const struct case_facts *facts, struct picture *picture,
                                 size_t count)
{
    struct text text;
    text_init(&text);
    text_append_format(&text, "%s: %zu %s", facts->request->instrument, count,
                       count_word(count, "case", "cases"));
    picture_word(picture, text.bytes, (struct type){FACE_BOLD, 19}, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){28, 38, ALIGN_START}, PAGE_WIDTH - 56);
    struct text subtitle;
    text_init(&subtitle);
    case_subtitle(facts, &subtitle);
    picture_word(picture, subtitle.bytes, (struct type){FACE_REGULAR, 12.5}, INK_SOFT,
                 PRIORITY_HEADING, (struct spot){28, 58, ALIGN_START}, PAGE_WIDTH - 56);
    picture_describe(picture, text.bytes, subtitle.bytes);
    text_free(&text);
    text_free(&subtitle);
}

/* The case whose caption stands for all: one with orders, where there is one. */
static size_t speaks_for_all(const struct case_request *requests, size_t count)
{
    size_t last = count - 1;
    for (size_t i = 0; i < count; i++)
        if (!requests[i].nearly)
            last = i;
    return last;
}

int case_sheet_make_several(struct picture **picture, struct typesetter *typesetter,
                            const struct case_request *requests, size_t count, const char *prefix,
                            struct error *error)
{
    int code = ERROR_NONE;
    double y = CELL_TOP + CELL_HEIGHT * (double)((count + 1) / 2);
    size_t spoken = speaks_for_all(requests, count);
    *picture = picture_new(typesetter, PAGE_WIDTH, y + 80, prefix);
    if (*picture == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        struct case_facts facts;
        code = case_facts_make(&facts, &requests[i], error);
        if (code == ERROR_NONE && i == 0)
            draw_several_heading(&facts, *picture, count);
        if (code == ERROR_NONE)
            draw_cell(&facts, *picture, 28 + (double)(i % 2) * CELL_WIDTH,
                      CELL_TOP + CELL_HEIGHT * (double)(i / 2));
        if (code == ERROR_NONE && i == spoken)
            y = case_draw_foot(&facts, *picture, false,
                               (struct box){28, y + 4, FOOT_RIGHT, INFINITY});
        case_facts_free(&facts);
    }
    picture_set_height(*picture, ceil(y) + 22);
    return code;
}

/* --- the figure alone --------------------------------------------------------------- */

/* The same places as in a cell of several, with no heading above; without prices in
 * the margin the candles have its room. */
static void draw_figure(const struct case_facts *facts, struct picture *picture, double width,
                        double height)
{
    bool prices = !isnan(facts->stop) || facts->target_count > 0 ||
                  !isnan(facts->path.order_price) || facts->uses.levels;
    struct box box = {42, 12, width - (prices ? FIGURE_MARGIN : FIGURE_EDGE), height - FIGURE_AXIS};
    struct pane pane = case_draw_price(facts, picture, box);
    case_draw_orders(facts, picture, &pane, true);
    case_draw_structure(facts, picture, &pane);
    case_draw_outcome(facts, picture, &pane);
    pane_time_axis(picture, &pane, facts->times, facts->first, facts->bar_count, facts->dated);
    case_describe(facts, picture);
}

int case_figure_make(struct picture **picture, struct typesetter *typesetter,
                     const struct case_request *request, double width, double height,
                     const char *prefix, struct error *error)
{
    struct case_facts facts;
    *picture = NULL;
    int code = case_facts_make(&facts, request, error);
    if (code == ERROR_NONE && (*picture = picture_new(typesetter, width, height, prefix)) == NULL)
        code = error_memory(error);
    if (code == ERROR_NONE)
        draw_figure(&facts, *picture, width, height);
    case_facts_free(&facts);
    return code;
}

int case_plan_words(const struct case_request *request, struct text *text, struct error *error)
{
    struct case_facts facts;
    int code = case_facts_make(&facts, request, error);
    if (code == ERROR_NONE)
        case_plan(&facts, text);
    case_facts_free(&facts);
    return code;
}
