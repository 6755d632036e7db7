#include "draw/pdf_language.h"

#include <qpdf/qpdf-c.h>
#include <stdlib.h>

static void set_catalogue(qpdf_data data, const char *language)
{
    qpdf_oh root = qpdf_get_root(data);
    qpdf_oh viewer = qpdf_oh_new_dictionary(data);
    qpdf_oh_replace_key(data, root, "/Lang", qpdf_oh_new_unicode_string(data, language));
    qpdf_oh_replace_key(data, viewer, "/DisplayDocTitle", qpdf_oh_new_bool(data, QPDF_TRUE));
    qpdf_oh_replace_key(data, root, "/ViewerPreferences", viewer);
    qpdf_set_info_key(data, "/CreationDate", NULL);
}

int pdf_set_language(const struct text *plain, const char *language, struct text *pdf,
                     struct error *error)
{
    qpdf_data data = qpdf_init();
    int code = ERROR_NONE;
    if (data == NULL)
        return error_memory(error);
    qpdf_silence_errors(data);
    QPDF_ERROR_CODE status = qpdf_read_memory(data, "figure", plain->bytes, plain->length, NULL);
    if ((status & QPDF_ERRORS) == 0) {
        set_catalogue(data, language);
        status = qpdf_init_write_memory(data);
    }
    if ((status & QPDF_ERRORS) == 0) {
        qpdf_set_deterministic_ID(data, QPDF_TRUE);
        status = qpdf_write(data);
    }
    if ((status & QPDF_ERRORS) != 0)
        code = error_set(error, ERROR_MACHINE, "the PDF could not be written: %s",
                         qpdf_get_error_full_text(data, qpdf_get_error(data)));
    else
        text_append_bytes(pdf, (const char *)qpdf_get_buffer(data), qpdf_get_buffer_length(data));
    qpdf_cleanup(&data);
    if (code == ERROR_NONE && text_failed(pdf))
        code = error_memory(error);
    return code;
}
