/* The job: a study run by the same work as the command line's, its answer drawn
 * and kept before anybody is told that it is done. */
#include "web/evidence_parts.h"

#include "answer/answer.h"
#include "base/array.h"
#include "document/document_write.h"
#include "document/markup.h"
#include "draw/chart.h"
#include "draw/typesetter.h"
#include "work/study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WIDE = 860, NARROW = 354, FIGURE_MARGIN = 12 };

void evidence_wish_free(void *given)
{
    struct evidence_wish *wish = given;
    if (wish == NULL)
        return;
    for (size_t i = 0; i < wish->setup_count; i++)
        setup_free(&wish->setups[i]);
    free(wish->name);
    free(wish->list);
    free(wish->numbers);
    free(wish);
}

/* --- the answer as it is kept -------------------------------------------------------------- */

static int draw_at(struct typesetter *typesetter, const struct document_figure *figure,
                   size_t number, bool wide, struct text *markup, struct error *error)
{
    char prefix[32];
    double width = wide ? WIDE : NARROW;
    double height = figure->height + 2 * FIGURE_MARGIN;
    snprintf(prefix, sizeof prefix, "%c%zu", wide ? 'w' : 'n', number);
    struct picture *picture = picture_new(typesetter, width, height, prefix);
    if (picture == NULL)
        return error_memory(error);
    picture_describe(picture, figure->title, figure->description);
    const struct chart chart = {.picture = picture,
                                .box = {0, FIGURE_MARGIN, width, height - FIGURE_MARGIN}};
    figure->draw(&chart, figure->data);
    text_append(markup, wide ? "<div class=\"only-wide\">" : "<div class=\"only-narrow\">");
    int code = picture_write_bare(picture, THEME_AUTO, &(struct picture_form){.named = true},
                                  markup, error);
    text_append(markup, "</div>");
    picture_free(picture);
    return code;
}

/* Drawn for a window and for a phone, of which one is shown. */
static int draw_figure(void *context, const struct document_figure *figure, size_t number,
                       struct text *markup, struct error *error)
{
    int code = draw_at(context, figure, number, true, markup, error);
    return code == ERROR_NONE ? draw_at(context, figure, number, false, markup, error) : code;
}

int evidence_write_document(struct html *html, const struct document *document, struct error *error)
{
    struct document untitled = *document;
    struct typesetter *typesetter = NULL;
    untitled.title = NULL;
    int code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = document_write_html(html, &untitled, draw_figure, typesetter, error);
    typesetter_free(typesetter);
    return code;
}

/* What the works say while they run. */
struct said {
    struct text lines;
    struct job_run *run;
};

static void take_aside(void *context, const struct error *reason)
{
    struct said *said = context;
    struct error advised = *reason;
    page_advise(&advised);
    text_append_format(&said->lines, "Not looked at: %s. ", advised.text);
}

static void take_notice(void *context, enum notice_kind kind, const char *sentence)
{
    struct said *said = context;
    (void)kind;
    text_append_format(&said->lines, "%s. ", sentence);
}

static void take_progress(void *context, double done)
{
    struct said *said = context;
    said->run->progress(said->run->context, done);
}

static enum block_kind kind_at(const struct document *document, size_t index)
{
    return index < document->count ? document->blocks[index]->kind : BLOCK_FIGURE;
}

/* What it comes to, and the answer, or the opening of what has none. */
static size_t first_blocks(const struct document *document)
{
    size_t count = kind_at(document, 0) == BLOCK_HEADLINE ? 1 : 0;
    enum block_kind said = kind_at(document, count);
    while ((said == BLOCK_ANSWER || said == BLOCK_OPENING) && kind_at(document, count) == said)
        count++;
    return count;
}

static int write_body(struct text *body, const struct document *document, const struct said *said,
                      struct error *error)
{
    struct document below = *document;
    struct html html;
    below.blocks += first_blocks(document);
    below.count -= first_blocks(document);
    html_init(&html, body);
    if (said->lines.length > 0)
        html_element_class(&html, "p", "small", said->lines.bytes);
    return evidence_write_document(&html, &below, error);
}

/* What is said first stands apart from what is below it. */
static void take_answer(struct text *opening, const struct document *document)
{
    for (size_t i = 0; i < first_blocks(document); i++) {
        text_append(opening, document->blocks[i]->words);
        text_append(opening, kind_at(document, i) == BLOCK_HEADLINE ? "\n\n" : "\n");
    }
}

/* --- running it -------------------------------------------------------------------------------- */

/* All that is held while it runs. */
struct running {
    struct page *page;
    struct evidence_wish *wish;
    struct work *work;
    struct trial trial;
    struct market market;
    struct study_options options;
    struct said said;
    struct kept_answer answer;
    struct text opening;
    struct text body;
};

void evidence_hash_setup(char hash[HASH_TEXT_SIZE], const struct setup *setup)
{
    struct text text;
    text_init(&text);
    setup_write(setup, &text);
    hash_text(hash, text.bytes, text.length);
    text_free(&text);
}

static void note_estimate(struct kept_answer *answer, const struct estimate *mean, size_t closed)
{
    answer->trades = (int64_t)closed;
    answer->mean_r = mean->value;
    answer->low = mean->low;
    answer->high = mean->high;
}

static int run_study(struct running *running, struct error *error)
{
    struct study study = {0};
    struct study_trials counted = {0};
    struct document document;
    const struct setup *setup = &running->wish->setups[0];
    document_init(&document);
    int code = study_market(running->work, &running->trial, setup, &running->market,
                            &running->options, &study, &counted, error);
    if (code == ERROR_NONE) {
        note_estimate(&running->answer, &study.mean_r, study.closed);
        answer_study(&document, &study, setup, &counted);
        take_answer(&running->opening, &document);
        code = write_body(&running->body, &document, &running->said, error);
    }
    document_clear(&document);
    study_free(&study);
    return code;
}

static int run_comparison(struct running *running, struct error *error)
{
    struct setup_comparison comparison = {0};
    struct document document;
    const struct setup *const setups[2] = {&running->wish->setups[0], &running->wish->setups[1]};
    document_init(&document);
    int code = compare_on_market(running->work, &running->trial, setups, &running->market,
                                 &running->options, &comparison, error);
    if (code == ERROR_NONE) {
        note_estimate(&running->answer, &comparison.own_mean[0], comparison.filled[0]);
        answer_comparison(&document, &comparison);
        take_answer(&running->opening, &document);
        code = write_body(&running->body, &document, &running->said, error);
    }
    document_clear(&document);
    comparison_free(&comparison);
    return code;
}

/* `words` is cut up. */
static void read_numbers(char *words, struct sweep_wish *wish)
{
    char *comma = strchr(words, ',');
    if (strcmp(words, "all") == 0)
        return;
    wish->names[wish->count++] = words;
    if (comma == NULL)
        return;
    *comma = '\0';
    wish->names[wish->count++] = comma + 1;
}

static int run_sensitivity(struct running *running, struct error *error)
{
    struct sensitivity *list = calloc(NUMBER_LIMIT, sizeof *list);
    char *numbers = string_copy(running->wish->numbers);
    struct sweep_wish wish = {.count = 0};
    struct document document;
    size_t done = 0;
    document_init(&document);
    if (numbers != NULL)
        read_numbers(numbers, &wish);
    int code = list == NULL || numbers == NULL
                   ? error_memory(error)
                   : sweep_on_market(running->work, &running->trial, &running->wish->setups[0],
                                     &running->market, &wish, &running->options, list, &done,
                                     error);
    if (code == ERROR_NONE) {
        running->answer.mean_r = running->answer.low = running->answer.high = NAN;
        answer_sensitivity(&document, running->wish->setups[0].name, list, done);
        take_answer(&running->opening, &document);
        code = write_body(&running->body, &document, &running->said, error);
    }
    document_clear(&document);
    for (size_t i = 0; i < done; i++)
        sensitivity_free(&list[i]);
    free(list);
    free(numbers);
    return code;
}

/* A frozen setup is read with the ledger's own book. */
static int read_frozen(struct running *running, int64_t *since, struct error *error)
{
    *since = INT64_MIN;
    if (running->wish->kind != ANSWER_FORWARD)
        return ERROR_NONE;
    int code = frozen_setup(&running->trial, running->wish->name, &running->wish->setups[0], since,
                            error);
    running->wish->setup_count = code == ERROR_NONE ? 1 : 0;
    return code;
}

static int run_wish(struct running *running, struct error *error)
{
    int64_t since = INT64_MIN;
    int code = trial_open(running->work, &running->trial, error);
    if (code == ERROR_NONE)
        code = read_frozen(running, &since, error);
    if (code == ERROR_NONE)
        code = market_open(running->work, &running->wish->setups[0], since, &running->market,
                           error);
    if (code == ERROR_NONE)
        code = hash_series(running->answer.data_hash, running->market.series, running->market.count,
                           error);
    if (code != ERROR_NONE)
        return code;
    evidence_hash_setup(running->answer.setup_hash, &running->wish->setups[0]);
    if (running->wish->kind == ANSWER_COMPARISON) {
        evidence_hash_setup(running->answer.against_hash, &running->wish->setups[1]);
        return run_comparison(running, error);
    }
    return running->wish->kind == ANSWER_SENSITIVITY ? run_sensitivity(running, error)
                                                     : run_study(running, error);
}

/* --- keeping it ------------------------------------------------------------------------------------ */

static int keep(struct running *running, int64_t *id, struct error *error)
{
    struct kept_answer *answer = &running->answer;
    struct evidence_wish *wish = running->wish;
    struct book *book = running->trial.book;
    char nothing[] = "";
    answer->made = running->page->options.clock();
    answer->kind = wish->kind;
    answer->setup = wish->name;
    answer->against = wish->kind == ANSWER_COMPARISON ? wish->setups[1].name : nothing;
    answer->list = wish->list != NULL ? wish->list : nothing;
    answer->until = wish->until;
    answer->seed = (int64_t)running->page->options.seed;
    answer->resamples = (int64_t)wish->resamples;
    answer->numbers = wish->numbers != NULL ? wish->numbers : nothing;
    answer->markets = (int64_t)wish->markets;
    answer->next = (int64_t)wish->next;
    answer->opening = running->opening.bytes;
    answer->body = running->body.bytes;
    if (text_failed(&running->opening) || text_failed(&running->body))
        return error_memory(error);
    if (!markup_is_drawn(answer->body))
        return error_set(error, ERROR_MACHINE, "the answer was drawn with what no answer is");
    int code = book_begin(book, "a finished answer", error);
    if (code == ERROR_NONE)
        code = answer_store_add(book, answer, id, error);
    if (code == ERROR_NONE)
        code = book_commit(book, error);
    if (code != ERROR_NONE)
        book_rollback(book);
    return code;
}

/* A core is left to whoever looks at other sheets meanwhile. */
static int threads_of_job(const struct page *page)
{
    return page->options.threads > 1 ? page->options.threads - 1 : 1;
}

void evidence_wishes(struct wishes *wishes, const struct page *page, const char *list,
                     int64_t until)
{
    wishes_init(wishes);
    wishes->book = page->options.book;
    wishes->names_only = true;
    wishes->threads = threads_of_job(page);
    wishes->seed = page->options.seed;
    wishes->now = page->options.clock();
    wishes->list = list;
    wishes->everything = list == NULL;
    if (until < INT64_MAX)
        wishes->as_of = day_of_time(until) * SECONDS_PER_DAY;
}

static int open_work(struct running *running, const struct job_run *run, struct error *error)
{
    struct wishes wishes;
    const struct voice voice = {.notice = take_notice,
                                .progress = take_progress,
                                .aside = take_aside,
                                .context = &running->said,
                                .stop = run->stop};
    evidence_wishes(&wishes, running->page, running->wish->list, running->wish->until);
    return work_open(&running->work, &wishes, &voice, error);
}

int evidence_run(void *page, struct job_run *run, struct error *error)
{
    struct evidence_wish *wish = run->wish;
    struct running running = {.page = page, .wish = wish, .said = {.run = run}};
    running.options = (struct study_options){.resamples = wish->resamples,
                                             .resampled_markets = wish->markets,
                                             .next_trades = wish->next,
                                             .risk = 0.01};
    text_init(&running.said.lines);
    text_init(&running.opening);
    text_init(&running.body);
    int code = open_work(&running, run, error);
    if (code == ERROR_NONE)
        code = run_wish(&running, error);
    if (code == ERROR_NONE)
        code = keep(&running, &run->answer, error);
    market_close(&running.market);
    code = work_close(running.work, code, error);
    text_free(&running.said.lines);
    text_free(&running.opening);
    text_free(&running.body);
    return code;
}
