/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballast_program.h"

#include <glpk.h>
#include <math.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdlib.h>
#include <time.h>

/* Where GLPK keeps its environment for the whole process, one call at a time may use it. */
static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;

/* GLPK's own tolerance for whole numbers, 1e-5, times a thousand blocks would be seen in the balance. */
static const double whole_tolerance = 1e-7;

double plan_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

plan_program plan_program_make(const plan_effect *effects, size_t count, plan_moments unchanged)
{
    return (plan_program){.effects = effects,
                          .count = count,
                          .unchanged = unchanged,
                          .miss_most_Nm = HUGE_VAL,
                          .handled = -1,
                          .weight_most_N = HUGE_VAL,
                          .objective = PLAN_ANY};
}

void plan_program_hold(plan_program *program, const plan_region *region, bool soft)
{
    for (size_t i = 0; i < region->count; i++) {
        program->halves[program->half_count] = region->halves[i];
        program->soft[program->half_count++] = soft;
    }
}

/* A program on its way through GLPK. Columns: blocks put in and taken out of each pocket, change of weight, miss. */
typedef struct work {
    const plan_program *of;
    glp_prob *problem;
    int *columns; /* room for one row, from 1 as GLPK counts */
    double *values;
    double heaviest_N; /* of the blocks: the unit of the column of weight */
    double widest_Nm;  /* of the soft bounds' rows: the unit of the column of misses */
    plan_deadlines until;
    double bound;
} work;

static int in_column(size_t pocket)
{
    return (int)(2 * pocket) + 1;
}

static int out_column(size_t pocket)
{
    return (int)(2 * pocket) + 2;
}

static int weight_column(const work *at)
{
    return in_column(at->of->count);
}

static int miss_column(const work *at)
{
    return out_column(at->of->count);
}

static double effect_on(const plan_half *half, const plan_effect *effect)
{
    return half->a * effect->a_Nm + half->b * effect->b_Nm;
}

/* Rows are in units of the largest effect of one block. */
static double row_unit(const plan_program *of, const plan_half *half)
{
    double unit = 0;
    for (size_t i = 0; i < of->count; i++) {
        unit = fmax(unit, fabs(effect_on(half, &of->effects[i])));
    }
    return unit > 0 ? unit : fmax(1, fabs(plan_inside(half, of->unchanged)));
}

static void find_units(work *at)
{
    const plan_program *of = at->of;
    at->heaviest_N = 0;
    at->widest_Nm = 0;
    for (size_t i = 0; i < of->count; i++) {
        at->heaviest_N = fmax(at->heaviest_N, of->effects[i].weight_N);
    }
    at->heaviest_N = at->heaviest_N > 0 ? at->heaviest_N : 1;
    for (size_t i = 0; i < of->half_count; i++) {
        at->widest_Nm = of->soft[i] ? fmax(at->widest_Nm, row_unit(of, &of->halves[i])) : at->widest_Nm;
    }
}

static void bound_column(glp_prob *problem, int column, double most)
{
    glp_set_col_bnds(problem, column, most > 0 ? (most < HUGE_VAL ? GLP_DB : GLP_LO) : GLP_FX, 0, fmax(most, 0));
}

/* Blocks that must be put in have a lower bound on their column; the same for those that must go. */
static void bound_blocks(glp_prob *problem, int column, int least, int most)
{
    const double low = least > 0 ? least : 0;
    const double high = most > 0 ? most : 0;
    glp_set_col_bnds(problem, column, low < high ? GLP_DB : GLP_FX, low, high);
}

static void add_columns(work *at)
{
    const plan_program *of = at->of;
    glp_add_cols(at->problem, miss_column(at));
    for (size_t i = 0; i < of->count; i++) {
        const plan_effect *effect = &of->effects[i];
        bound_blocks(at->problem, in_column(i), effect->least, effect->most);
        bound_blocks(at->problem, out_column(i), -effect->most, -effect->least);
        glp_set_col_kind(at->problem, in_column(i), GLP_IV);
        glp_set_col_kind(at->problem, out_column(i), GLP_IV);
    }
    bound_column(at->problem, weight_column(at), of->weight_most_N / at->heaviest_N);
    bound_column(at->problem, miss_column(at), at->widest_Nm > 0 ? of->miss_most_Nm / at->widest_Nm : 0);
}

/* A row of blocks put in and taken out; where alike, both count the same way. */
static int block_row(work *at, double (*value)(const plan_program *of, size_t pocket, const void *context),
                     const void *context, bool alike)
{
    int length = 0;
    for (size_t i = 0; i < at->of->count; i++) {
        const double one = value(at->of, i, context);
        at->columns[++length] = in_column(i);
        at->values[length] = one;
        at->columns[++length] = out_column(i);
        at->values[length] = alike ? one : -one;
    }
    return length;
}

static void add_row(work *at, int length, int kind, double low, double high)
{
    const int row = glp_add_rows(at->problem, 1);
    glp_set_mat_row(at->problem, row, length, at->columns, at->values);
    glp_set_row_bnds(at->problem, row, kind, low, high);
}

typedef struct scaled_half {
    const plan_half *half;
    double unit;
} scaled_half;

static double scaled_effect(const plan_program *of, size_t pocket, const void *context)
{
    const scaled_half *scaled = context;
    return effect_on(scaled->half, &of->effects[pocket]) / scaled->unit;
}

static void add_half(work *at, size_t index)
{
    const plan_program *of = at->of;
    const scaled_half scaled = {&of->halves[index], row_unit(of, &of->halves[index])};
    int length = block_row(at, scaled_effect, &scaled, false);
    if (of->soft[index]) {
        at->columns[++length] = miss_column(at);
        at->values[length] = at->widest_Nm / scaled.unit;
    }
    const double low = -plan_inside(scaled.half, of->unchanged) / scaled.unit;
    add_row(at, length, GLP_LO, low + of->tighten * (1 + fabs(low)), 0);
}

static double one_block(const plan_program *of, size_t pocket, const void *context)
{
    (void)of;
    (void)pocket;
    (void)context;
    return 1;
}

static double scaled_weight(const plan_program *of, size_t pocket, const void *context)
{
    const double *unit = context;
    return of->effects[pocket].weight_N / *unit;
}

static void add_rows(work *at)
{
    for (size_t i = 0; i < at->of->half_count; i++) {
        add_half(at, i);
    }
    if (at->of->handled >= 0) {
        const int length = block_row(at, one_block, NULL, true);
        add_row(at, length, GLP_FX, at->of->handled, at->of->handled);
    }
    for (int side = -1; side <= 1; side += 2) {
        const int length = block_row(at, scaled_weight, &at->heaviest_N, false) + 1;
        at->columns[length] = weight_column(at);
        at->values[length] = side;
        add_row(at, length, side < 0 ? GLP_UP : GLP_LO, 0, 0);
    }
}

static void set_pocket_costs(work *at, size_t pocket, double in, double out)
{
    glp_set_obj_coef(at->problem, in_column(pocket), in);
    glp_set_obj_coef(at->problem, out_column(pocket), out);
}

static void set_objective(work *at)
{
    const plan_program *of = at->of;
    const scaled_half scaled = {&of->inside, of->objective == PLAN_INSIDE ? row_unit(of, &of->inside) : 1};
    glp_set_obj_dir(at->problem, GLP_MIN);
    for (size_t i = 0; i < of->count; i++) {
        if (of->objective == PLAN_FEWEST) {
            set_pocket_costs(at, i, 1, 1);
        } else if (of->objective == PLAN_INSIDE) {
            const double gain = scaled_effect(of, i, &scaled);
            set_pocket_costs(at, i, -gain, gain);
        }
    }
    if (of->objective == PLAN_MOST_IN_POCKET) {
        set_pocket_costs(at, of->pocket, -1, 1);
    }
    glp_set_obj_coef(at->problem, weight_column(at), of->objective == PLAN_WEIGHT ? 1 : 0);
    glp_set_obj_coef(at->problem, miss_column(at), of->objective == PLAN_LEAST_MISS ? 1 : 0);
}

/* Called in each node: notes the bound, and ends a search that has found nothing till its first deadline. */
static void watch(glp_tree *tree, void *info)
{
    work *at = info;
    const double now = plan_now();
    const int best = glp_ios_best_node(tree);
    if (best != 0) {
        at->bound = glp_ios_node_bound(tree, best);
    }
    if (now > at->until.latest || (now > at->until.without_plan && glp_mip_status(at->problem) != GLP_FEAS)) {
        glp_ios_terminate(tree);
    }
}

static plan_outcome relax(work *at)
{
    glp_smcp settings;
    glp_init_smcp(&settings);
    settings.msg_lev = GLP_MSG_OFF;
    const int failed = glp_simplex(at->problem, &settings);
    const int status = glp_get_status(at->problem);
    if (failed != 0 || (status != GLP_OPT && status != GLP_NOFEAS)) {
        return PLAN_UNDECIDED;
    }
    return status == GLP_OPT ? PLAN_SOLVED : PLAN_NONE;
}

static void take_changes(const work *at, int *changes)
{
    for (size_t i = 0; i < at->of->count; i++) {
        changes[i] = (int)lround(glp_mip_col_val(at->problem, in_column(i))) -
                     (int)lround(glp_mip_col_val(at->problem, out_column(i)));
    }
}

static plan_outcome branch(work *at, int *changes)
{
    glp_iocp settings;
    glp_init_iocp(&settings);
    settings.msg_lev = GLP_MSG_OFF;
    settings.tol_int = whole_tolerance;
    /* With narrow windows these cuts prove in a second what the search alone does not in many. */
    settings.gmi_cuts = GLP_ON;
    settings.cb_func = watch;
    settings.cb_info = at;
    const int failed = glp_intopt(at->problem, &settings);
    const int status = glp_mip_status(at->problem);
    if (status == GLP_OPT || status == GLP_FEAS) {
        take_changes(at, changes);
        return failed == 0 && status == GLP_OPT ? PLAN_SOLVED : PLAN_FOUND;
    }
    return failed == 0 && status == GLP_NOFEAS ? PLAN_NONE : PLAN_UNDECIDED;
}

/* Build and solve; changes NULL: in fractions only. */
static plan_outcome build_and_solve(work *at, int *changes)
{
    at->problem = glp_create_prob();
    find_units(at);
    add_columns(at);
    add_rows(at);
    set_objective(at);
    plan_outcome outcome = relax(at);
    if (outcome == PLAN_SOLVED && changes != NULL) {
        at->bound = glp_get_obj_val(at->problem);
        outcome = branch(at, changes);
    }
    glp_delete_prob(at->problem);
    return outcome;
}

/* GLPK tells of memory that ran out, and of its own faults, through this hook alone; to return would end the process.
 */
static void leave(void *info)
{
    jmp_buf *back = info;
    longjmp(*back, 1);
}

/* GLPK says on the terminal why it fails, asked or not. */
static int say_nothing(void *info, const char *text)
{
    (void)info;
    (void)text;
    return 1;
}

/* A caller's own environment is not ours to free, whatever happened. */
static plan_outcome in_environment(work *at, int *changes)
{
    const int before = glp_init_env();
    if (before > 1) {
        return PLAN_NO_MEMORY;
    }
    const int terminal = glp_term_out(GLP_OFF);
    jmp_buf back;
    plan_outcome outcome = PLAN_NO_MEMORY;
    if (setjmp(back) == 0) {
        glp_error_hook(leave, &back);
        glp_term_hook(say_nothing, NULL);
        outcome = build_and_solve(at, changes);
    }
    glp_error_hook(NULL, NULL);
    glp_term_hook(NULL, NULL);
    glp_term_out(terminal);
    if (before == 0) {
        glp_free_env();
    }
    return outcome;
}

static plan_outcome solve(const plan_program *program, plan_deadlines until, int *changes, double *bound)
{
    const size_t room = 2 * program->count + 3;
    work at = {.of = program,
               .columns = malloc(room * sizeof *at.columns),
               .values = malloc(room * sizeof *at.values),
               .until = until,
               .bound = -HUGE_VAL};
    plan_outcome outcome = PLAN_NO_MEMORY;
    if (at.columns != NULL && at.values != NULL) {
        const bool shared = glp_config("TLS") == NULL;
        if (shared) {
            pthread_mutex_lock(&one_at_a_time);
        }
        outcome = in_environment(&at, changes);
        if (shared) {
            pthread_mutex_unlock(&one_at_a_time);
        }
    }
    free(at.columns);
    free(at.values);
    *bound = at.bound;
    return outcome;
}

plan_outcome plan_solve(const plan_program *program, plan_deadlines until, int *changes, double *bound)
{
    return solve(program, until, changes, bound);
}

plan_outcome plan_solve_in_fractions(const plan_program *program)
{
    double unused;
    return solve(program, (plan_deadlines){HUGE_VAL, HUGE_VAL}, NULL, &unused);
}
