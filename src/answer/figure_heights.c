#include "answer/answer_parts.h"

double figure_rows_height(size_t count)
{
    return (double)count * 22 + 46;
}

double figure_plain_height(void)
{
    return 222;
}
