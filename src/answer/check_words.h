/* What is said of one criterion read on a bar, once for every door. Prices are
 * written with so many decimals as the instrument's own have. */
#ifndef RUSHLIGHT_ANSWER_CHECK_WORDS_H
#define RUSHLIGHT_ANSWER_CHECK_WORDS_H

#include "base/text.h"
#include "setup/checklist.h"

/* "upper shadow", "not: RSI". */
void check_name_words(struct text *text, const struct check *check);
/* "at least 2 bodies", "below 30, within 3 bars"; nothing where there is no limit. */
void check_limit_words(struct text *text, int decimals, const struct check *check);
/* What was measured, with the decimals that reading_decimals says where it is no price;
 * nothing where there is no number. */
void check_measured_words(struct text *text, int decimals, const struct check *check);
/* "met", "not met", "cannot be told". */
const char *check_answer_words(const struct check *check);
/* How far beside its limit it is: "0.47 ATR" of a price, "9 % of the limit" of
 * another number; nothing where there is no number to it. `missed_by` as
 * checklist_nearly has it. */
void check_missed_words(struct text *text, const struct check *check, double missed_by);

/* A price with these decimals, with two more where it lies between two prices, as an
 * average does; another number, such as a limit, with four digits that count, and from
 * 10,000 on none behind the point. Nothing of NaN. */
void reading_value_words(struct text *text, int decimals, const struct reading *reading,
                         double value);

/* The value of a reading, as check_measured_words has it. */
void reading_measured_words(struct text *text, int decimals, const struct reading *reading);
/* As check_limit_words, of a criterion that looks back so many bars. */
void reading_limit_words(struct text *text, int decimals, const struct reading *reading,
                         size_t within);

#endif
