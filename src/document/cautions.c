#include "document/cautions.h"

#include "document/paragraph.h"

const char caution_results[] =
    "This is arithmetic about the past, not advice: trading can lose money, with borrowed money more "
    "than was paid in; rules differ from country to country; ask a licensed adviser.";

const char caution_costs[] =
    "No costs were given, so none are in these results: commission, spread and slippage make every "
    "trade worse than it stands here. State them in the setup or with the instrument.";

const char caution_plan[] =
    "Not advice: trading loses money, and what followed once may not follow again; rules differ from "
    "country to country; ask a licensed adviser.";

const char caution_short[] = "Arithmetic about the past, not advice: trading can lose money.";

void text_append_caution(struct text *text, const char *caution)
{
    struct text lines;
    text_init(&lines);
    text_append_paragraph(&lines, caution, 0);
    if (lines.length > 0)
        text_append_bytes(text, lines.bytes, lines.length - 1);
    text->failed = text->failed || text_failed(&lines);
    text_free(&lines);
}
