/* The sentences of asking a bar. */
#include "answer/check_words.h"
#include "answer/explain_parts.h"

#include "base/calendar.h"
#include "draw/ticks.h"

#include <math.h>
#include <string.h>

int explain_decimals(const struct rules_case *opened)
{
    const struct instrument *instrument = &opened->series.instrument;
    return instrument->tick_known ? decimals_of(instrument->tick.value) : 4;
}

static void append_price(struct text *text, const struct rules_case *opened, double price)
{
    char digits[TICK_TEXT_SIZE];
    number_text(price, explain_decimals(opened), digits);
    text_append(text, digits);
}

static void append_value(struct text *text, const struct rules_case *opened,
                         const struct reading *reading, double value)
{
    reading_value_words(text, explain_decimals(opened), reading, value);
}

/* --- shapes -------------------------------------------------------------------------- */

static void append_nearly(struct text *text, const struct rules_case *opened,
                          const struct nearly *nearly)
{
    char name[READING_NAME_SIZE];
    const struct reading *missed = &nearly->missed;
    text_append_format(text, " Nearly %s: %s ", shape_name(&nearly->choice),
                       reading_name(missed, name));
    reading_measured_words(text, explain_decimals(opened), missed);
    text_append_format(text, ", %s ", comparison_words(missed->comparison));
    append_value(text, opened, missed, missed->limit);
    text_append_format(text, "%s%s, missed by ", missed->unit[0] != '\0' ? " " : "",
                       reading_unit(missed));
    const struct reading by = {.unit = missed->unit, .value = nearly->missed_by, .limit = NAN};
    reading_measured_words(text, 0, &by);
    text_append_char(text, '.');
}

void explain_shapes_words(struct text *text, const struct rules_case *opened,
                          const struct explanation *explanation)
{
    if (explanation->parts.range <= 0)
        text_append(text, "It is a bar without a range, which is no shape");
    else if (explanation->shape_count == 0)
        text_append(text, "It is no shape of the catalogue");
    else
        text_append(text, "By its parts alone it is ");
    for (size_t i = 0; i < explanation->shape_count; i++) {
        bool last = i + 1 == explanation->shape_count;
        text_append(text, i == 0 ? "" : last ? " and " : ", ");
        text_append(text, shape_name(&explanation->shapes[i]));
    }
    text_append_char(text, '.');
    for (size_t i = 0; i < EXPLAIN_NEARLY && explanation->nearly[i].found; i++)
        append_nearly(text, opened, &explanation->nearly[i]);
}

/* --- the setup ------------------------------------------------------------------------- */

/* Of the criteria that are needed those that are not met, and those that cannot be
 * told: of the candle and its place each, of confirmation so many as are missing. */
static void count_against(const struct explanation *explanation, size_t *against, size_t *untold)
{
    const struct checklist *list = &explanation->checklist;
    size_t missing = list->confirmed < list->at_least ? list->at_least - list->confirmed : 0;
    size_t open = 0;
    *against = *untold = 0;
    for (size_t i = 0; i < explanation->count; i++) {
        const struct check *check = &explanation->criteria[i].check;
        bool confirms = check->section == CHECK_CONFIRM;
        open += confirms && check->holds == TRUTH_UNDEFINED;
        *against += !confirms && check->holds == TRUTH_NO;
        *untold += !confirms && check->holds == TRUTH_UNDEFINED;
    }
    *untold += open < missing ? open : missing;
    *against += open < missing ? missing - open : 0;
}

void explain_verdict_words(struct text *text, const struct setup *setup,
                           const struct explanation *explanation, const char *candle)
{
    size_t against;
    size_t untold;
    if (setup == NULL || !explanation->over)
        return;
    count_against(explanation, &against, &untold);
    if (explanation->checklist.met)
        text_append_format(text, "It meets %s.", setup->name);
    else if (against > 0)
        text_append_format(text, "It does not meet %s: %zu %s against it.", setup->name, against,
                           against == 1 ? "criterion stands" : "criteria stand");
    else if (untold > 0)
        text_append_format(text, "Whether it meets %s cannot be told: %zu %s not known.",
                           setup->name, untold, untold == 1 ? "criterion is" : "criteria are");
    else
        text_append_format(text, "It does not meet %s: without a range it is no candle.",
                           setup->name);
    if (explanation->candle_of != SIZE_MAX)
        text_append_format(text, " On this bar falls the signal of the candle of %s.", candle);
}

void explain_name_words(struct text *text, const struct explained *explained)
{
    check_name_words(text, &explained->check);
}

void explain_limit_words(struct text *text, const struct rules_case *opened,
                         const struct explained *explained)
{
    reading_limit_words(text, explain_decimals(opened), &explained->check.reading,
                        explained->criterion != NULL ? explained->criterion->within : 0);
}

void explain_measured_words(struct text *text, const struct rules_case *opened,
                            const struct explained *explained)
{
    check_measured_words(text, explain_decimals(opened), &explained->check);
}

const char *explain_answer_words(const struct explained *explained)
{
    return check_answer_words(&explained->check);
}

static void append_turn(struct text *text, const struct rules_case *opened,
                        const struct explanation *explanation, const struct turn *turn)
{
    text_append_format(text, "%s ", bar_price_words[turn->price]);
    append_price(text, opened, isnan(turn->first) ? turn->at : turn->first);
    if (!turn->stretches)
        return;
    const char *beyond = turn->price == BAR_HIGH               ? "below its body"
                         : turn->price == BAR_LOW              ? "above its body"
                         : turn->at > explanation->prices.high ? "above its high"
                                                               : "below its low";
    text_append_format(text, ", %s", beyond);
}

void explain_turn_words(struct text *text, const struct rules_case *opened,
                        const struct explanation *explanation, const struct explained *explained,
                        size_t most)
{
    size_t count = explained->turn_count < most ? explained->turn_count : most;
    for (size_t i = 0; i < count; i++) {
        text_append(text, i > 0 ? "; " : "");
        append_turn(text, opened, explanation, &explained->turns[i]);
    }
    if (count == 0 && explained->hangs)
        text_append_format(text, "none within %d ATR", TURN_REACH);
    else if (count == 0)
        text_append(text, "not by this bar");
}

void explain_section_words(struct text *text, const struct setup *setup,
                           const struct explanation *explanation, enum check_section section)
{
    static const char *const heads[] = {"The candle", "Its place", "What confirms it"};
    size_t met = 0;
    size_t untold = 0;
    size_t all = 0;
    for (size_t i = 0; i < explanation->count; i++) {
        const struct check *check = &explanation->criteria[i].check;
        all += check->section == section;
        met += check->section == section && check->holds == TRUTH_YES;
        untold += check->section == section && check->holds == TRUTH_UNDEFINED;
    }
    text_append_format(text, "%s: %zu of %zu met", heads[section], met, all);
    if (untold > 0)
        text_append_format(text, ", %zu cannot be told", untold);
    if (section == CHECK_CONFIRM && setup->confirm_at_least < all)
        text_append_format(text, ", %zu needed", setup->confirm_at_least);
}
