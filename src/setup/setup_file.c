#define _POSIX_C_SOURCE 200809L /* fdopen, fstat, open */
/* A setup out of a file, a text, or the file beside it that it mirrors. */
#include "base/array.h"
#include "setup/setup_parts.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Where a text comes from. */
struct origin {
    const char *name;
    bool beside; /* a file beside another, which mirrors it */
    bool kept;   /* in a book */
};

static int read_path(struct setup *setup, struct origin origin, struct setup_faults *faults,
                     struct error *error);

static int mirror_file(const struct source *source, const struct node *of, const char *file,
                       struct setup *setup)
{
    const char *slash = strrchr(source->name, '/');
    size_t folder = slash != NULL ? (size_t)(slash - source->name) + 1 : 0;
    struct setup_faults inner = {0};
    struct text path;
    text_init(&path);
    text_append_bytes(&path, source->name, folder);
    text_append(&path, file);
    int code = text_failed(&path) ? error_memory(source->error)
                                  : read_path(setup, (struct origin){path.bytes, true, false},
                                              &inner, source->error);
    /* Whoever asked for the file is told where it did. */
    struct error first = *source->error;
    if (code == ERROR_INPUT)
        value_fail_because(source, first.reason, of, "mirror_of", "%s", first.text);
    setup_faults_free(&inner);
    text_free(&path);
    return code;
}

/* `mirror_of: FILE`, beside this file; setup, title and family may be said. */
static int read_mirror_of(const struct source *source, const struct node *root,
                          const struct origin *origin, struct setup *setup)
{
    static const char *const known[] = {"mirror_of", "setup", "title", "family"};
    const struct node *of = node_get(root, "mirror_of");
    const char *file = NULL;
    int code = value_keys(source, root, "mirror_of", known, 4);
    code = worse_code(code, value_string(source, of, "mirror_of", &file));
    if (code == ERROR_NONE && origin->beside)
        code = value_fail(source, of, "mirror_of", "names a file that is itself a mirror_of");
    if (code != ERROR_NONE)
        return code;
    /* A setup from elsewhere must not read any file of the machine. */
    if (strchr(file, '/') != NULL)
        return value_fail(source, of, "mirror_of",
                          "found '%.80s'; a file beside this one, without a folder, is allowed",
                          file);
    code = mirror_file(source, of, file, setup);
    if (code == ERROR_NONE)
        code = setup_mirror(setup, source->error);
    return code == ERROR_NONE ? read_names(source, root, setup) : code;
}

static void set_defaults(struct setup *setup)
{
    *setup = (struct setup){.entry.valid = 1,
                            .entry.largest_gap_atr = NAN,
                            .entry.least_room_r = NAN,
                            .exit.break_even_at_r = NAN,
                            .least_mean_r = 0.2};
}

static int read_root(const struct source *source, const struct node *root,
                     const struct origin *origin, struct setup *setup)
{
    if (root->kind != NODE_MAP)
        return value_fail(source, root, "setup file",
                          "a map is needed; a setup begins with 'setup: NAME'");
    if (node_get(root, "mirror_of") != NULL)
        return read_mirror_of(source, root, origin, setup);
    int code = read_plain(source, root, setup);
    return code == ERROR_NONE && !source->kept ? find_contradictions(source, root, setup) : code;
}

/* The document is well formed; everything that is wrong with it as a setup is noted. */
static int read_tree(struct setup *setup, struct node *root, const struct origin *origin,
                     struct setup_faults *faults, struct error *error)
{
    struct source source = {origin->name, error, faults, origin->kept, false};
    set_defaults(setup);
    int code = bring_up_words(&source, root, origin->kept);
    if (code != ERROR_MACHINE)
        code = worse_code(code, read_root(&source, root, origin, setup));
    if (code != ERROR_NONE)
        setup_free(setup);
    setup_faults_settle(faults);
    if (faults->failed && code == ERROR_INPUT)
        return error_memory(error);
    if (code == ERROR_INPUT && faults->count > 0)
        *error = faults->list[0].error;
    return code;
}

static int read_document(struct setup *setup, struct origin origin, const char *bytes,
                         size_t length, struct setup_faults *faults, struct error *error)
{
    struct node root;
    int code = yaml_tree_read(&root, origin.name, bytes, length, error);
    /* Behind a fault of the form nothing can be read. */
    if (code == ERROR_INPUT)
        setup_faults_add(faults, 0, 0, error);
    if (code != ERROR_NONE)
        return code;
    code = read_tree(setup, &root, &origin, faults, error);
    yaml_tree_free(&root);
    return code;
}

int setup_check(struct setup *setup, const char *name, const char *bytes, size_t length,
                struct setup_faults *faults, struct error *error)
{
    return read_document(setup, (struct origin){.name = name}, bytes, length, faults, error);
}

int setup_read(struct setup *setup, const char *name, const char *bytes, size_t length,
               struct error *error)
{
    struct setup_faults faults = {0};
    int code = setup_check(setup, name, bytes, length, &faults, error);
    setup_faults_free(&faults);
    return code;
}

int setup_read_kept(struct setup *setup, const char *name, const char *text, struct error *error)
{
    struct setup_faults faults = {0};
    int code = read_document(setup, (struct origin){.name = name, .kept = true}, text, strlen(text),
                             &faults, error);
    setup_faults_free(&faults);
    return code;
}

/* What is open must be a file; beside another, no link to one elsewhere either. */
static int check_kind(FILE *file, const struct origin *origin, struct error *error)
{
    struct stat status;
    if (fstat(fileno(file), &status) != 0)
        return ERROR_NONE;
    if (S_ISDIR(status.st_mode))
        return error_set(error, ERROR_INPUT, "%s: is a directory; a setup file is needed",
                         origin->name);
    if (origin->beside && !S_ISREG(status.st_mode))
        return error_set(error, ERROR_INPUT, "%s: is no plain file; a setup file is needed",
                         origin->name);
    return ERROR_NONE;
}

/* Never waits for a pipe that stands where the file beside should. */
static FILE *open_file(const struct origin *origin)
{
    int flags = O_RDONLY | O_CLOEXEC | (origin->beside ? O_NOFOLLOW | O_NONBLOCK : 0);
    int number = open(origin->name, flags);
    FILE *file = number >= 0 ? fdopen(number, "rb") : NULL;
    if (number >= 0 && file == NULL)
        close(number);
    return file;
}

/* The whole of a small file. */
static int read_bytes(const struct origin *origin, char **bytes, size_t *length,
                      struct error *error)
{
    FILE *file = open_file(origin);
    if (file == NULL && origin->beside && errno == ELOOP)
        return error_set(error, ERROR_INPUT,
                         "%s: is a link; a plain file beside the setup is allowed", origin->name);
    if (file == NULL)
        return error_set(error, error_code_of(errno), "%s: cannot open the setup file: %s",
                         origin->name, strerror(errno));
    int code = check_kind(file, origin, error);
    *bytes = code == ERROR_NONE ? array_new(YAML_TREE_SIZE + 1, 1) : NULL;
    if (*bytes == NULL) {
        fclose(file);
        return code != ERROR_NONE ? code : error_memory(error);
    }
    *length = fread(*bytes, 1, YAML_TREE_SIZE + 1, file);
    int failed = ferror(file);
    fclose(file);
    if (!failed)
        return ERROR_NONE;
    free(*bytes);
    return error_set(error, ERROR_MACHINE, "%s: cannot read: %s", origin->name, strerror(errno));
}

static int read_path(struct setup *setup, struct origin origin, struct setup_faults *faults,
                     struct error *error)
{
    char *bytes = NULL;
    size_t length = 0;
    int code = read_bytes(&origin, &bytes, &length, error);
    if (code == ERROR_INPUT)
        setup_faults_add(faults, 0, 0, error);
    if (code != ERROR_NONE)
        return code;
    code = read_document(setup, origin, bytes, length, faults, error);
    free(bytes);
    return code;
}

int setup_check_file(struct setup *setup, const char *path, struct setup_faults *faults,
                     struct error *error)
{
    return read_path(setup, (struct origin){.name = path}, faults, error);
}

int setup_read_file(struct setup *setup, const char *path, struct error *error)
{
    struct setup_faults faults = {0};
    int code = setup_check_file(setup, path, &faults, error);
    setup_faults_free(&faults);
    return code;
}
