/* The sheet of all cases of a setup: its pictures with their words, the table behind
 * them, and what is said of it, once for every door. */
#ifndef RUSHLIGHT_ANSWER_WALL_PICTURES_H
#define RUSHLIGHT_ANSWER_WALL_PICTURES_H

#include "document/table.h"
#include "draw/picture.h"
#include "work/case_wall.h"

/* Cases first .. first+count-1 as one picture, the caller's to free. ERROR_MACHINE
 * only. */
int wall_picture(const struct wall *wall, const struct setup *setup, const struct wall_wish *wish,
                 size_t first, size_t count, struct typesetter *typesetter, const char *prefix,
                 struct picture **picture, struct error *error);
/* The average path of all cases, where there is one. */
int wall_path_picture(const struct wall *wall, struct typesetter *typesetter, const char *prefix,
                      struct picture **picture, struct error *error);

/* The cases on the sheet in its order, for those who cannot see it. The table is
 * initialised here, the caller's to free. */
void wall_table(struct table *table, const struct wall *wall);

/* How many cases there are, where they stand now (`place`, such as a file), what the
 * average path came to, and what was set aside and why, in the words of the door
 * (wall->held.why with its advice); whole lines. */
void wall_words(struct text *text, const struct wall *wall, const char *place, const char *why);

#endif
