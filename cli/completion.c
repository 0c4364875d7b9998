/* SPDX-License-Identifier: GPL-3.0-or-later */
/* completion: scripts for shells, and the names of a leaf's cases that they ask for. */
#include "completion.h"

#include <string.h>

#include "command.h"
#include "commands.h"
#include "completion_shells.h"
#include "message.h"
#include "output.h"

static const struct {
    const char *name;
    void (*write)(FILE *stream);
} shells[] = {{"bash", completion_bash}, {"zsh", completion_zsh}};

static const size_t shell_count = sizeof shells / sizeof shells[0];

void completion_names(FILE *stream)
{
    for (size_t i = 0; i < shell_count; i++) {
        (void)fprintf(stream, "%s\n", shells[i].name);
    }
}

exit_status command_completion(const options *asked)
{
    for (size_t i = 0; i < shell_count && asked->name != NULL; i++) {
        if (strcmp(shells[i].name, asked->name) == 0) {
            output script;
            const exit_status status = output_open(&script);
            if (status == EXIT_DONE) {
                shells[i].write(script.stream);
                return output_commit(&script, asked->output_file);
            }
            return status;
        }
    }
    return asked->name == NULL
               ? fail(EXIT_BAD_INPUT, "no shell: expected 'trunnion completion bash' or zsh")
               : fail(EXIT_BAD_INPUT, "no completion for the shell '%s': expected bash or zsh", asked->name);
}
