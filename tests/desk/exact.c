/* Exact fractions and money by the line, for exact.py: each line of the standard
 * input is an operation with its numbers, each line of the output its result.
 * `sum CURRENCY` adds the amounts on the lines that follow, up to `end`. */
#define _POSIX_C_SOURCE 200809L /* strtok_r */
#include "base/fraction.h"
#include "desk/money.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_SIZE = 256 };

static void say(struct fraction fraction)
{
    char top[FRACTION_TEXT_SIZE], bottom[FRACTION_TEXT_SIZE];
    if (fraction_failed(fraction)) {
        puts("failed");
        return;
    }
    fraction_format(top, (struct fraction){fraction.top, 1}, 0, 0);
    fraction_format(bottom, (struct fraction){fraction.bottom, 1}, 0, 0);
    printf("%s/%s\n", top, bottom);
}

static struct fraction read_number(const char *text)
{
    struct fraction fraction = {0, 0};
    if (text == NULL || !fraction_read(text, strlen(text), &fraction))
        exit(2);
    return fraction;
}

static void add_up(const char *code)
{
    char line[LINE_SIZE], text[MONEY_TEXT_SIZE];
    struct error error;
    struct money sum = {0}, amount;
    if (currency_find(code, &sum.currency, &error) != 0)
        exit(2);
    while (fgets(line, sizeof line, stdin) != NULL && strcmp(line, "end\n") != 0) {
        line[strcspn(line, "\n")] = '\0';
        if (money_read("amount", line, &sum.currency, &amount, &error) != 0 ||
            !money_add(&sum, &amount))
            exit(3);
    }
    money_format(text, &sum);
    puts(text);
}

static void work_out(const char *operation, const char *first, const char *second)
{
    char text[FRACTION_TEXT_SIZE];
    int64_t floor = 0, ceiling = 0;
    if (strcmp(operation, "sum") == 0) {
        add_up(first);
        return;
    }
    struct fraction a = read_number(first);
    struct fraction b = read_number(second);
    if (strcmp(operation, "add") == 0)
        say(fraction_add(a, b));
    else if (strcmp(operation, "subtract") == 0)
        say(fraction_subtract(a, b));
    else if (strcmp(operation, "multiply") == 0)
        say(fraction_multiply(a, b));
    else if (strcmp(operation, "divide") == 0)
        say(fraction_divide(a, b));
    else if (strcmp(operation, "compare") == 0)
        printf("%d\n", fraction_compare(a, b));
    else if (strcmp(operation, "whole") == 0 && fraction_floor(fraction_divide(a, b), &floor) &&
             fraction_ceiling(fraction_divide(a, b), &ceiling))
        printf("%lld %lld\n", (long long)floor, (long long)ceiling);
    else if (strcmp(operation, "places") == 0) {
        fraction_format(text, fraction_divide(a, b), 2, 6);
        puts(text);
    } else
        puts("no");
}

int main(void)
{
    char line[LINE_SIZE];
    while (fgets(line, sizeof line, stdin) != NULL) {
        char *rest = line;
        const char *operation = strtok_r(line, " \n", &rest);
        const char *first = strtok_r(NULL, " \n", &rest);
        const char *second = strtok_r(NULL, " \n", &rest);
        if (operation != NULL)
            work_out(operation, first, second);
    }
    return 0;
}
