/* A file that is there whole or not at all, on systems that can do less than the
 * one the tests run on: open, access and renameat2 are made to fail by the
 * linker's --wrap with the errors that open(2) and rename(2) of the Linux manual
 * pages name for a file system without files without a name, without /proc, and
 * without flags of a rename. */
#define _GNU_SOURCE /* O_TMPFILE, mkdtemp */
#include "base/new_file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

/* What fails, and with which error; 0: nothing. */
static int nameless_fails;
static int place_fails;
static int rename_fails;

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...);
int __real_access(const char *path, int mode);
int __wrap_access(const char *path, int mode);
int __real_renameat2(int from_folder, const char *from, int to_folder, const char *to,
                     unsigned flags);
int __wrap_renameat2(int from_folder, const char *from, int to_folder, const char *to,
                     unsigned flags);

static bool fails(int code)
{
    if (code != 0)
        errno = code;
    return code != 0;
}

int __wrap_open(const char *path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    unsigned mode = (flags & (O_CREAT | O_TMPFILE)) != 0 ? va_arg(list, unsigned) : 0;
    va_end(list);
    if ((flags & O_TMPFILE) == O_TMPFILE && fails(nameless_fails))
        return -1;
    return __real_open(path, flags, mode);
}

int __wrap_access(const char *path, int mode)
{
    if (strncmp(path, "/proc/", 6) == 0 && fails(place_fails))
        return -1;
    return __real_access(path, mode);
}

int __wrap_renameat2(int from_folder, const char *from, int to_folder, const char *to,
                     unsigned flags)
{
    if (flags != 0 && fails(rename_fails))
        return -1;
    return __real_renameat2(from_folder, from, to_folder, to, flags);
}

static char folder[] = "/tmp/rushlight-new-file-XXXXXX";
static char path[64];

static int make(void **state)
{
    (void)state;
    if (mkdtemp(folder) == NULL)
        return -1;
    snprintf(path, sizeof path, "%s/name", folder);
    return 0;
}

static int unmake(void **state)
{
    (void)state;
    return rmdir(folder);
}

static int write_file(const char *bytes, bool over, struct error *error)
{
    struct new_file file;
    int code = new_file_begin(&file, path, over, error);
    if (code != ERROR_NONE)
        return code;
    assert_int_equal(write(file.descriptor, bytes, strlen(bytes)), (ssize_t)strlen(bytes));
    return new_file_end(&file, error);
}

static void holds(const char *expected)
{
    char bytes[16] = "";
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    size_t count = fread(bytes, 1, sizeof bytes - 1, file);
    fclose(file);
    assert_int_equal(count, strlen(expected));
    assert_string_equal(bytes, expected);
}

/* How many names there are in the folder. */
static size_t names(void)
{
    size_t count = 0;
    DIR *open_folder = opendir(folder);
    assert_non_null(open_folder);
    for (struct dirent *entry; (entry = readdir(open_folder)) != NULL;)
        count += entry->d_name[0] != '.' || strlen(entry->d_name) > 2;
    closedir(open_folder);
    return count;
}

/* Another takes the name while the file is written. */
static void is_refused_what_another_took(void)
{
    struct new_file file;
    struct error error = {0};
    assert_int_equal(new_file_begin(&file, path, false, &error), ERROR_NONE);
    assert_int_equal(write(file.descriptor, "late", 4), 4);
    FILE *other = fopen(path, "w");
    assert_non_null(other);
    fputs("first", other);
    fclose(other);
    assert_int_equal(new_file_end(&file, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "is there already"));
    holds("first");
    assert_int_equal(names(), 1);
    assert_int_equal(unlink(path), 0);
}

static void writes_all_the_same(void **state)
{
    static const struct {
        int nameless, place, rename;
    } systems[] = {
        {0, 0, 0},      {EOPNOTSUPP, 0, 0},  {EOPNOTSUPP, 0, EINVAL}, {EISDIR, 0, ENOSYS},
        {0, ENOENT, 0}, {0, ENOENT, EINVAL}, {0, EACCES, EINVAL},
    };
    (void)state;
    for (size_t i = 0; i < sizeof systems / sizeof systems[0]; i++) {
        struct error error = {0};
        nameless_fails = systems[i].nameless;
        place_fails = systems[i].place;
        rename_fails = systems[i].rename;
        if (write_file("one", false, &error) != ERROR_NONE)
            fail_msg("system %zu: %s", i, error.text);
        holds("one");
        assert_int_equal(names(), 1);
        assert_int_equal(write_file("two", false, &error), ERROR_INPUT);
        holds("one");
        if (write_file("three", true, &error) != ERROR_NONE)
            fail_msg("system %zu: %s", i, error.text);
        holds("three");
        assert_int_equal(names(), 1);
        assert_int_equal(unlink(path), 0);
        is_refused_what_another_took();
    }
}

/* What is no matter of such a file system is said, and nothing is left. */
static void other_failures_are_said(void **state)
{
    struct error error = {0};
    (void)state;
    nameless_fails = EOPNOTSUPP;
    place_fails = 0;
    rename_fails = EROFS;
    assert_int_equal(write_file("one", false, &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "cannot be written"));
    assert_int_equal(names(), 0);
    nameless_fails = EACCES;
    assert_int_equal(write_file("one", false, &error), ERROR_MACHINE);
    assert_int_equal(names(), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(writes_all_the_same),
        cmocka_unit_test(other_failures_are_said),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
