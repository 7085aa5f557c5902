/* cvode.c: the BDF method of SUNDIALS (Hindmarsh et al., ACM Transactions on Mathematical Software 31, 2005, 363)
 * behind shell.h: variable order 1 to 5, dense linear algebra, Jacobian by CVODE's own difference quotients, Newton
 * iteration, all settings as they come. Taken from CVODES, which is CVODE with quadratures beside the states: they
 * carry the extents, outside the error test. */
#include "shell.h"

#include <cvodes/cvodes.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdlib.h>

#define STEPS_MOST 1000000

/* A solver for each number of live states, made when first wanted. */
struct solver {
    void *memory;
    N_Vector y, absolute, extents;
    SUNMatrix matrix;
    SUNLinearSolver linear;
};

struct cvode {
    SUNContext context;
    struct solver *solvers; /* n + 1, by the number of live states */
    struct solver *now;
};

static int derivative(sunrealtype t, N_Vector y, N_Vector out, void *ode)
{
    return shell_derivative(ode, t, N_VGetArrayPointer(y), N_VGetArrayPointer(out));
}

static int rates(sunrealtype t, N_Vector y, N_Vector out, void *ode)
{
    return shell_rates(ode, t, N_VGetArrayPointer(y), N_VGetArrayPointer(out));
}

int method_create(struct ode *ode)
{
    struct cvode *own = ode->method = calloc(1, sizeof *own);
    if (own == NULL) {
        return 1;
    }
    own->solvers = calloc(ode->problem.states + 1, sizeof *own->solvers);
#if SUNDIALS_VERSION_MAJOR >= 7
    return own->solvers == NULL || SUNContext_Create(SUN_COMM_NULL, &own->context) != 0;
#else
    return own->solvers == NULL || SUNContext_Create(NULL, &own->context) != 0;
#endif
}

void method_free(struct ode *ode)
{
    struct cvode *own = ode->method;
    for (size_t i = 0; own->solvers != NULL && i <= ode->problem.states; i++) {
        struct solver *solver = &own->solvers[i];
        if (solver->memory != NULL) {
            CVodeFree(&solver->memory);
            (void)SUNLinSolFree(solver->linear);
            SUNMatDestroy(solver->matrix);
            N_VDestroy(solver->y);
            N_VDestroy(solver->absolute);
            N_VDestroy(solver->extents);
        }
    }
    if (own->context != NULL) {
        (void)SUNContext_Free(&own->context);
    }
    free(own->solvers);
    free(own);
}

static int make(struct ode *ode, struct solver *solver)
{
    struct cvode *own = ode->method;
    sunindextype n = (sunindextype)ode->live;
    solver->y = N_VNew_Serial(n, own->context);
    solver->absolute = N_VNew_Serial(n, own->context);
    solver->extents = N_VNew_Serial((sunindextype)ode->problem.rates, own->context);
    solver->matrix = SUNDenseMatrix(n, n, own->context);
    solver->linear = SUNLinSol_Dense(solver->y, solver->matrix, own->context);
    solver->memory = CVodeCreate(CV_BDF, own->context);
    N_VConst(0.0, solver->y);
    N_VConst(0.0, solver->extents);
    shell_pack(ode, ode->absolute, N_VGetArrayPointer(solver->absolute));
    return CVodeInit(solver->memory, derivative, 0.0, solver->y) != CV_SUCCESS ||
           CVodeSVtolerances(solver->memory, ode->relative, solver->absolute) != CV_SUCCESS ||
           CVodeSetUserData(solver->memory, ode) != CV_SUCCESS ||
           CVodeSetLinearSolver(solver->memory, solver->linear, solver->matrix) != CV_SUCCESS ||
           CVodeSetMaxNumSteps(solver->memory, STEPS_MOST) != CV_SUCCESS ||
           (ode->extents && CVodeQuadInit(solver->memory, rates, solver->extents) != CV_SUCCESS);
}

int method_begin(struct ode *ode)
{
    struct cvode *own = ode->method;
    struct solver *solver = own->now = &own->solvers[ode->live];
    if (solver->memory == NULL && make(ode, solver) != 0) {
        return 1;
    }
    N_VConst(0.0, solver->extents);
    shell_pack(ode, ode->y, N_VGetArrayPointer(solver->y));
    shell_pack(ode, ode->absolute, N_VGetArrayPointer(solver->absolute));
    return CVodeReInit(solver->memory, ode->t, solver->y) != CV_SUCCESS ||
           CVodeSVtolerances(solver->memory, ode->relative, solver->absolute) != CV_SUCCESS ||
           CVodeSetMaxStep(solver->memory, ode->longest) != CV_SUCCESS ||
           (ode->extents && CVodeQuadReInit(solver->memory, solver->extents) != CV_SUCCESS);
}

double method_step(struct ode *ode, double stop)
{
    struct solver *solver = ((struct cvode *)ode->method)->now;
    sunrealtype t = ode->t;
    if (CVodeSetStopTime(solver->memory, stop) != CV_SUCCESS ||
        CVode(solver->memory, stop, solver->y, &t, CV_ONE_STEP) < 0) {
        return NAN;
    }
    shell_unpack(ode, N_VGetArrayPointer(solver->y), ode->y);
    if (ode->extents) {
        const double *extents = N_VGetArrayPointer(solver->extents);
        sunrealtype at = t;
        (void)CVodeGetQuad(solver->memory, &at, solver->extents);
        for (size_t j = 0; j < ode->problem.rates; j++) {
            ode->z[j] = ode->z0[j] + extents[j];
        }
    }
    return t;
}

void method_between(struct ode *ode, double t, double *packed, double *extents)
{
    struct solver *solver = ((struct cvode *)ode->method)->now;
    if (packed != NULL) {
        (void)CVodeGetDky(solver->memory, t, 0, solver->y);
        const double *y = N_VGetArrayPointer(solver->y);
        for (size_t a = 0; a < ode->live; a++) {
            packed[a] = y[a];
        }
    }
    if (extents != NULL) {
        (void)CVodeGetQuadDky(solver->memory, t, 0, solver->extents);
        const double *z = N_VGetArrayPointer(solver->extents);
        for (size_t j = 0; j < ode->problem.rates; j++) {
            extents[j] = z[j];
        }
    }
}

struct ode_statistics method_counts(const struct ode *ode)
{
    void *memory = ((struct cvode *)ode->method)->now->memory;
    long steps = 0, tests = 0, newton = 0, jacobians = 0, setups = 0;
    (void)CVodeGetNumSteps(memory, &steps);
    (void)CVodeGetNumErrTestFails(memory, &tests);
    (void)CVodeGetNumNonlinSolvConvFails(memory, &newton);
    (void)CVodeGetNumJacEvals(memory, &jacobians);
    (void)CVodeGetNumLinSolvSetups(memory, &setups);
    return (struct ode_statistics){.steps = (double)steps,
                                   .rejected = (double)(tests + newton),
                                   .jacobians = (double)jacobians,
                                   .factorisations = (double)setups};
}
