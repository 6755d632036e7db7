/* What Today could not look at, told by its reason. */
#include "web/today_parts.h"

#include "base/array.h"

#include <stdlib.h>
#include <string.h>

enum { REASONS = 12 }; /* that are written out */

static struct left_out *left_out_for(struct today *today, const char *reason)
{
    for (size_t i = 0; i < today->left_out_count; i++)
        if (strcmp(today->left_out[i].reason.bytes, reason) == 0)
            return &today->left_out[i];
    if (today->left_out_count == REASONS) {
        today->left_out_more++;
        return NULL;
    }
    struct left_out *list = array_reserve(today->left_out, &today->left_out_room,
                                          today->left_out_count + 1, sizeof *list);
    if (list == NULL)
        return NULL;
    today->left_out = list;
    struct left_out *one = &list[today->left_out_count++];
    *one = (struct left_out){.count = 0};
    text_init(&one->reason);
    text_init(&one->names);
    text_append(&one->reason, reason);
    return one;
}

void today_leave_out(struct today *today, const char *name, const char *reason)
{
    struct left_out *one = left_out_for(today, reason);
    if (one == NULL || name_set_add(&one->seen, name) != NAME_NEW)
        return;
    if (one->count++ < TODAY_NAMED)
        text_append_format(&one->names, "%s%s", one->count > 1 ? ", " : "", name);
}

void today_left_out_write(struct html *html, const struct today *today)
{
    if (today->left_out_count == 0)
        return;
    html_open(html, "section");
    html_element(html, "h2", "Not looked at");
    for (size_t i = 0; i < today->left_out_count; i++) {
        const struct left_out *one = &today->left_out[i];
        html_open_class(html, "p", "small gap");
        html_text(html, one->names.bytes);
        if (one->count > TODAY_NAMED) {
            html_text(html, " and ");
            html_integer(html, (int64_t)one->count - TODAY_NAMED);
            html_text(html, " more");
        }
        html_text(html, ": ");
        html_text(html, one->reason.bytes);
        html_text(html, ".");
        html_close(html);
    }
    if (today->left_out_more > 0)
        html_element_class(html, "p", "small gap", "Others were left out for other reasons.");
    html_close(html);
}

void today_left_out_free(struct today *today)
{
    for (size_t i = 0; i < today->left_out_count; i++) {
        text_free(&today->left_out[i].reason);
        text_free(&today->left_out[i].names);
        name_set_free(&today->left_out[i].seen);
    }
    free(today->left_out);
}
