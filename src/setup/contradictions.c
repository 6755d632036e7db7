/* Criteria of a setup that can never hold together. */
#include "setup/contradictions.h"

#include "setup/setup_parts.h"

#include <stdio.h>
#include <string.h>

/* --- two criteria ------------------------------------------------------------------ */

static void write_bare(struct text *text, const struct criterion *criterion)
{
    struct criterion bare = *criterion;
    bare.within = 0;
    criterion_write(text, &bare);
}

/* One says that the other does not hold: of the same bar, or of all those among which
 * the other holds. */
static bool deny(const struct criterion *holds, const struct criterion * not )
{
    struct text a;
    struct text b;
    if (holds->condition != not ->condition || holds->within > not ->within)
        return false;
    text_init(&a);
    text_init(&b);
    write_bare(&a, holds);
    write_bare(&b, not );
    bool same = !text_failed(&a) && !text_failed(&b) && strcmp(a.bytes, b.bytes) == 0;
    text_free(&a);
    text_free(&b);
    return same;
}

static bool conditions_clash(const struct criterion *a, bool a_not, const struct criterion *b,
                             bool b_not)
{
    struct claim first;
    struct claim second;
    if (a_not != b_not && deny(a_not ? b : a, a_not ? a : b))
        return true;
    claim_of(&first, a, a_not);
    claim_of(&second, b, b_not);
    bool clash = claims_clash(&first, &second);
    claim_free(&first);
    claim_free(&second);
    return clash;
}

/* Whether no bar meets both (`not`: does not meet). Of `any` each part must clash; of
 * `not any` one is enough. */
static bool clash(const struct criterion *a, bool a_not, const struct criterion *b, bool b_not)
{
    if (a->kind == CRITERION_NOT)
        return clash(&a->parts[0], !a_not, b, b_not);
    if (a->kind == CRITERION_CONDITION && b->kind == CRITERION_CONDITION)
        return conditions_clash(a, a_not, b, b_not);
    if (a->kind == CRITERION_CONDITION)
        return clash(b, b_not, a, a_not);
    for (size_t i = 0; i < a->part_count; i++)
        if (clash(&a->parts[i], a_not, b, b_not) == a_not)
            return a_not;
    return !a_not;
}

static bool is_empty(const struct criterion *criterion, bool not )
{
    if (criterion->kind == CRITERION_NOT)
        return is_empty(&criterion->parts[0], !not );
    if (criterion->kind == CRITERION_CONDITION) {
        struct claim claim;
        claim_of(&claim, criterion, not );
        bool empty = claim_is_empty(&claim);
        claim_free(&claim);
        return empty;
    }
    for (size_t i = 0; i < criterion->part_count; i++)
        if (is_empty(&criterion->parts[i], not ) == not )
            return not ;
    return !not ;
}

/* --- lists --------------------------------------------------------------------------- */

enum { MOST_TOGETHER = PLACE_LIMIT + CONFIRM_LIMIT };

/* Criteria that must all hold on one bar, with their places in the file. */
struct together {
    struct {
        const struct criterion *criterion;
        const struct node *node;
        const char *key;
    } list[MOST_TOGETHER];
    size_t count;
};

static void add_list(struct together *together, const struct criteria *criteria,
                     const struct node *list, const char *key)
{
    for (size_t i = 0; i < criteria->count && together->count < MOST_TOGETHER; i++) {
        together->list[together->count].criterion = &criteria->list[i];
        together->list[together->count].node = &list->items[i];
        together->list[together->count++].key = key;
    }
}

/* As in the file, cut where it is long. */
static void show(char *shown, size_t size, const struct criterion *criterion)
{
    struct text text;
    text_init(&text);
    criterion_write(&text, criterion);
    size_t length = text.length < size - 8 ? text.length : size - 8;
    while (length < text.length && length > 0 && ((unsigned char)text.bytes[length] & 0xc0) == 0x80)
        length--;
    snprintf(shown, size, "%.*s%s", (int)length, text.bytes, length < text.length ? "…" : "");
    text_free(&text);
}

static int check_pairs(const struct source *source, const struct together *together)
{
    char shown[200];
    char before[200];
    int code = ERROR_NONE;
    for (size_t i = 0; i < together->count; i++) {
        show(shown, sizeof shown, together->list[i].criterion);
        if (is_empty(together->list[i].criterion, false))
            code = value_fail_because(source, ERROR_REASON_CONTRADICTION, together->list[i].node,
                                      together->list[i].key,
                                      "%s can hold on no bar at all; change it or leave it out",
                                      shown);
        for (size_t k = 0; k < i; k++) {
            if (!clash(together->list[i].criterion, false, together->list[k].criterion, false))
                continue;
            show(before, sizeof before, together->list[k].criterion);
            code = value_fail_because(source, ERROR_REASON_CONTRADICTION, together->list[i].node,
                                      together->list[i].key,
                                      "%s can hold on no bar on which %s of line %zu holds; change "
                                      "or leave out one of them",
                                      shown, before, together->list[k].node->line);
        }
    }
    return code;
}

/* --- limits of a candle ----------------------------------------------------------------- */

/* The limit that is the most where this is the least: `body_max` of `body_min`. */
static size_t most_of(const struct parameter *limits, const char *least, bool mirrored)
{
    char most[60];
    const char *word = strstr(least, "_min");
    if (word == NULL)
        return parameter_count(limits);
    snprintf(most, sizeof most, "%.*s_max%s", (int)(word - least), least, word + 4);
    return parameter_find(limits, most, mirrored);
}

static int check_limits(const struct source *source, const struct node *node,
                        const struct shape_choice *choice)
{
    static const double margin = 1e-6; /* least and most that are the same are no fault */
    const struct parameter *limits = choice->shape->limits;
    size_t count = parameter_count(limits);
    int code = ERROR_NONE;
    for (size_t i = 0; i < count; i++) {
        const char *least = parameter_name(&limits[i], choice->mirrored);
        size_t most = most_of(limits, least, choice->mirrored);
        if (most == count || choice->limits[i] <= choice->limits[most] + margin)
            continue;
        code = value_fail_because(
            source, ERROR_REASON_CONTRADICTION, node, "candle: limits",
            "%s is %g and %s is %g; no %s can have both: lower the one or raise the other", least,
            choice->limits[i], parameter_name(&limits[most], choice->mirrored),
            choice->limits[most], shape_name(choice));
    }
    return code;
}

static int check_candles(const struct source *source, const struct node *candle,
                         const struct setup *setup)
{
    const struct node *any_of = node_get(candle, "any_of");
    int code = ERROR_NONE;
    for (size_t i = 0; i < setup->candle_count; i++) {
        const struct node *item = any_of != NULL ? &any_of->items[i] : candle;
        const struct node *limits = node_get(item, "limits");
        code = worse_code(code,
                          check_limits(source, limits != NULL ? limits : item, &setup->candles[i]));
    }
    return code;
}

int find_contradictions(const struct source *source, const struct node *root,
                        const struct setup *setup)
{
    struct together together = {.count = 0};
    const struct node *exit = node_get(root, "exit");
    const struct node *confirm = node_get(root, "confirm");
    int code = check_candles(source, node_get(root, "candle"), setup);
    add_list(&together, &setup->place, node_get(root, "place"), "place");
    /* Where not all must hold, or not on the bar of the candle, any of them may. */
    if (setup->confirm_wait == 0 && setup->confirm_at_least == setup->confirm.count)
        add_list(&together, &setup->confirm, confirm != NULL ? node_get(confirm, "of") : NULL,
                 "confirm: of");
    code = worse_code(code, check_pairs(source, &together));
    together.count = 0;
    add_list(&together, &setup->exit.when, node_get(exit, "when"), "exit: when");
    return worse_code(code, check_pairs(source, &together));
}
