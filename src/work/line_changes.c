#include "work/line_changes.h"

#include "work/own_lines.h"

/* Enters a line that takes the place of another, or stands once more: it counts from
 * now, which goes on from where the other ended; of one that was dated back, whose
 * withdrawal takes it from every candle, from where it did. */
static int enter_after(struct book *book, int64_t now, const struct own_line *before,
                       struct own_line *line, struct error *error)
{
    line->since = before->dated_back ? before->since : INT64_MIN;
    int code = own_line_enter(book, now, INT64_MAX, line, error);
    if (code == ERROR_NONE && (before->hidden || before->reach != REACH_RIGHT))
        code = level_store_show(book, line->instrument, line->id, before->hidden, before->reach,
                                error);
    return code;
}

int line_change_draw(struct book *book, int64_t now, struct own_line *line,
                     struct line_change *change, struct error *error)
{
    int code = own_line_enter(book, now, INT64_MAX, line, error);
    *change = (struct line_change){0, line->id};
    return code;
}

int line_change_move(struct book *book, int64_t now, int64_t id, struct own_line *to,
                     struct line_change *change, struct error *error)
{
    struct own_line before;
    int code = level_store_find(book, to->instrument, id, &before, error);
    if (code == ERROR_NONE)
        code = level_store_withdraw(book, to->instrument, id, now, error);
    if (code != ERROR_NONE)
        return code;
    to->kind = before.kind;
    code = enter_after(book, now, &before, to, error);
    *change = (struct line_change){id, to->id};
    return code;
}

int line_change_remove(struct book *book, int64_t now, const char *instrument, int64_t id,
                       struct line_change *change, struct error *error)
{
    *change = (struct line_change){id, 0};
    return level_store_withdraw(book, instrument, id, now, error);
}

int line_change_undo(struct book *book, int64_t now, const char *instrument,
                     const struct line_change *change, int64_t *again, struct error *error)
{
    struct own_line gone;
    int code = ERROR_NONE;
    *again = 0;
    if (change->come != 0)
        code = level_store_withdraw(book, instrument, change->come, now, error);
    if (code != ERROR_NONE || change->gone == 0)
        return code;
    code = level_store_find(book, instrument, change->gone, &gone, error);
    if (code != ERROR_NONE)
        return code;
    struct own_line line = gone;
    code = enter_after(book, now, &gone, &line, error);
    *again = line.id;
    return code;
}
