#include "desk/risk.h"

#include <string.h>

int risk_read(const char *label, const char *text, const struct currency *currency,
              struct risk *risk, struct error *error)
{
    size_t length = strlen(text);
    *risk = (struct risk){.by_percent = length > 0 && text[length - 1] == '%'};
    if (!risk->by_percent) {
        int code = money_read(label, text, currency, &risk->money, error);
        if (code != ERROR_NONE || risk->money.units > 0)
            return code;
    } else if (fraction_read(text, length - 1, &risk->percent) && !fraction_failed(risk->percent) &&
               fraction_sign(risk->percent) > 0 &&
               fraction_compare(risk->percent, fraction_of(100, 1)) <= 0)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "%s: found '%.40s'; a share of the balance above 0%% and at most 100%%, such "
                     "as 1%%, or an amount above 0 is allowed",
                     label, text);
}
