/* What stands beside the panes and below them: the candle enlarged and
 * measured, the longer interval, the checklist, and the words. */
#include "candles/anatomy.h"
#include "draw/margin.h"
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

static const struct type head_type = {FACE_BOLD, TEXT_SIZE};
static const struct type text_type = {FACE_REGULAR, TEXT_SIZE};
static const struct type note_type = {FACE_REGULAR, NOTE_SIZE};

static double head(struct picture *picture, const char *text, double left, double right, double y)
{
    picture_word(picture, text, head_type, INK_MAIN, PRIORITY_HEADING,
                 (struct spot){left, y + TEXT_SIZE, ALIGN_START}, right - left);
    picture_line(picture, LAYER_GROUND, (struct pen){INK_FAINT, 1, DASH_NONE}, left,
                 y + TEXT_SIZE + 5.5, right, y + TEXT_SIZE + 5.5);
    return y + TEXT_SIZE + 12;
}

static double side_head(struct picture *picture, const char *text, double y)
{
    return head(picture, text, SIDE_LEFT, SIDE_RIGHT, y);
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
    snprintf(text, 96, "%s %.3f", name, length / range);
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
    enum { HEIGHT = 136, CANDLE = 30 };
    size_t bars = facts->candle + 1 - facts->candle_first;
    struct anatomy last = anatomy_of(facts->bars, facts->candle);
    struct pane pane = {.box = {SIDE_LEFT, 0, SIDE_RIGHT, 0}, .first = 0, .last = 1};
    struct margin_label labels[3];
    char texts[3][96];
    size_t count = 0;
    y = side_head(picture, "The candle, its parts as shares of its range", y);
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

/* --- longer interval ---------------------------------------------------------------- */

/* The next longer interval that a person looks at. */
static struct interval longer_of(struct interval interval)
{
    switch (interval.unit) {
    case INTERVAL_MINUTE: return (struct interval){INTERVAL_HOUR, interval.count < 15 ? 1 : 4};
    case INTERVAL_HOUR: return (struct interval){INTERVAL_DAY, 1};
    case INTERVAL_DAY: return (struct interval){INTERVAL_WEEK, 1};
    case INTERVAL_WEEK: return (struct interval){INTERVAL_MONTH, 1};
    case INTERVAL_MONTH:
    case INTERVAL_NONE: break;
    }
    return (struct interval){INTERVAL_NONE, 0};
}

double case_draw_context(const struct case_facts *facts, struct picture *picture, double y)
{
    enum { BARS = 60, FEWEST = 12, HEIGHT = 96, LEFT = 44 };
    struct interval interval = longer_of(facts->bars->interval);
    struct sheet *longer = NULL;
    if (interval.unit != INTERVAL_NONE &&
        interval_seconds(interval) > interval_seconds(facts->bars->interval))
        longer = sheet_longer(facts->request->view->plain, interval);
    size_t end = longer != NULL ? sheet_longer_index(longer, facts->signal) : SIZE_MAX;
    if (end == SIZE_MAX || end + 1 < FEWEST)
        return y;
    const struct bars *bars = sheet_bars(longer);
    size_t first = end + 1 > BARS ? end + 1 - BARS : 0;
    char title[96];
    char length[INTERVAL_TEXT_SIZE];
    interval_format(length, interval);
    snprintf(title, sizeof title, "Bars of %s, as closed at the signal", length);
    y = side_head(picture, title, y);
    struct pane pane = {.box = {SIDE_LEFT + LEFT, y + 4, SIDE_RIGHT, y + 4 + HEIGHT},
                        .first = (double)first,
                        .last = (double)end + 1};
    double low = INFINITY;
    double high = -INFINITY;
    widen_range(bars->low, first, end + 1, &low, &high);
    widen_range(bars->high, first, end + 1, &low, &high);
    pane_fit(&pane, low, high, 0.05);
    struct candle_columns columns = {bars->open, bars->high, bars->low, bars->close};
    pane_value_axis(picture, &pane,
                    &(struct value_axis){.most = 3, .grid = facts->request->terms->tick.value});
    pane_candles(picture, &pane, &columns, first, end + 1);
    pane_time_axis(picture, &pane, bars->time, first, end + 1, interval_is_dated(interval));
    return pane.box.bottom + 44;
}

/* --- checklist ---------------------------------------------------------------------- */

/* Met: a tick; not met: a cross; not to be told: a stroke. */
static void draw_mark(struct picture *picture, enum truth holds, enum ink ink, double x, double y)
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
    picture_path(picture, LAYER_MARKS, INK_COUNT, (struct pen){ink, 1.6, DASH_NONE}, &path);
    text_free(&path);
}

static bool on_grid(const struct case_facts *facts, double value)
{
    double ticks = value / facts->request->terms->tick.value;
    return fabs(ticks - round(ticks)) < 1e-6;
}

/* A number of the checklist: four significant digits; prices in full, and those
 * between two prices of the grid with two more places. */
static void number_of(const struct case_facts *facts, const struct reading *reading, double value,
                      char text[TICK_TEXT_SIZE])
{
    if (isinf(value))
        snprintf(text, TICK_TEXT_SIZE, "\u221e");
    else if (reading->kind == READING_PRICE)
        number_text(value, facts->places + (on_grid(facts, value) ? 0 : 2), text);
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
    static const double rooms[] = {[TRUTH_NO] = 50, [TRUTH_YES] = 30, [TRUTH_UNDEFINED] = 88};
    bool alone = check == facts->failed;
    double word_room = rooms[check->holds];
    const struct reading *reading = &check->reading;
    bool numbers = !isnan(reading->value) || !isnan(reading->limit);
    draw_mark(picture, check->holds, alone ? INK_ACCENT : INK_MAIN, SIDE_LEFT, y + 11);
    picture_word(picture, words[check->holds], note_type,
                 check->holds == TRUTH_YES ? INK_SOFT : INK_MAIN, PRIORITY_TABLE,
                 (struct spot){SIDE_RIGHT, y + (numbers ? 25 : 11), ALIGN_END}, 0);
    snprintf(line, sizeof line, "%s%s", check->negated ? "not: " : "", reading_name(reading, name));
    picture_word(picture, line, (struct type){alone ? FACE_BOLD : FACE_REGULAR, TEXT_SIZE},
                 INK_MAIN, PRIORITY_TABLE, (struct spot){left, y + 11, ALIGN_START},
                 SIDE_RIGHT - left - (numbers ? 0 : word_room));
    y += 15;
    if (!numbers)
        return y + 4;
    if (!isnan(reading->value))
        number_of(facts, reading, reading->value, value);
    if (!isnan(reading->limit))
        number_of(facts, reading, reading->limit, limit);
    snprintf(line, sizeof line, "%s%s%s%s%s%s%s", value, value[0] != '\0' ? "; " : "",
             limit[0] != '\0' ? comparison_words(reading->comparison) : "",
             limit[0] != '\0' ? " " : "", limit, reading->unit[0] != '\0' ? " " : "",
             reading->unit);
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
            y = side_head(picture, title, y + (i > 0 ? 6 : 0));
        }
        y = draw_check(facts, picture, check, y);
    }
    return y + 6;
}

/* --- words -------------------------------------------------------------------------- */

static double draw_column(struct picture *picture, const char *title, struct text *text,
                          struct box box)
{
    double y = head(picture, title, box.left, box.right, box.top);
    box.top = y;
    y = picture_paragraph(picture, text->bytes, text_type, INK_MAIN, PRIORITY_TABLE, box);
    text_clear(text);
    return y;
}

double case_draw_words(const struct case_facts *facts, struct picture *picture, double y)
{
    enum { LEFT = 28, COLUMN = 244, GUTTER = 22, COLUMNS = 3 };
    static const struct {
        const char *title;
        void (*write)(const struct case_facts *facts, struct text *text);
    } parts[COLUMNS] = {{"The plan", case_plan},
                        {"What followed", case_followed},
                        {"Is this one typical?", case_rank}};
    struct text text;
    double below = y;
    size_t column = 0;
    text_init(&text);
    for (int i = 0; i < COLUMNS; i++) {
        parts[i].write(facts, &text);
        if (text.length == 0)
            continue;
        double left = LEFT + (double)(COLUMN + GUTTER) * (double)column++;
        below = fmax(below, draw_column(picture,
                                        i == 0 && facts->request->nearly ? "Why it is none"
                                                                         : parts[i].title,
                                        &text, (struct box){left, y, left + COLUMN, INFINITY}));
    }
    text_free(&text);
    return below + 10;
}
