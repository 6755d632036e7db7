#include "desk/money.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>
#include <unicode/ucurr.h>

static const int64_t powers[] = {1, 10, 100, 1000, 10000};
enum { MOST_DIGITS = sizeof powers / sizeof powers[0] - 1 };

int currency_find(const char *code, struct currency *currency, struct error *error)
{
    UErrorCode failure = U_ZERO_ERROR;
    UChar name[CURRENCY_SIZE] = {0};
    bool letters = strlen(code) == 3 && strspn(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 3;
    for (size_t i = 0; letters && i < 3; i++)
        name[i] = (UChar)code[i];
    int digits = letters ? ucurr_getDefaultFractionDigits(name, &failure) : 0;
    if (!letters || U_FAILURE(failure) || digits < 0 || digits > MOST_DIGITS)
        return error_set(error, ERROR_INPUT,
                         "found '%.20s' for a currency; its three capital letters are allowed, "
                         "such as EUR",
                         code);
    *currency = (struct currency){.digits = digits};
    memcpy(currency->code, code, CURRENCY_SIZE);
    return ERROR_NONE;
}

int money_read(const char *label, const char *text, const struct currency *currency,
               struct money *money, struct error *error)
{
    struct fraction amount;
    struct money down, up;
    if (!fraction_read(text, strlen(text), &amount))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.40s'; an amount such as 25000 or 12.5 is allowed", label,
                         text);
    if (!money_at_most(amount, currency, &down) || !money_at_least(amount, currency, &up))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.40s', which is more than can be held; at most "
                         "9223372036854775807 of the smallest unit of %s is allowed",
                         label, text, currency->code);
    if (down.units != up.units)
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.40s'; at most %d decimals are allowed, as %s has them",
                         label, text, currency->digits, currency->code);
    *money = down;
    return ERROR_NONE;
}

void money_format(char text[MONEY_TEXT_SIZE], const struct money *money)
{
    /* One more than fits below 0 is the absolute value of the least. */
    uint64_t units = money->units < 0 ? 0 - (uint64_t)money->units : (uint64_t)money->units;
    uint64_t power = (uint64_t)powers[money->currency.digits];
    const char *sign = money->units < 0 ? "-" : "";
    if (money->currency.digits == 0)
        snprintf(text, MONEY_TEXT_SIZE, "%s%llu", sign, (unsigned long long)units);
    else
        snprintf(text, MONEY_TEXT_SIZE, "%s%llu.%0*llu", sign, (unsigned long long)(units / power),
                 money->currency.digits, (unsigned long long)(units % power));
}

bool money_add(struct money *money, const struct money *more)
{
    int64_t sum;
    assert(strcmp(money->currency.code, more->currency.code) == 0);
    if (__builtin_add_overflow(money->units, more->units, &sum))
        return false;
    money->units = sum;
    return true;
}

bool money_subtract(struct money *money, const struct money *less)
{
    int64_t rest;
    assert(strcmp(money->currency.code, less->currency.code) == 0);
    if (__builtin_sub_overflow(money->units, less->units, &rest))
        return false;
    money->units = rest;
    return true;
}

struct fraction money_fraction(const struct money *money)
{
    return fraction_of(money->units, powers[money->currency.digits]);
}

static struct fraction in_units(struct fraction amount, const struct currency *currency)
{
    return fraction_multiply(amount, fraction_of(powers[currency->digits], 1));
}

bool money_at_most(struct fraction amount, const struct currency *currency, struct money *money)
{
    money->currency = *currency;
    return fraction_floor(in_units(amount, currency), &money->units);
}

bool money_at_least(struct fraction amount, const struct currency *currency, struct money *money)
{
    money->currency = *currency;
    return fraction_ceiling(in_units(amount, currency), &money->units);
}
