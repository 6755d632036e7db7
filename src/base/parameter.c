#include "base/parameter.h"

#include <math.h>
#include <string.h>

size_t parameter_count(const struct parameter *parameters)
{
    size_t count = 0;
    while (count < PARAMETER_LIMIT && parameters[count].name != NULL)
        count++;
    return count;
}

const char *parameter_name(const struct parameter *parameter, int mirrored)
{
    return mirrored && parameter->mirror_name != NULL ? parameter->mirror_name : parameter->name;
}

const char *parameter_said(const struct parameter *parameter)
{
    return parameter->said != NULL ? parameter->said : parameter->help;
}

bool parameter_is_off(const struct parameter *parameter, double value)
{
    return isnan(value) || (value == 0 && parameter->off_at_zero);
}

size_t parameter_find(const struct parameter *parameters, const char *name, int mirrored)
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count; i++)
        if (strcmp(parameter_name(&parameters[i], mirrored), name) == 0)
            return i;
    return count;
}

double parameter_mirrored(const struct parameter *parameter, double value)
{
    if (parameter->mirror == MIRROR_SAME)
        return value;
    return round((100 - value) * 1e9) / 1e9;
}

void parameter_defaults(const struct parameter *parameters, double values[PARAMETER_LIMIT])
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < PARAMETER_LIMIT; i++)
        values[i] = i < count ? parameters[i].missing : NAN;
}
