#include "web/assets.h"

#include <string.h>

const struct asset *asset_find(const char *name)
{
    for (const struct asset *asset = assets; asset->name != NULL; asset++)
        if (strcmp(asset->name, name) == 0)
            return asset;
    return NULL;
}
