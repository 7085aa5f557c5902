/* arkode.c: the ESDIRK method of SUNDIALS (ARKODE; order 4, as it comes) behind shell.h: one step, dense linear
 * algebra, Jacobian by its own difference quotients, Newton iteration, all settings as they come. Extents are not
 * carried: ledgers stay empty. */
#include "shell.h"

#include <arkode/arkode_arkstep.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEPS_MOST 1000000

struct arkode {
    SUNContext context;
    size_t live; /* that the solver was made for */
    void *memory;
    N_Vector y, between, absolute;
    SUNMatrix matrix;
    SUNLinearSolver linear;
};

static int derivative(sunrealtype t, N_Vector y, N_Vector out, void *ode)
{
    return shell_derivative(ode, t, N_VGetArrayPointer(y), N_VGetArrayPointer(out));
}

int method_create(struct ode *ode)
{
    struct arkode *own = ode->method = calloc(1, sizeof *own);
#if SUNDIALS_VERSION_MAJOR >= 7
    return own == NULL || SUNContext_Create(SUN_COMM_NULL, &own->context) != 0;
#else
    return own == NULL || SUNContext_Create(NULL, &own->context) != 0;
#endif
}

static void unmake(struct arkode *own)
{
    if (own->memory != NULL) {
        ARKStepFree(&own->memory);
        (void)SUNLinSolFree(own->linear);
        SUNMatDestroy(own->matrix);
        N_VDestroy(own->y);
        N_VDestroy(own->between);
        N_VDestroy(own->absolute);
        own->memory = NULL;
    }
}

void method_free(struct ode *ode)
{
    struct arkode *own = ode->method;
    unmake(own);
    if (own->context != NULL) {
        (void)SUNContext_Free(&own->context);
    }
    free(own);
}

int method_begin(struct ode *ode)
{
    struct arkode *own = ode->method;
    sunindextype n = (sunindextype)ode->live;
    unmake(own);
    own->y = N_VNew_Serial(n, own->context);
    own->between = N_VNew_Serial(n, own->context);
    own->absolute = N_VNew_Serial(n, own->context);
    own->matrix = SUNDenseMatrix(n, n, own->context);
    own->linear = SUNLinSol_Dense(own->y, own->matrix, own->context);
    shell_pack(ode, ode->y, N_VGetArrayPointer(own->y));
    shell_pack(ode, ode->absolute, N_VGetArrayPointer(own->absolute));
    own->memory = ARKStepCreate(NULL, derivative, ode->t, own->y, own->context);
    return own->memory == NULL || ARKStepSVtolerances(own->memory, ode->relative, own->absolute) != ARK_SUCCESS ||
           ARKStepSetUserData(own->memory, ode) != ARK_SUCCESS ||
           ARKStepSetLinearSolver(own->memory, own->linear, own->matrix) != ARK_SUCCESS ||
           ARKStepSetMaxNumSteps(own->memory, STEPS_MOST) != ARK_SUCCESS ||
           ARKStepSetMaxStep(own->memory, ode->longest) != ARK_SUCCESS;
}

double method_step(struct ode *ode, double stop)
{
    struct arkode *own = ode->method;
    sunrealtype t = ode->t;
    if (ARKStepSetStopTime(own->memory, stop) != ARK_SUCCESS ||
        ARKStepEvolve(own->memory, stop, own->y, &t, ARK_ONE_STEP) < 0) {
        return NAN;
    }
    shell_unpack(ode, N_VGetArrayPointer(own->y), ode->y);
    return t;
}

void method_between(struct ode *ode, double t, double *packed, double *extents)
{
    struct arkode *own = ode->method;
    if (packed != NULL) {
        (void)ARKStepGetDky(own->memory, t, 0, own->between);
        memcpy(packed, N_VGetArrayPointer(own->between), ode->live * sizeof *packed);
    }
    for (size_t j = 0; extents != NULL && j < ode->problem.rates; j++) {
        extents[j] = 0.0;
    }
}

struct ode_statistics method_counts(const struct ode *ode)
{
    void *memory = ((struct arkode *)ode->method)->memory;
    long steps = 0, tests = 0, newton = 0, jacobians = 0, setups = 0;
    (void)ARKStepGetNumSteps(memory, &steps);
    (void)ARKStepGetNumErrTestFails(memory, &tests);
    (void)ARKStepGetNumNonlinSolvConvFails(memory, &newton);
    (void)ARKStepGetNumJacEvals(memory, &jacobians);
    (void)ARKStepGetNumLinSolvSetups(memory, &setups);
    return (struct ode_statistics){.steps = (double)steps,
                                   .rejected = (double)(tests + newton),
                                   .jacobians = (double)jacobians,
                                   .factorisations = (double)setups};
}
