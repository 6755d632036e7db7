/* What asking a bar answers, once for every door. */
#ifndef RUSHLIGHT_ANSWER_EXPLAIN_H
#define RUSHLIGHT_ANSWER_EXPLAIN_H

#include "base/json.h"
#include "document/document.h"
#include "work/explain.h"

/* The bar's parts, what it is and nearly is, each criterion with what turns it,
 * and the words behind each. `setup` is NULL where none was applied. */
void answer_explain(struct document *document, const struct rules_case *opened,
                    const struct setup *setup, const struct explanation *explanation);

/* The same as members of the object that is open (docs/commands.md). */
void explain_json(struct json *json, const struct rules_case *opened, const struct setup *setup,
                  const struct explanation *explanation);

/* One line for each part, shape and criterion. */
void explain_csv(struct text *text, const struct rules_case *opened, const struct setup *setup,
                 const struct explanation *explanation);

/* --- its sentences, for a door that sets them in its own way ----------------------- */

/* "It is an inverted hammer. Nearly a doji: …." */
void explain_shapes_words(struct text *text, const struct rules_case *opened,
                          const struct explanation *explanation);
/* "It meets NAME." or how many criteria stand against it, and whose signal falls
 * on this bar; empty without a setup. `candle` is the date of the candle of that
 * signal, written as the door writes dates; unused where there is none. */
void explain_verdict_words(struct text *text, const struct setup *setup,
                           const struct explanation *explanation, const char *candle);
/* "upper shadow", "not: RSI". */
void explain_name_words(struct text *text, const struct explained *explained);
/* "at least 2 bodies", "below 30, within 3 bars"; empty where there is no limit. */
void explain_limit_words(struct text *text, const struct rules_case *opened,
                         const struct explained *explained);
/* What was measured; empty where there is no number. */
void explain_measured_words(struct text *text, const struct rules_case *opened,
                            const struct explained *explained);
/* "met", "not met", "cannot be told". */
const char *explain_answer_words(const struct explained *explained);
/* "high 556.25", with what more is to be said of it; why none where there is none.
 * `most`: so many of them at most. */
void explain_turn_words(struct text *text, const struct rules_case *opened,
                        const struct explanation *explanation, const struct explained *explained,
                        size_t most);
/* "The candle", "Its place", "What confirms it: 1 of 2 met, 1 needed". */
void explain_section_words(struct text *text, const struct setup *setup,
                           const struct explanation *explanation, enum check_section section);

#endif
