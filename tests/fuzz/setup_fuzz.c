/* Setup files: what is taken writes out to a file that reads the same, and so
 * does its mirror image; run on a small market and on that market upside down
 * the two give the same trades. */
#include "base/text.h"
#include "engine_run.h"
#include "random_market.h"
#include "setup/setup.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* No such folder: mirror_of finds nothing beside it. */
static const char name[] = "no-such-folder/fuzz.yaml";

static void write_setup(struct text *text, const struct setup *setup)
{
    text_init(text);
    setup_write(setup, text);
    if (text_failed(text))
        abort();
}

/* Reads what was written; the setup has to write the same again. */
static void check_written(const struct text *written)
{
    struct setup setup;
    struct error error = {0};
    struct text again;
    if (setup_read(&setup, name, written->bytes, written->length, &error) != ERROR_NONE)
        abort();
    write_setup(&again, &setup);
    if (strcmp(again.bytes, written->bytes) != 0)
        abort();
    text_free(&again);
    setup_free(&setup);
}

static void mirror(struct setup *setup)
{
    struct error error = {0};
    if (setup_mirror(setup, &error) != ERROR_NONE)
        abort();
}

/* The market and its mirror, made once. */
static struct random_market market;
static struct bars mirrored_bars;
static struct bars mirrored_finer;

static void make_market(void)
{
    struct random_stream stream;
    struct error error;
    if (market.bars.count > 0)
        return;
    /* The first task whose market has finer bars. */
    for (uint64_t task = 0; market.finer.count == 0; task++) {
        random_market_free(&market);
        random_start(&stream, 1, task);
        if (!random_market_init(&market, &stream, 60))
            abort();
    }
    if (bars_mirror(&mirrored_bars, &market.bars, &error) != ERROR_NONE ||
        bars_mirror(&mirrored_finer, &market.finer, &error) != ERROR_NONE)
        abort();
}

/* The setup is the run's, and is freed with it. False where the setup asks for
 * bars that cannot be made. */
static bool run_setup(struct engine_run *run, bool upside_down)
{
    struct error error = {0};
    struct trade_terms terms = {.tick = market.tick,
                                .point_value = 1,
                                .finer = upside_down ? &mirrored_finer : &market.finer};
    int code = engine_run_trades(run, upside_down ? &mirrored_bars : &market.bars, &terms, NULL,
                                 &error);
    if (code == ERROR_MACHINE)
        abort();
    return code == ERROR_NONE;
}

static void check_trades(const struct trades *trades)
{
    for (size_t i = 0; i < trades->count; i++) {
        const struct trade *trade = &trades->list[i];
        if (trade_filled(trade->reason) &&
            (!(trade->risk > 0) || !(trade->mae_r <= 0) || !(trade->mfe_r >= 0) ||
             trade->exit_bar < trade->entry_bar || trade->entry_bar < trade->signal.at))
            abort();
    }
}

static void check_runs(const uint8_t *data, size_t size)
{
    struct engine_run run = {.sheet = NULL};
    struct engine_run other = {.sheet = NULL};
    struct error error = {0};
    if (setup_read(&run.setup, name, (const char *)data, size, &error) != ERROR_NONE ||
        setup_read(&other.setup, name, (const char *)data, size, &error) != ERROR_NONE)
        abort();
    mirror(&other.setup);
    make_market();
    bool ran = run_setup(&run, false);
    if (ran != run_setup(&other, true))
        abort();
    if (!ran)
        return;
    check_trades(&run.trades);
    if (engine_runs_differ(&run, &other, -1) >= 0)
        abort();
    engine_run_close(&run);
    engine_run_close(&other);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct setup setup;
    struct error error = {0};
    if (setup_read(&setup, name, (const char *)data, size, &error) != ERROR_NONE) {
        if (error.text[0] == '\0')
            abort();
        return 0;
    }
    struct text written;
    struct text mirrored;
    write_setup(&written, &setup);
    check_written(&written);
    mirror(&setup);
    write_setup(&mirrored, &setup);
    check_written(&mirrored);
    setup_free(&setup);
    text_free(&mirrored);
    text_free(&written);
    check_runs(data, size);
    return 0;
}
