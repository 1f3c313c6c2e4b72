/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tables.h"

#include "program.h"

int tables_fail(const char *program, const char *path, const input *in,
                const dialarc_error *error)
{
    return in->fault[0] ? program_fail(program, program_table_name(path), in->fault)
                        : program_fail_table(program, path, error);
}

int tables_read(const char *program, const char *path, tables_use use, void *job)
{
    dialarc_error error = {0};
    input in;
    dialarc_status status = DIALARC_ERR_FILE;
    if (input_open(&in, path) == 0)
        status = use(&in, job, &error);
    int result = status == DIALARC_OK ? DONE : tables_fail(program, path, &in, &error);
    input_close(&in);
    return result;
}

static dialarc_status use_setups(input *in, void *setups, dialarc_error *error)
{
    return dialarc_setups_read(input_read, in, setups, error);
}

int tables_setups(const char *program, const char *path, dialarc_setups **setups)
{
    return tables_read(program, path, use_setups, setups);
}
