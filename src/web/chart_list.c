#include "web/chart_list.h"

#include "web/case_walk.h"
#include "web/chart_address.h"
#include "web/sheets.h"
#include "work/as_of.h"

#include <stdlib.h>
#include <string.h>

const char *const chart_marks[CHART_MARKS] = {"watch", "later", "no"};
static const char *const no_fields[] = {NULL};
static const char *const mark_keys[CHART_MARKS] = {"1", "2", "3"};

/* --- reading ---------------------------------------------------------------------------------- */

static int read_marks(const struct wishes *wishes, struct book *book, const char *name,
                      struct chart_list *list, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < CHART_MARKS; i++)
        code = as_of_is_on(wishes, book, chart_marks[i], name, &list->marked[i], error);
    return code;
}

int chart_list_read(struct chart_list *list, struct chart *chart, struct error *error)
{
    struct book *book = NULL;
    *list = (struct chart_list){0};
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE)
        code = as_of_place(&chart->wishes, book, chart->asked.list, chart->name, &list->place,
                           error);
    if (code == ERROR_NONE)
        code = as_of_lists(&chart->wishes, book, &list->lists, &list->list_count, error);
    if (code == ERROR_NONE)
        code = read_marks(&chart->wishes, book, chart->name, list, error);
    work_return(chart->work, book);
    return code;
}

void chart_list_free(struct chart_list *list)
{
    free(list->lists);
    *list = (struct chart_list){0};
}

/* --- writing ---------------------------------------------------------------------------------------- */

static void write_way(struct html *html, const struct chart *chart, const struct chart_list *list,
                      const struct exchange *exchange, bool next)
{
    const char *name = next ? list->place.after : list->place.before;
    struct text address;
    if (name[0] == '\0')
        return;
    chart_address(&address, chart, exchange, "instrument", name);
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_attribute(html, "rel", next ? "next" : "prev");
    html_attribute(html, "title", name);
    html_text(html, next ? "next" : "previous");
    html_element(html, "kbd", next ? "." : ",");
    html_close(html);
    text_free(&address);
    html_text(html, " ");
}

/* A mark that is there is taken off by its own button. */
static void write_marks(struct html *html, const struct chart *chart, const struct chart_list *list,
                        const struct exchange *exchange)
{
    html_open_class(html, "form", "marks");
    html_attribute(html, "method", "post");
    html_attribute(html, "action", "/charts/mark");
    form_hidden(html, "token", exchange->token);
    chart_write_fields(html, chart, exchange, no_fields);
    html_text(html, "mark ");
    for (size_t i = 0; i < CHART_MARKS; i++) {
        html_open_class(html, "button", "slight");
        html_attribute(html, "name", "mark");
        html_attribute(html, "value", list->marked[i] ? "" : chart_marks[i]);
        html_attribute(html, "data-mark", chart_marks[i]);
        html_attribute(html, "aria-pressed", list->marked[i] ? "true" : "false");
        html_text(html, chart_marks[i]);
        html_element(html, "kbd", mark_keys[i]);
        html_close(html);
        html_text(html, " ");
    }
    html_close(html);
}

void chart_list_write(struct html *html, const struct page *page, const struct chart *chart,
                      const struct chart_list *list, const struct exchange *exchange)
{
    html_open_class(html, "div", "line walk");
    html_open_class(html, "span", "place");
    if (list->place.at < 0) {
        html_text(html, "not in ");
        html_text(html, chart->asked.list != NULL ? chart->asked.list : "the book");
    } else {
        page_count(html, list->place.at + 1);
        html_text(html, " of ");
        page_count(html, list->place.count);
        html_text(html, " in ");
        html_text(html, chart->asked.list != NULL ? chart->asked.list : "the book");
    }
    html_close(html);
    html_text(html, " ");
    write_way(html, chart, list, exchange, false);
    write_way(html, chart, list, exchange, true);
    case_walk_write(html, chart, exchange);
    if (page_may_change(page, exchange))
        write_marks(html, chart, list, exchange);
    html_close(html);
}

void chart_list_write_choice(struct html *html, const struct chart *chart,
                             const struct chart_list *list)
{
    form_choose_list(html, "list", list->lists, list->list_count, chart->asked.list);
}

/* --- changing ------------------------------------------------------------------------------------------ */

/* Takes the other marks off and puts this one on; NULL: none. */
static int set_mark(struct book *book, const char *name, const char *mark, int64_t now,
                    struct error *error)
{
    struct wishes wishes;
    struct chart_list marks = {0};
    wishes_init(&wishes);
    int code = read_marks(&wishes, book, name, &marks, error);
    for (size_t i = 0; code == ERROR_NONE && i < CHART_MARKS; i++) {
        bool wanted = mark != NULL && strcmp(mark, chart_marks[i]) == 0;
        if (wanted && !marks.marked[i])
            code = list_store_add(book, chart_marks[i], name, now, error);
        else if (!wanted && marks.marked[i])
            code = list_store_remove(book, chart_marks[i], name, now, error);
    }
    return code;
}

static int check_mark(const char *mark, struct error *error)
{
    for (size_t i = 0; mark != NULL && i < CHART_MARKS; i++)
        if (strcmp(mark, chart_marks[i]) == 0)
            return ERROR_NONE;
    return mark == NULL
               ? ERROR_NONE
               : error_set(error, ERROR_USAGE,
                           "mark: found '%.40s'; watch, later, no or nothing is allowed", mark);
}

int change_mark(struct page *page, struct exchange *exchange, struct error *error)
{
    struct book *book = NULL;
    const char *name = exchange_filled(exchange, "instrument");
    const char *mark = exchange_filled(exchange, "mark");
    int code = check_mark(mark, error);
    if (code == ERROR_NONE && name == NULL)
        code = error_set(error, ERROR_USAGE, "no instrument is named to be marked");
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "a mark", error);
    if (code == ERROR_NONE) {
        code = set_mark(book, name, mark, page->options.clock(), error);
        if (code == ERROR_NONE)
            code = book_commit(book, error);
        else
            book_rollback(book);
    }
    code = book_done(book, code, error);
    return code == ERROR_NONE ? chart_go_back(exchange, no_fields, error) : code;
}
