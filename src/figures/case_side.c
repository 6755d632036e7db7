/* The column beside the panes: the candle enlarged and measured, the
 * checklist, the plan and what followed. */
#include "candles/anatomy.h"
#include "draw/margin.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

static const struct type head_type = {FACE_BOLD, TEXT_SIZE};
static const struct type text_type = {FACE_REGULAR, TEXT_SIZE};
static const struct type note_type = {FACE_REGULAR, NOTE_SIZE};

static double head(struct picture *picture, const char *text, double y)
{
    picture_word(picture, text, head_type, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){SIDE_LEFT, y + TEXT_SIZE, ALIGN_START}, SIDE_RIGHT - SIDE_LEFT);
    picture_line(picture, LAYER_GROUND, (struct pen){INK_FAINT, 1, DASH_NONE}, SIDE_LEFT,
                 y + TEXT_SIZE + 5.5, SIDE_RIGHT, y + TEXT_SIZE + 5.5);
    return y + TEXT_SIZE + 12;
}

/* --- anatomy ------------------------------------------------------------------------ */

/* One part of the last bar: a measure line beside the candle and its name. */
static void add_part(struct picture *picture, const struct pane *pane, double x, double from,
                     double to, const char *name, double length, double range, char *text,
                     struct margin_label *labels, size_t *count)
{
    double top = pane_y(pane, to);
    double bottom = pane_y(pane, from);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_SOFT, 1, DASH_NONE}, x, top, x, bottom);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_SOFT, 1, DASH_NONE}, x - 3, top, x + 3,
                 top);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_SOFT, 1, DASH_NONE}, x - 3, bottom, x + 3,
                 bottom);
    snprintf(text, 96, "%s %.3f of the range", name, length / range);
    labels[(*count)++] = (struct margin_label){.y = (top + bottom) / 2,
                                               .text = text,
                                               .face = FACE_REGULAR,
                                               .ink = INK_MAIN};
}

static void draw_large(struct picture *picture, const struct pane *pane, struct anatomy bar,
                       double x, double half)
{
    bool up = bar.close > bar.open;
    double top = round(pane_y(pane, fmax(bar.open, bar.close)));
    double bottom = round(pane_y(pane, fmin(bar.open, bar.close)));
    struct pen pen = {INK_ACCENT, 1.5, DASH_NONE};
    picture_line(picture, LAYER_MARKS, pen, x, pane_y(pane, bar.high), x, top);
    picture_line(picture, LAYER_MARKS, pen, x, bottom, x, pane_y(pane, bar.low));
    picture_rectangle(picture, LAYER_MARKS, up ? INK_PAPER : INK_ACCENT, pen,
                      (struct box){x - half, top, x + half, fmax(bottom, top + 1)});
}

double case_draw_anatomy(const struct case_facts *facts, struct picture *picture, double y)
{
    enum { HEIGHT = 118, CANDLE = 30 };
    size_t bars = facts->candle + 1 - facts->candle_first;
    struct anatomy last = anatomy_of(facts->bars, facts->candle);
    struct pane pane = {.box = {SIDE_LEFT, 0, SIDE_RIGHT, 0}, .first = 0, .last = 1};
    struct margin_label labels[3];
    char texts[3][96];
    size_t count = 0;
    y = head(picture, "The candle, measured", y);
    pane.box.top = y + 4;
    pane.box.bottom = y + HEIGHT;
    pane_fit(&pane, facts->candle_low, facts->candle_high, 0.02);
    for (size_t i = 0; i < bars; i++)
        draw_large(picture, &pane, anatomy_of(facts->bars, facts->candle_first + i),
                   SIDE_LEFT + 16 + CANDLE * (double)i, 9);
    double x = SIDE_LEFT + 16 + CANDLE * (double)(bars - 1) + 22;
    double top = fmax(last.open, last.close);
    double bottom = fmin(last.open, last.close);
    if (last.range > 0) {
        add_part(picture, &pane, x, top, last.high, "upper shadow", last.upper, last.range,
                 texts[0], labels, &count);
        add_part(picture, &pane, x, bottom, top, "body", last.body, last.range, texts[1], labels,
                 &count);
        add_part(picture, &pane, x, last.low, bottom, "lower shadow", last.lower, last.range,
                 texts[2], labels, &count);
    }
    picture_margin(picture,
                   &(struct margin){.from = x + 4,
                                    .x = x + 26,
                                    .top = pane.box.top,
                                    .bottom = pane.box.bottom,
                                    .size = TEXT_SIZE,
                                    .room = SIDE_RIGHT - x - 26},
                   labels, count);
    return pane.box.bottom + 16;
}

/* --- checklist ---------------------------------------------------------------------- */

/* Met: a tick; not met: a cross; not to be told: a stroke. */
static void draw_mark(struct picture *picture, enum truth holds, double x, double y)
{
    struct text path;
    text_init(&path);
    if (holds == TRUTH_YES) {
        path_move(&path, x, y - 4);
        path_line(&path, x + 3, y - 1);
        path_line(&path, x + 8, y - 8);
    } else if (holds == TRUTH_NO) {
        path_move(&path, x + 1, y - 8);
        path_line(&path, x + 8, y - 1);
        path_move(&path, x + 8, y - 8);
        path_line(&path, x + 1, y - 1);
    } else {
        path_move(&path, x + 1, y - 4);
        path_line(&path, x + 8, y - 4);
    }
    picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_MAIN, 1.6, DASH_NONE}, &path);
    text_free(&path);
}

/* A number of the checklist: four significant digits, prices in full. */
static void number_of(const struct case_facts *facts, const struct reading *reading, double value,
                      char text[TICK_TEXT_SIZE])
{
    if (reading->kind == READING_PRICE)
        case_price(facts, value, text);
    else
        snprintf(text, TICK_TEXT_SIZE, "%s%.4g", value < 0 ? "\u2212" : "", fabs(value));
}

static double draw_check(const struct case_facts *facts, struct picture *picture,
                         const struct check *check, double y)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    char name[READING_NAME_SIZE];
    char value[TICK_TEXT_SIZE] = "";
    char limit[TICK_TEXT_SIZE] = "";
    char line[300];
    double left = SIDE_LEFT + 16;
    double word_room = check->holds == TRUTH_UNDEFINED ? 84 : 48;
    const struct reading *reading = &check->reading;
    bool numbers = !isnan(reading->value) || !isnan(reading->limit);
    draw_mark(picture, check->holds, SIDE_LEFT, y + 11);
    picture_word(picture, words[check->holds], note_type,
                 check->holds == TRUTH_YES ? INK_SOFT : INK_MAIN, PRIORITY_TABLE,
                 (struct spot){SIDE_RIGHT, y + (numbers ? 25 : 11), ALIGN_END}, 0);
    snprintf(line, sizeof line, "%s%s", check->negated ? "not: " : "", reading_name(reading, name));
    picture_word(picture, line, text_type, INK_MAIN, PRIORITY_TABLE,
                 (struct spot){left, y + 11, ALIGN_START},
                 SIDE_RIGHT - left - (numbers ? 0 : word_room));
    y += 15;
    if (!numbers)
        return y + 4;
    if (!isnan(reading->value))
        number_of(facts, reading, reading->value, value);
    if (!isnan(reading->limit))
        number_of(facts, reading, reading->limit, limit);
    snprintf(line, sizeof line, "%s%s%s%s%s %s", value, value[0] != '\0' ? "; " : "",
             limit[0] != '\0' ? comparison_words(reading->comparison) : "",
             limit[0] != '\0' ? " " : "", limit, reading->unit);
    picture_word(picture, line, note_type, INK_SOFT, PRIORITY_TABLE,
                 (struct spot){left, y + 10, ALIGN_START}, SIDE_RIGHT - left - word_room);
    return y + 18;
}

double case_draw_checklist(const struct case_facts *facts, struct picture *picture, double y)
{
    static const char *const heads[] = {"The candle", "Its place", "What confirms it"};
    const struct checklist *checklist = &facts->checklist;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        if (i == 0 || check->section != checklist->list[i - 1].section) {
            char title[96];
            if (check->section == CHECK_CONFIRM)
                snprintf(title, sizeof title, "%s: %zu of %zu met, %zu needed",
                         heads[check->section], checklist->confirmed, facts->setup->confirm.count,
                         checklist->at_least);
            else
                snprintf(title, sizeof title, "%s", heads[check->section]);
            y = head(picture, title, y + (i > 0 ? 6 : 0));
        }
        y = draw_check(facts, picture, check, y);
    }
    return y + 6;
}

/* --- words -------------------------------------------------------------------------- */

static double draw_text(struct picture *picture, const char *title, struct text *text, double y)
{
    if (text->length > 0) {
        y = head(picture, title, y);
        y = picture_paragraph(picture, text->bytes, text_type, INK_MAIN, PRIORITY_TABLE,
                              (struct box){SIDE_LEFT, y, SIDE_RIGHT, INFINITY});
        y += 8;
    }
    text_clear(text);
    return y;
}

double case_draw_words(const struct case_facts *facts, struct picture *picture, double y)
{
    struct text text;
    text_init(&text);
    case_plan(facts, &text);
    y = draw_text(picture, "The plan", &text, y);
    case_followed(facts, &text);
    y = draw_text(picture, "What followed", &text, y);
    case_rank(facts, &text);
    y = draw_text(picture, "Is this one typical?", &text, y);
    text_free(&text);
    return y;
}
