#include "work/notices.h"

#include "base/array.h"
#include "base/text.h"
#include "work/work_parts.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

int notices_add(struct notices *notices, struct error *error, enum notice_kind kind,
                const char *format, ...)
{
    /* One line, as an error is. */
    struct error line = {0};
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line.text, sizeof line.text, format, arguments);
    error_make_line(line.text);
    va_end(arguments);
    struct notice *list = array_reserve(notices->list, &notices->room, notices->count + 1,
                                        sizeof *list);
    if (list == NULL)
        return error_memory(error);
    notices->list = list;
    list[notices->count] = (struct notice){kind, string_copy(line.text)};
    if (list[notices->count].sentence == NULL)
        return error_memory(error);
    notices->count++;
    return ERROR_NONE;
}

void notices_say(struct notices *notices, const struct work *work)
{
    const struct voice *voice = &work->voice;
    for (size_t i = 0; voice->notice != NULL && i < notices->count; i++)
        voice->notice(voice->context, notices->list[i].kind, notices->list[i].sentence);
    notices_free(notices);
}

void notices_free(struct notices *notices)
{
    for (size_t i = 0; i < notices->count; i++)
        free(notices->list[i].sentence);
    free(notices->list);
    *notices = (struct notices){0};
}
