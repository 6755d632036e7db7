#include "figures/case_sheet.h"

#include "figures/case_parts.h"

#include <math.h>

enum { PRICE_TOP = 84, PRICE_HEIGHT = 330 };

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

/* What a screen reader is told: the subtitle, the plan, what followed. */
static void describe(const struct case_facts *facts, struct picture *picture)
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

static double draw_foot(const struct case_facts *facts, struct picture *picture, double y)
{
    struct type type = {FACE_REGULAR, NOTE_SIZE};
    struct text caption;
    text_init(&caption);
    case_caption(facts, &caption);
    struct box box = {28, y, MARGIN_RIGHT - 10, INFINITY};
    y = picture_paragraph(picture, caption.bytes, type, INK_SOFT, PRIORITY_HEADING, box);
    box.top = y + 4;
    y = picture_paragraph(picture, case_caution, (struct type){FACE_ITALIC, NOTE_SIZE}, INK_MAIN,
                          PRIORITY_HEADING, box);
    text_free(&caption);
    return y;
}

static void draw_sheet(const struct case_facts *facts, struct picture *picture)
{
    struct box box = {PLOT_LEFT, PRICE_TOP, PLOT_RIGHT, PRICE_TOP + PRICE_HEIGHT};
    draw_heading(facts, picture);
    struct pane pane = case_draw_price(facts, picture, box);
    case_draw_orders(facts, picture, &pane);
    case_draw_structure(facts, picture, &pane);
    case_draw_outcome(facts, picture, &pane);
    double left = case_draw_strips(facts, picture, &pane, box.bottom);
    left = draw_foot(facts, picture, left + 8);
    double right = case_draw_anatomy(facts, picture, PRICE_TOP - 6);
    right = case_draw_checklist(facts, picture, right);
    right = case_draw_words(facts, picture, right);
    picture_set_height(picture, ceil(fmax(left, right)) + 22);
    describe(facts, picture);
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
