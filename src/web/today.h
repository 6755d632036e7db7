/* What Today says, found once and kept until the book moves on. Private to the
 * layer.
 *
 * A small book is looked at while the person waits. Of a large one what was found
 * last is painted at once, with the moment that it is of, and found anew by a worker
 * of its own, so that it waits for no study. */
#ifndef RUSHLIGHT_WEB_TODAY_H
#define RUSHLIGHT_WEB_TODAY_H

#include "web/page_parts.h"
#include "work/work.h"

enum {
    TODAY_AT_ONCE = 2000, /* so many instruments times setups are no work to wait for */
    TODAY_KEPT = 16       /* answers, each of a list, some setups and a date */
};

struct today_answer {
    char title[CALENDAR_TEXT_SIZE];
    struct text says; /* the sentence of the sheet */
    struct text body; /* what stands below it, as markup */
    int64_t made;     /* the clock when it was begun: no bar that came later is in it */
    int64_t until;    /* from this second on the clock says something else of its age */
};

/* What is asked for: the fields list, setup and as-of of a request, apart from it. */
struct today_wish {
    struct exchange fields;
    size_t setups;       /* that are looked at, at most */
    int64_t instruments; /* likewise; 0 where the list is not there */
};

int today_wish_read(struct today_wish *wish, const struct page *page,
                    const struct exchange *exchange, struct error *error);
void today_wish_free(struct today_wish *wish);

/* Looks at everything that is asked for. `voice` is told the share done and may stop
 * it (its other parts are not used). Any thread; free with today_answer_free, also
 * after an error. */
int today_find(struct today_answer *answer, struct page *page, const struct today_wish *wish,
               const struct voice *voice, struct error *error);
void today_answer_free(struct today_answer *answer);

/* How the keeping of an answer stands. */
struct today_state {
    bool there;  /* an answer was found */
    bool fresh;  /* and it is of the book as it is now */
    bool failed; /* it could not be found anew: `error` */
    double done; /* of what is under way, 0 to 1 */
    struct error error;
};

/* The answer kept for the wish, which nobody changes until today_let_go; where it is
 * not fresh it is found now (small), or by the worker: begun here unless it is under
 * way or has failed, and `again` is false. ERROR_* only where nothing can be said. */
int today_hold(struct page *page, const struct today_wish *wish, bool again,
               const struct today_answer **answer, struct today_state *state, struct error *error);
void today_let_go(struct page *page);

#endif
