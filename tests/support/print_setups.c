/* Prints random setups as YAML documents: print_setups COUNT SEED. */
#include "random_market.h"
#include "random_setup.h"

#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "print_setups COUNT SEED\n");
        return EXIT_FAILURE;
    }
    unsigned long long count = strtoull(argv[1], NULL, 10);
    for (unsigned long long i = 0; i < count; i++) {
        struct random_stream stream;
        struct random_market market;
        struct text text;
        random_start(&stream, strtoull(argv[2], NULL, 10), i);
        text_init(&text);
        if (!random_market_init(&market, &stream, 60))
            return EXIT_FAILURE;
        random_setup(&text, &stream, market.bars.interval, (unsigned)i);
        printf("---\n%s", text.bytes);
        text_free(&text);
        random_market_free(&market);
    }
    return EXIT_SUCCESS;
}
