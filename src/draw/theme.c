#include "draw/theme.h"

#include <string.h>

static const char *const names[] = {"light", "dark", "print", "auto"};

struct colours {
    const char *mark;
    const char *letter;
};

static const struct colours table[][INK_COUNT] =
    {
        [THEME_LIGHT] =
            {
                [INK_MAIN] = {"#1c1b19", "#1c1b19"},
                [INK_SOFT] = {"#6b6963", "#5d5b56"},
                [INK_FAINT] = {"#ddd8cb", "#76736d"},
                [INK_WASH] = {"#f3efe4", "#76736d"},
                [INK_PAPER] = {"#fdfbf4", "#fdfbf4"},
                [INK_ACCENT] = {"#d55e00", "#a84800"},
                [INK_BLUE] = {"#0072b2", "#00609a"},
                [INK_GREEN] = {"#009e73", "#00714f"},
                [INK_PURPLE] = {"#cc79a7", "#9c3f74"},
            },
        [THEME_DARK] =
            {
                [INK_MAIN] = {"#ebe8e1", "#ebe8e1"},
                [INK_SOFT] = {"#a5a29b", "#b8b4ab"},
                [INK_FAINT] = {"#403d36", "#8d8a84"},
                [INK_WASH] = {"#292722", "#8d8a84"},
                [INK_PAPER] = {"#1b1a17", "#1b1a17"},
                [INK_ACCENT] = {"#e69f00", "#f0ac1a"},
                [INK_BLUE] = {"#56b4e9", "#6dbfee"},
                [INK_GREEN] = {"#1fb58b", "#35c79d"},
                [INK_PURPLE] = {"#cc79a7", "#dd93bb"},
            },
        [THEME_PRINT] =
            {
                [INK_MAIN] = {"#000000", "#000000"},
                [INK_SOFT] = {"#555555", "#333333"},
                [INK_FAINT] = {"#d9d9d9", "#555555"},
                [INK_WASH] = {"#eeeeee", "#555555"},
                [INK_PAPER] = {"#ffffff", "#ffffff"},
                [INK_ACCENT] = {"#000000", "#000000"},
                [INK_BLUE] = {"#3a3a3a", "#3a3a3a"},
                [INK_GREEN] = {"#6e6e6e", "#4a4a4a"},
                [INK_PURPLE] = {"#8c8c8c", "#555555"},
            },
};

static const char *const ink_names[INK_COUNT] = {
    [INK_MAIN] = "main", [INK_SOFT] = "soft",   [INK_FAINT] = "faint",
    [INK_WASH] = "wash", [INK_PAPER] = "paper", [INK_ACCENT] = "accent",
    [INK_BLUE] = "blue", [INK_GREEN] = "green", [INK_PURPLE] = "purple",
};

static const char *const fill_classes[INK_COUNT] = {"rl-fill-main",  "rl-fill-soft",
                                                    "rl-fill-faint", "rl-fill-wash",
                                                    "rl-fill-paper", "rl-fill-accent",
                                                    "rl-fill-blue",  "rl-fill-green",
                                                    "rl-fill-purple"};
static const char *const line_classes[INK_COUNT] = {"rl-line-main",  "rl-line-soft",
                                                    "rl-line-faint", "rl-line-wash",
                                                    "rl-line-paper", "rl-line-accent",
                                                    "rl-line-blue",  "rl-line-green",
                                                    "rl-line-purple"};
static const char *const word_classes[INK_COUNT] = {"rl-word-main",  "rl-word-soft",
                                                    "rl-word-faint", "rl-word-wash",
                                                    "rl-word-paper", "rl-word-accent",
                                                    "rl-word-blue",  "rl-word-green",
                                                    "rl-word-purple"};

static enum theme colours_of(enum theme theme)
{
    return theme == THEME_AUTO ? THEME_LIGHT : theme;
}

const char *theme_colour(enum theme theme, enum ink ink)
{
    return table[colours_of(theme)][ink].mark;
}

const char *theme_letter_colour(enum theme theme, enum ink ink)
{
    return table[colours_of(theme)][ink].letter;
}

const char *theme_name(enum theme theme)
{
    return (size_t)theme < sizeof names / sizeof *names ? names[theme] : NULL;
}

const char *ink_fill_class(enum ink ink)
{
    return fill_classes[ink];
}

const char *ink_line_class(enum ink ink)
{
    return line_classes[ink];
}

const char *ink_word_class(enum ink ink)
{
    return word_classes[ink];
}

static void append_rules(struct text *css, const char *scope, enum theme theme)
{
    text_append_format(css,
                       ".rl-%s .rl-halo{stroke:%s;stroke-width:3px;stroke-linejoin:round;"
                       "paint-order:stroke}\n",
                       scope, theme_colour(theme, INK_PAPER));
    for (int i = 0; i < INK_COUNT; i++) {
        const char *mark = theme_colour(theme, (enum ink)i);
        text_append_format(css, ".rl-%s .rl-fill-%s{fill:%s}", scope, ink_names[i], mark);
        text_append_format(css, ".rl-%s .rl-line-%s{stroke:%s}", scope, ink_names[i], mark);
        text_append_format(css, ".rl-%s .rl-word-%s{fill:%s}\n", scope, ink_names[i],
                           theme_letter_colour(theme, (enum ink)i));
    }
}

void theme_stylesheet(struct text *css, enum theme theme)
{
    append_rules(css, theme_name(theme), theme);
    if (theme != THEME_AUTO)
        return;
    text_append(css, "@media screen and (prefers-color-scheme:dark){\n");
    append_rules(css, theme_name(theme), THEME_DARK);
    text_append(css, "}\n@media print{\n");
    append_rules(css, theme_name(theme), THEME_PRINT);
    text_append(css, "}\n");
}
