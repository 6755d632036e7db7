/* Runs a fuzz target once over each file of the folders named on the command
 * line: the kept corpus as an ordinary test, with any compiler. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int run_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return -1;
    /* Exactly as large as the input, so that a read beyond it is found. */
    uint8_t *data = NULL;
    long size = fseek(file, 0, SEEK_END) == 0 ? ftell(file) : -1;
    rewind(file);
    int failed = size < 0 || (data = malloc((size_t)size + (size == 0))) == NULL ||
                 fread(data, 1, (size_t)size, file) != (size_t)size;
    if (!failed)
        LLVMFuzzerTestOneInput(data, (size_t)size);
    free(data);
    fclose(file);
    return failed ? -1 : 0;
}

/* The number of files that were run, -1 after a failure. */
static long run_folder(const char *folder)
{
    DIR *entries = opendir(folder);
    long count = 0;
    if (entries == NULL)
        return -1;
    for (struct dirent *entry; count >= 0 && (entry = readdir(entries)) != NULL;) {
        char path[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        count = run_file(path) == 0 ? count + 1 : -1;
        if (count < 0)
            perror(path);
    }
    closedir(entries);
    return count;
}

int main(int argc, char **argv)
{
    long total = 0;
    for (int i = 1; i < argc; i++) {
        long count = run_folder(argv[i]);
        if (count < 0) {
            fprintf(stderr, "cannot read %s\n", argv[i]);
            return EXIT_FAILURE;
        }
        total += count;
    }
    printf("%ld inputs\n", total);
    return total > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
