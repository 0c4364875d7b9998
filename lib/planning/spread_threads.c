/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <pthread.h>
#include <stdlib.h>

#include "spread_parts.h"

size_t run_next_item(trn_spread *run, size_t count)
{
    (void)pthread_mutex_lock(&run->lock);
    const size_t next = run->next_item < count && run->status == TRN_OK ? run->next_item++ : count;
    (void)pthread_mutex_unlock(&run->lock);
    return next;
}

typedef struct helper {
    pthread_t thread;
    trn_spread *run;
    run_space *space;
    run_work *work;
} helper;

static void *help(void *argument)
{
    const helper *of = argument;
    of->work(of->run, of->space);
    return NULL;
}

/* The calling thread works too. Where a thread cannot be had, the others do its share. */
trn_status run_in_threads(trn_spread *run, run_work *work)
{
    const size_t others = (size_t)run->settings.threads - 1;
    helper *helpers = calloc(others + 1, sizeof *helpers);
    if (helpers == NULL) {
        return TRN_NO_MEMORY;
    }
    run->next_item = 0;
    size_t started = 0;
    while (started < others) {
        helper *one = &helpers[started];
        *one = (helper){.run = run, .space = &run->spaces[started + 1], .work = work};
        if (pthread_create(&one->thread, NULL, help, one) != 0) {
            break;
        }
        started++;
    }
    work(run, &run->spaces[0]);
    for (size_t i = 0; i < started; i++) {
        (void)pthread_join(helpers[i].thread, NULL);
    }
    free(helpers);
    return run->status;
}
