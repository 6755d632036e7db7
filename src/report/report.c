#include "document/cautions.h"
#include "report/report_parts.h"

#include <inttypes.h>

/* The words that a report explains. */
static const struct {
    const char *term;
    const char *meaning;
} meanings[] = {
    {"R", "A trade's result over the risk taken, the distance from fill to first stop. -1 R is a "
          "trade that lost what it risked."},
    {"95% interval",
     "Made from blocks of dates drawn again with replacement, studentised, since trades of one "
     "date and of overlapping days rise and fall together; Student's t where dates are few."},
    {"p, one-sided", "How often chance alone would show at least so much if there were nothing."},
    {"design effect of dates",
     "How much larger the variance of the mean is than that of as many independent trades."},
    {"the candle, less its place",
     "The setup's trades less those of the other bars of the same place, by the same rules, at "
     "like risk and on the same instruments."},
    {"reach", "How far a trade went before its first stop, in R."},
    {"ATR", "Wilder's average of the true range over 14 bars (Wilder 1978, from memory)."},
    {"trial",
     "A setup whose outcomes were shown. The more trials, the better the best looks by luck."},
};

/* How it was made, up to the command. */
static void say_making(struct text *text, const struct report_facts *facts)
{
    text_append_format(text, "rushlight %s", facts->version);
    if (facts->resamples > 0)
        text_append_format(text, ", seed %" PRIu64 ", %zu resamples of dates", facts->seed,
                           facts->resamples);
    text_append_char(text, '.');
    if (facts->data_hash != NULL)
        text_append_format(text, " Bars of %s; data (XXH128 of names and bars) %s.", facts->range,
                           facts->data_hash);
    text_append(text, " The same again:");
}

static void add_setup(struct document *end, const struct report_setup *setup)
{
    struct text heading;
    text_init(&heading);
    text_append_format(&heading, "The setup %s", setup->name);
    document_lines(end, BLOCK_HEADING, &heading);
    document_words(end, BLOCK_VERBATIM, setup->text);
}

/* What stands below every document. */
static void fill_end(struct document *end, const struct report_target *target)
{
    struct text made;
    document_words(end, BLOCK_HEADING, "What the words mean");
    for (size_t i = 0; i < sizeof meanings / sizeof meanings[0]; i++)
        document_meaning(end, meanings[i].term, meanings[i].meaning);
    for (size_t i = 0; i < target->setup_count; i++)
        add_setup(end, &target->setups[i]);
    text_init(&made);
    say_making(&made, &target->facts);
    document_words(end, BLOCK_HEADING, "How this was made");
    document_lines(end, BLOCK_NOTE, &made);
    document_words(end, BLOCK_VERBATIM, target->facts.command);
    document_words(end, BLOCK_CAUTION, caution_results);
}

int report_write(const struct report_target *target, const struct document *document,
                 struct error *error)
{
    struct document end;
    document_init(&end);
    fill_end(&end, target);
    int code = ERROR_NONE;
    if (document_failed(document) || document_failed(&end))
        code = error_memory(error);
    else if (target->form == REPORT_PDF)
        code = report_pages(target, document, &end, error);
    else
        code = report_html(target, document, &end, error);
    document_clear(&end);
    return code;
}
