#include "web/draft.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- the file that it began from ------------------------------------------------------------ */

static int read_shipped(const struct page *page, const char *name, struct text *base,
                        struct error *error)
{
    struct setup setup;
    int code = rules_read(name, NULL, page->options.setups, &setup, error);
    if (code != ERROR_NONE)
        return code;
    setup_write(&setup, base);
    setup_free(&setup);
    return text_failed(base) ? error_memory(error) : ERROR_NONE;
}

/* A version out of the book that would be no file of today is shown as one: in
 * present words, without what never had an effect. */
static int bring_up_base(struct draft *draft, const struct page *page, struct error *error)
{
    struct setup setup;
    struct error ignored;
    const char *folder = page->options.setups;
    int code = rules_read_text(draft->name, draft->base.bytes, folder, &setup, &ignored);
    if (code == ERROR_NONE)
        setup_free(&setup);
    if (code == ERROR_NONE || rules_read_kept_text(draft->name, draft->base.bytes, folder, &setup,
                                                   &ignored) != ERROR_NONE)
        return ERROR_NONE;
    text_clear(&draft->base);
    setup_write(&setup, &draft->base);
    setup_free(&setup);
    return text_failed(&draft->base) ? error_memory(error) : ERROR_NONE;
}

static int read_base(struct draft *draft, const struct page *page, const struct exchange *exchange,
                     struct error *error)
{
    struct book *book = NULL;
    int64_t wanted = exchange_integer(exchange, "version", 1, INT64_MAX, 0);
    if (draft->name == NULL)
        return ERROR_NONE;
    if (rules_is_path(draft->name))
        return error_set(error, ERROR_INPUT, "%s: there is no setup of that name", draft->name);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = setup_store_versions(book, draft->name, &draft->versions, error);
    code = book_done(book, code, error);
    for (size_t i = 0; code == ERROR_NONE && i < draft->versions.count; i++) {
        const struct setup_version *version = &draft->versions.list[i];
        if (wanted != 0 ? version->number != wanted : i + 1 != draft->versions.count)
            continue;
        draft->version = version->number;
        text_append(&draft->base, version->text);
        code = bring_up_base(draft, page, error);
    }
    if (code == ERROR_NONE && draft->version == 0 && wanted != 0)
        return error_set(error, ERROR_INPUT, "%s: the book has no version %lld of it", draft->name,
                         (long long)wanted);
    if (code == ERROR_NONE && draft->version == 0 && exchange_filled(exchange, "text") == NULL)
        code = read_shipped(page, draft->name, &draft->base, error);
    else if (code == ERROR_NONE && draft->version == 0 &&
             read_shipped(page, draft->name, &draft->base, error) != ERROR_NONE)
        error_clear(error); /* a new one: it has nothing but its text */
    return code;
}

/* --- what was changed since ------------------------------------------------------------------- */

/* Line ends of a form are CR LF (HTML, 4.10.21.3). */
static void append_lines(struct text *text, const char *bytes)
{
    for (; *bytes != '\0'; bytes++)
        if (*bytes != '\r')
            text_append_char(text, *bytes);
}

static int read_text(struct draft *draft, const struct page *page, const struct text *text,
                     struct setup *setup, struct error *error)
{
    const char *place = draft->name != NULL ? draft->name : "setup";
    setup_faults_free(&draft->faults);
    return rules_check_text(place, text->bytes, page->options.setups, setup, &draft->faults, error);
}

/* The numbers filled in, over what the text says. */
static void take_numbers(struct draft *draft, const struct exchange *exchange)
{
    struct text now;
    text_init(&now);
    for (size_t i = 0; i < draft->fields.count && draft->fault.code == ERROR_NONE; i++) {
        const struct setup_field *field = &draft->fields.list[i];
        char name[FIELD_NAME_SIZE + 3];
        snprintf(name, sizeof name, "n.%s", field->name);
        const char *asked = exchange_field(exchange, name);
        text_clear(&now);
        setup_field_write(field, &now);
        if (asked == NULL || strcmp(asked, now.bytes) == 0)
            continue;
        if (setup_field_set(field, asked, &draft->fault) == ERROR_NONE)
            text_append_format(&draft->moved, " %s ", field->name);
    }
    text_free(&now);
}

/* The setup with its numbers, written and read again: contradictions show. */
static void settle_numbers(struct draft *draft, const struct page *page)
{
    struct setup settled;
    struct text text;
    text_init(&text);
    setup_write(&draft->setup, &text);
    if (text_failed(&text) ||
        read_text(draft, page, &text, &settled, &draft->fault) != ERROR_NONE) {
        text_free(&text);
        return;
    }
    setup_free(&settled);
    text_free(&draft->text);
    draft->text = text;
}

int draft_read(struct draft *draft, const struct page *page, const struct exchange *exchange,
               struct error *error)
{
    const char *own = exchange_filled(exchange, "text");
    *draft = (struct draft){.name = exchange_filled(exchange, "setup")};
    text_init(&draft->base);
    text_init(&draft->text);
    text_init(&draft->moved);
    int code = read_base(draft, page, exchange, error);
    if (code != ERROR_NONE)
        return code;
    append_lines(&draft->text, own != NULL ? own : draft->base.bytes);
    draft->has_setup = read_text(draft, page, &draft->text, &draft->setup, &draft->fault) ==
                       ERROR_NONE;
    if (!draft->has_setup && draft->base.length > 0) {
        struct error ignored;
        draft->base_reads = draft->has_setup = rules_read_kept_text(draft->name, draft->base.bytes,
                                                                    page->options.setups,
                                                                    &draft->setup,
                                                                    &ignored) == ERROR_NONE;
    }
    if (!draft->has_setup)
        return ERROR_NONE;
    code = setup_fields_find(&draft->setup, &draft->fields, error);
    if (code == ERROR_NONE && !draft->base_reads) {
        take_numbers(draft, exchange);
        if (draft->moved.length > 0)
            settle_numbers(draft, page);
    }
    return code;
}

void draft_free(struct draft *draft)
{
    setup_versions_free(&draft->versions);
    setup_faults_free(&draft->faults);
    setup_fields_free(&draft->fields);
    if (draft->has_setup)
        setup_free(&draft->setup);
    text_free(&draft->base);
    text_free(&draft->text);
    text_free(&draft->moved);
}

bool draft_is_changed(const struct draft *draft)
{
    return strcmp(draft->base.bytes, draft->text.bytes) != 0;
}

/* --- the instruments held -------------------------------------------------------------------------- */

int page_held(struct page *page, const struct exchange *exchange, const struct setup *setup,
              struct work **work, struct held **held, struct error *error)
{
    struct wishes wishes;
    struct text stamp;
    char book[STAMP_SIZE];
    const char *as_of = exchange_filled(exchange, "as-of");
    *work = NULL;
    *held = &page->held;
    pthread_mutex_lock(&page->held_lock);
    int code = page_wishes(page, exchange, &wishes, error);
    wishes.list = exchange_filled(exchange, "list");
    wishes.everything = true;
    text_init(&stamp);
    page_stamp(page, book);
    text_append(&stamp, book);
    text_append_char(&stamp, ' ');
    text_append(&stamp, as_of != NULL ? as_of : "");
    if (code == ERROR_NONE && text_failed(&stamp))
        code = error_memory(error);
    if (code == ERROR_NONE)
        code = work_open(work, &wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE)
        code = held_open(&page->held, *work, setup, stamp.bytes, error);
    text_free(&stamp);
    return code;
}

int page_held_done(struct page *page, struct work *work, int code, struct error *error)
{
    code = work_close(work, code, error);
    pthread_mutex_unlock(&page->held_lock);
    return code;
}
