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

double case_draw_anatomy(const struct case_facts *facts, struct picture *picture, struct box side)
{
    enum { HEIGHT = 136, CANDLE = 30 };
    size_t bars = facts->candle + 1 - facts->candle_first;
    struct anatomy last = anatomy_of(facts->bars, facts->candle);
    struct pane pane = {.box = {side.left, 0, side.right, 0}, .first = 0, .last = 1};
    struct margin_label labels[3];
    char texts[3][96];
    size_t count = 0;
    double y = head(picture, "The candle, its parts as shares of its range", side.left, side.right,
                    side.top);
    pane.box.top = y + 4;
    pane.box.bottom = y + HEIGHT;
    pane_fit(&pane, facts->candle_low, facts->candle_high, 0.02);
    for (size_t i = 0; i < bars; i++)
        draw_large(picture, &pane, anatomy_of(facts->bars, facts->candle_first + i),
                   side.left + 16 + CANDLE * (double)i, 9);
    double x = side.left + 16 + CANDLE * (double)(bars - 1) + 22;
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
                                    .room = side.right - x - 26},
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

/* The next rule of the setup that is read on bars of another interval; `*i` is
 * where to look from, and is left behind it. */
static const struct criterion *next_longer(const struct case_facts *facts, size_t *i)
{
    while (*i < facts->checklist.count) {
        const struct criterion *part = facts->checklist.list[(*i)++].part;
        if (part != NULL && part->interval.unit != INTERVAL_NONE &&
            !interval_equal(part->interval, facts->bars->interval))
            return part;
    }
    return NULL;
}

/* The averages that filters ask for on these bars, named above the pane. */
static void draw_filters(const struct case_facts *facts, struct picture *picture,
                         const struct pane *pane, struct sheet *longer, size_t first, size_t end)
{
    const struct bars *bars = sheet_bars(longer);
    const struct criterion *part;
    double drawn = NAN;
    for (size_t i = 0; (part = next_longer(facts, &i)) != NULL;) {
        bool average = part->kind == CRITERION_CONDITION && part->condition->measure != NULL &&
                       part->condition->measure == &measures[MEASURE_AVERAGE];
        if (!average || !interval_equal(part->interval, bars->interval) || part->values[0] == drawn)
            continue;
        char name[64];
        const double *mean = sheet_mean(longer, (size_t)part->values[0]);
        if (mean == NULL || isnan(mean[end]))
            continue;
        drawn = part->values[0];
        pane_curve(picture, pane, LAYER_MARKS, (struct pen){INK_BLUE, 1.2, DASH_SHORT}, mean, first,
                   end + 1);
        snprintf(name, sizeof name, "average of %g closes", drawn);
        case_note(picture, pane, name, INK_BLUE, pane_bar_x(pane, (first + end) / 2),
                  pane_y(pane, mean[(first + end) / 2]), !facts->is_short);
    }
}

double case_draw_context(const struct case_facts *facts, struct picture *picture, struct box side)
{
    enum { BARS = 60, FEWEST = 12, HEIGHT = 96, LEFT = 44 };
    size_t from = 0;
    const struct criterion *filter = next_longer(facts, &from);
    struct interval interval = filter != NULL ? filter->interval : longer_of(facts->bars->interval);
    struct sheet *longer = NULL;
    if (interval.unit != INTERVAL_NONE &&
        interval_seconds(interval) > interval_seconds(facts->bars->interval))
        longer = sheet_longer(facts->request->view->plain, interval);
    size_t end = longer != NULL ? sheet_longer_index(longer, facts->signal) : SIZE_MAX;
    if (end == SIZE_MAX || end + 1 < FEWEST)
        return side.top;
    const struct bars *bars = sheet_bars(longer);
    size_t first = end + 1 > BARS ? end + 1 - BARS : 0;
    char title[96];
    char length[INTERVAL_TEXT_SIZE];
    interval_format(length, interval);
    snprintf(title, sizeof title, "%sars of %s, as closed at the signal",
             filter != NULL ? "The filter: b" : "B", length);
    double y = head(picture, title, side.left, side.right, side.top);
    struct pane pane = {.box = {side.left + LEFT, y + 4, side.right, y + 4 + HEIGHT},
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
    pane_block_candles(picture, &pane, &columns, first, end + 1);
    draw_filters(facts, picture, &pane, longer, first, end);
    struct case_momentum momentum;
    case_momentum_read(&momentum, facts->setup, longer, interval);
    pane.box.bottom = case_draw_longer_strips(&momentum, picture, &pane, first, end);
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
    if (!isfinite(ticks)) /* no tick is known */
        return true;
    return fabs(ticks - round(ticks)) < 1e-6;
}

/* A limit of the checklist as it was given, to four significant digits, and what was
 * measured with the decimals of its reading; prices in full, and those between two
 * prices of the grid with two more places. */
static void number_of(const struct case_facts *facts, const struct reading *reading, bool measured,
                      char text[TICK_TEXT_SIZE])
{
    double value = measured ? reading->value : reading->limit;
    if (isinf(value))
        snprintf(text, TICK_TEXT_SIZE, "\u221e");
    else if (reading->kind == READING_PRICE)
        number_text(value, facts->places + (on_grid(facts, value) ? 0 : 2), text);
    else if (measured && fabs(value) < 9999.5)
        number_text(value, reading_decimals(reading), text);
    else
        snprintf(text, TICK_TEXT_SIZE, "%s%.4g", value < 0 ? "\u2212" : "", fabs(value));
}

static double draw_check(const struct case_facts *facts, struct picture *picture,
                         const struct check *check, struct box side)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    char name[READING_NAME_SIZE];
    char value[TICK_TEXT_SIZE] = "";
    char limit[TICK_TEXT_SIZE] = "";
    char line[300];
    double left = side.left + 16;
    double y = side.top;
    static const double rooms[] = {[TRUTH_NO] = 50, [TRUTH_YES] = 30, [TRUTH_UNDEFINED] = 88};
    bool alone = check == facts->failed;
    double word_room = rooms[check->holds];
    const struct reading *reading = &check->reading;
    bool numbers = !isnan(reading->value) || !isnan(reading->limit);
    draw_mark(picture, check->holds, alone ? INK_ACCENT : INK_MAIN, side.left, y + 11);
    picture_word(picture, words[check->holds], note_type,
                 check->holds == TRUTH_YES ? INK_SOFT : INK_MAIN, PRIORITY_TABLE,
                 (struct spot){side.right, y + (numbers ? 25 : 11), ALIGN_END}, 0);
    char length[INTERVAL_TEXT_SIZE] = "";
    if (check->part != NULL && check->part->interval.unit != INTERVAL_NONE)
        interval_format(length, check->part->interval);
    snprintf(line, sizeof line, "%s%s%s%s", length, length[0] != '\0' ? " bars: " : "",
             check->negated ? "not: " : "", reading_name(reading, name));
    picture_word(picture, line, (struct type){alone ? FACE_BOLD : FACE_REGULAR, TEXT_SIZE},
                 INK_MAIN, PRIORITY_TABLE, (struct spot){left, y + 11, ALIGN_START},
                 side.right - left - (numbers ? 0 : word_room));
    y += 15;
    if (!numbers)
        return y + 4;
    if (!isnan(reading->value))
        number_of(facts, reading, true, value);
    if (!isnan(reading->limit))
        number_of(facts, reading, false, limit);
    snprintf(line, sizeof line, "%s%s%s%s%s%s%s", value, value[0] != '\0' ? "; " : "",
             limit[0] != '\0' ? comparison_words(reading->comparison) : "",
             limit[0] != '\0' ? " " : "", limit, reading->unit[0] != '\0' ? " " : "",
             reading->unit);
    picture_word(picture, line, note_type, INK_SOFT, PRIORITY_TABLE,
                 (struct spot){left, y + 10, ALIGN_START}, side.right - left - word_room);
    return y + 18;
}

/* How high a check stands: with a line of numbers below its name, or without. */
static double check_height(const struct check *check)
{
    return isnan(check->reading.value) && isnan(check->reading.limit) ? 19 : 33;
}

static void checklist_title(const struct case_facts *facts, enum check_section section,
                            char title[96])
{
    static const char *const heads[] = {"The candle", "Its place", "What confirms it"};
    const struct checklist *checklist = &facts->checklist;
    if (section == CHECK_CONFIRM)
        snprintf(title, 96, "%s: %zu of %zu met, %zu needed", heads[section], checklist->confirmed,
                 facts->setup->confirm.count, checklist->at_least);
    else
        snprintf(title, 96, "%s", heads[section]);
}

double case_draw_checklist(const struct case_facts *facts, struct picture *picture, struct box side,
                           double next)
{
    enum { HEAD = 30 };
    const struct checklist *checklist = &facts->checklist;
    double top = side.top;
    double below = top;
    for (size_t i = 0; i < checklist->count; i++) {
        const struct check *check = &checklist->list[i];
        bool heads = i == 0 || check->section != checklist->list[i - 1].section;
        double height = check_height(check) + (heads ? HEAD : 0);
        if (next > 0 && side.top + height > side.bottom) {
            side = (struct box){side.left + next, top, side.right + next, INFINITY};
            next = 0;
        }
        if (heads) {
            char title[96];
            checklist_title(facts, check->section, title);
            side.top = head(picture, title, side.left, side.right,
                            side.top + (side.top > top ? 6 : 0));
        }
        side.top = draw_check(facts, picture, check, side);
        below = fmax(below, side.top);
    }
    return below + 6;
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

double case_draw_words(const struct case_facts *facts, struct picture *picture, struct box box,
                       size_t columns)
{
    enum { GUTTER = 22, PARTS = 3 };
    static const struct {
        const char *title;
        void (*write)(const struct case_facts *facts, struct text *text);
    } parts[PARTS] = {{"The plan", case_plan},
                      {"What followed", case_followed},
                      {"Is this one typical?", case_rank}};
    double width = (box.right - box.left - GUTTER * (double)(columns - 1)) / (double)columns;
    struct text text;
    double below = box.top;
    size_t column = 0;
    text_init(&text);
    for (int i = 0; i < PARTS; i++) {
        parts[i].write(facts, &text);
        if (text.length == 0)
            continue;
        if (column == columns) {
            column = 0;
            box.top = below + 10;
        }
        double left = box.left + (width + GUTTER) * (double)column++;
        below = fmax(below,
                     draw_column(picture,
                                 i == 0 && facts->request->nearly ? "Why it is none"
                                                                  : parts[i].title,
                                 &text, (struct box){left, box.top, left + width, INFINITY}));
    }
    text_free(&text);
    return below + 10;
}
