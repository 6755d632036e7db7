#include "cli/paragraph.h"

#include "document/paragraph.h"

static void print(void *context, const char *bytes, size_t length)
{
    fwrite(bytes, 1, length, context);
}

void print_paragraph(FILE *out, const char *text, size_t indent)
{
    print_hanging(out, text, indent, 0);
}

void print_hanging(FILE *out, const char *text, size_t indent, size_t column)
{
    paragraph_break(text, indent, column, print, out);
}
