/* The words of a setup file that both its reader and its writer know. */
#include "setup/setup_parts.h"

const char *const side_words[2] = {"long", "short"};
const char *const same_bar_words[] = {"nearest", "worst", "best", "finer", NULL};
const char *const overlap_words[2] = {"one", "all"};
const char *const cost_words[6] = {"spread",
                                   "slippage",
                                   "commission_per_unit",
                                   "commission_percent",
                                   "commission_per_trade",
                                   "financing_percent_year"};

const char *side_name(enum setup_side side)
{
    return side_words[side];
}

const char *same_bar_name(enum same_bar_rule rule)
{
    return same_bar_words[rule];
}

const char *sided_word(const char *name, const char *mirror_name, enum setup_side side)
{
    return side == SIDE_SHORT && mirror_name != NULL ? mirror_name : name;
}
