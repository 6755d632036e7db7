/* Manual pages and completions, made from the rows of commands and options:
 *   pages man            the page of the program
 *   pages man COMMAND    that of a command
 *   pages bash|zsh|fish  the completion for that shell
 *   pages commands       the names of all commands
 * on stdout. It is used while the program is built, and not installed. */
#include "base/text.h"
#include "cli/command.h"
#include "cli/help.h"
#include "version.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static const char caution
    [] = "Arithmetic about the past, not advice: trading loses money; rules differ from country to "
         "country; ask a licensed adviser.";

/* --- manual pages ------------------------------------------------------------------- */

/* A text as roff takes it: no line begins with a dot or a quote, a hyphen is a
 * minus sign so that options can be copied. */
static void put_roff(const char *text)
{
    bool begins = true;
    for (; *text != '\0'; text++) {
        if (begins && (*text == '.' || *text == '\''))
            fputs("\\&", stdout);
        if (*text == '-' || *text == '\\')
            printf(*text == '-' ? "\\-" : "\\e");
        else
            putchar(*text);
        begins = *text == '\n';
    }
}

static void put_title(const char *command)
{
    char name[64];
    snprintf(name, sizeof name, "RUSHLIGHT%s%s", command[0] != '\0' ? "-" : "", command);
    for (char *c = name; *c != '\0'; c++)
        if (*c >= 'a' && *c <= 'z')
            *c = (char)(*c - 'a' + 'A');
    printf(".TH \"%s\" 1 \"\" \"rushlight %s\" \"rushlight\"\n", name, RUSHLIGHT_VERSION);
}

static void put_row(const struct option_row *row)
{
    struct text value;
    struct text words;
    text_init(&value);
    text_init(&words);
    option_value_words(row, &value);
    option_help_words(row, &words);
    printf(".TP\n%s", option_has_letter(row) ? "\\fB\\-o\\fR, \\fB\\-\\-" : "\\fB\\-\\-");
    put_roff(row->name);
    fputs("\\fR", stdout);
    if (value.length > 0) {
        fputs(" \\fI", stdout);
        put_roff(value.bytes);
        fputs("\\fR", stdout);
    }
    putchar('\n');
    put_roff(words.bytes);
    putchar('\n');
    text_free(&value);
    text_free(&words);
}

static void put_group(const struct option_group *group)
{
    printf(".SS \"%s\"\n", group->heading);
    for (const struct option_row *row = group->rows; row->name != NULL; row++)
        put_row(row);
}

static void put_program_page(void)
{
    put_title("");
    puts(".SH NAME\nrushlight \\- one\\-candle setups found without hindsight\n.SH SYNOPSIS\n"
         ".B rushlight\n.I COMMAND\n[\\fIARGUMENT\\fR\\&...] [\\fIOPTION\\fR\\&...]\n"
         ".SH DESCRIPTION");
    put_roff(help_purpose);
    puts("\n.SH COMMANDS");
    for (const struct command *c = commands; c->name != NULL; c++) {
        printf(".TP\n\\fB%s\\fR\n", c->name);
        printf("%.*s\n", (int)strcspn(c->help, "\n"), c->help);
    }
    puts(".SH OPTIONS");
    put_group(&option_globals);
    puts(".SH \"EXIT STATUS\"");
    put_roff(help_status);
    puts("\n.SH \"SEE ALSO\"");
    for (const struct command *c = commands; c->name != NULL; c++)
        printf(".BR rushlight\\-%s (1)%s\n", c->name, c[1].name != NULL ? "," : "");
}

static void put_command_page(const struct command *command)
{
    size_t first = strcspn(command->help, "\n");
    put_title(command->name);
    printf(".SH NAME\nrushlight\\-%s \\- %.*s\n.SH SYNOPSIS\n.B rushlight %s\n", command->name,
           (int)first, command->help, command->name);
    if (command->arguments[0] != '\0') {
        fputs(".I ", stdout);
        put_roff(command->arguments);
        putchar('\n');
    }
    puts("[\\fIOPTION\\fR\\&...]\n.SH DESCRIPTION");
    put_roff(command->help);
    puts("\n.SH OPTIONS");
    for (size_t i = 0; i < OPTION_GROUPS && command->options[i] != NULL; i++)
        put_group(command->options[i]);
    put_group(&option_globals);
    printf(".SH CAUTION\n%s\n.SH \"SEE ALSO\"\n.BR rushlight (1)\n", caution);
}

/* --- completion --------------------------------------------------------------------- */

static bool takes_path(const struct option_row *row)
{
    return row->kind == OPTION_FILE || row->kind == OPTION_FOLDER || row->kind == OPTION_SETUP;
}

/* Calls `put` with each option of the command and those of all; without a
 * command only those. */
static void each_option(const struct command *command,
                        void (*put)(const struct command *, const struct option_row *))
{
    const struct option_row *row = NULL;
    for (size_t i = 0; command != NULL && (row = option_at(command->options, i)) != NULL; i++)
        put(command, row);
    for (row = option_globals.rows; command == NULL && row->name != NULL; row++)
        put(NULL, row);
}

static void put_bash_value(const struct command *command, const struct option_row *row)
{
    if (row->kind == OPTION_FLAG)
        return;
    printf("    %s:--%s%s)", command != NULL ? command->name : "*", row->name,
           option_has_letter(row) ? " | *:-o" : "");
    if (row->kind == OPTION_CHOICE) {
        fputs(" words='", stdout);
        for (size_t i = 0; row->choices[i] != NULL; i++)
            printf("%s%s", i > 0 ? " " : "", row->choices[i]);
        putchar('\'');
    } else if (row->kind == OPTION_FOLDER) {
        fputs(" folders=1", stdout);
    } else if (row->kind == OPTION_SETUP) {
        fputs(" words=$(_rushlight_setups) files=1", stdout);
    } else if (row->kind == OPTION_FILE) {
        fputs(" files=1", stdout);
    }
    puts(" ;;");
}

static void put_bash_name(const struct command *command, const struct option_row *row)
{
    (void)command;
    printf(" --%s", row->name);
}

static void put_bash(void)
{
    puts(
        "# bash completion for rushlight; made from its own tables.\n"
        "_rushlight_setups()\n{\n"
        "    local folder file\n"
        "    folder=$(dirname \"$(readlink -f \"$(command -v rushlight)\")\")/../share/rushlight/setups\n"
        "    for file in setups/*.yaml \"$folder\"/*.yaml; do\n"
        "        [ -e \"$file\" ] && file=${file##*/} && echo \"${file%.yaml}\"\n    done\n}\n\n"
        "_rushlight()\n{\n"
        "    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}\n"
        "    local command=${COMP_WORDS[1]} words= files= folders=\n    COMPREPLY=()\n"
        "    if [ \"$COMP_CWORD\" -eq 1 ]; then");
    fputs("        words='", stdout);
    for (const struct command *c = commands; c->name != NULL; c++)
        printf("%s ", c->name);
    puts("--help --version'\n        COMPREPLY=($(compgen -W \"$words\" -- \"$current\"))\n"
         "        return\n    fi\n    case $command:$before in");
    for (const struct command *c = commands; c->name != NULL; c++)
        each_option(c, put_bash_value);
    each_option(NULL, put_bash_value);
    puts("    *)\n        files=1\n        case $command in");
    for (const struct command *c = commands; c->name != NULL; c++) {
        printf("        %s) words='--help", c->name);
        each_option(c, put_bash_name);
        each_option(NULL, put_bash_name);
        puts("' ;;");
    }
    puts("        esac\n        case $current in -*) files= ;; *) words= ;; esac\n        ;;\n"
         "    esac\n    COMPREPLY=($(compgen -W \"$words\" -- \"$current\"))\n"
         "    [ -z \"$files\" ] || COMPREPLY+=($(compgen -f -- \"$current\"))\n"
         "    [ -z \"$folders\" ] || COMPREPLY+=($(compgen -d -- \"$current\"))\n}\n"
         "complete -o filenames -F _rushlight rushlight");
}

/* A text in single quotes of zsh, whose lists give brackets and colons a meaning. */
static void put_zsh_text(const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '\'')
            fputs("'\\''", stdout);
        else if (*text == '[' || *text == ']' || *text == ':' || *text == '\\')
            printf("\\%c", *text);
        else
            putchar(*text);
    }
}

static void put_zsh_row(const struct command *command, const struct option_row *row)
{
    (void)command;
    fputs(" \\\n            ", stdout);
    if (option_has_letter(row))
        printf("'(-o --%s)'{-o+,--%s=}'[", row->name, row->name);
    else
        printf("'--%s%s[", row->name, row->kind == OPTION_FLAG ? "" : "=");
    put_zsh_text(row->help);
    putchar(']');
    if (row->kind == OPTION_CHOICE) {
        printf(":%s:(", row->name);
        for (size_t i = 0; row->choices[i] != NULL; i++)
            printf("%s%s", i > 0 ? " " : "", row->choices[i]);
        putchar(')');
    } else if (row->kind != OPTION_FLAG) {
        printf(":%s:%s", row->name,
               row->kind == OPTION_FOLDER ? "_files -/"
               : takes_path(row)          ? "_files"
                                          : "");
    }
    putchar('\'');
}

static void put_zsh(void)
{
    puts("#compdef rushlight\n# Made from the program's own tables.\n_rushlight() {\n"
         "    local -a names\n    names=(");
    for (const struct command *c = commands; c->name != NULL; c++) {
        printf("        '%s:", c->name);
        char line[400];
        snprintf(line, sizeof line, "%.*s", (int)strcspn(c->help, "\n"), c->help);
        put_zsh_text(line);
        puts("'");
    }
    puts(
        "    )\n    if (( CURRENT == 2 )); then\n        _describe command names\n        return\n"
        "    fi\n    local name=$words[2]\n    shift words\n    (( CURRENT-- ))\n    case $name in");
    for (const struct command *c = commands; c->name != NULL; c++) {
        printf("    %s)\n        _arguments", c->name);
        each_option(c, put_zsh_row);
        each_option(NULL, put_zsh_row);
        puts(" \\\n            '*:file:_files' ;;");
    }
    puts("    esac\n}\n_rushlight \"$@\"");
}

static void put_fish_text(const char *text, size_t length)
{
    putchar('\'');
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '\'' || text[i] == '\\')
            putchar('\\');
        putchar(text[i]);
    }
    putchar('\'');
}

static void put_fish_row(const struct command *command, const struct option_row *row)
{
    fputs("complete -c rushlight", stdout);
    if (command != NULL)
        printf(" -n '__fish_seen_subcommand_from %s'", command->name);
    printf(" -l %s%s", row->name, option_has_letter(row) ? " -s o" : "");
    if (row->kind != OPTION_FLAG)
        fputs(takes_path(row) ? " -r" : " -x", stdout);
    if (row->kind == OPTION_CHOICE) {
        fputs(" -a '", stdout);
        for (size_t i = 0; row->choices[i] != NULL; i++)
            printf("%s%s", i > 0 ? " " : "", row->choices[i]);
        putchar('\'');
    }
    fputs(" -d ", stdout);
    put_fish_text(row->help, strlen(row->help));
    putchar('\n');
}

static void put_fish(void)
{
    puts("# Made from the program's own tables.");
    for (const struct command *c = commands; c->name != NULL; c++) {
        printf("complete -c rushlight -n __fish_use_subcommand -f -a %s -d ", c->name);
        put_fish_text(c->help, strcspn(c->help, "\n"));
        putchar('\n');
        each_option(c, put_fish_row);
    }
    each_option(NULL, put_fish_row);
}

int main(int argc, char **argv)
{
    const char *what = argc > 1 ? argv[1] : "";
    const struct command *command = commands;
    while (argc > 2 && command->name != NULL && strcmp(command->name, argv[2]) != 0)
        command++;
    if (command->name == NULL)
        return 2;
    if (strcmp(what, "commands") == 0)
        for (; command->name != NULL; command++)
            puts(command->name);
    else if (strcmp(what, "man") == 0 && argc > 2)
        put_command_page(command);
    else if (strcmp(what, "man") == 0)
        put_program_page();
    else if (strcmp(what, "bash") == 0)
        put_bash();
    else if (strcmp(what, "zsh") == 0)
        put_zsh();
    else if (strcmp(what, "fish") == 0)
        put_fish();
    else
        return 2;
    return fflush(stdout) != 0 || ferror(stdout) ? 1 : 0;
}
