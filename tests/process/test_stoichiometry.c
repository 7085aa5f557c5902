/* test_stoichiometry.c: every process makes and loses nothing, tells what it is and where it comes from. */
#include "process/rates.h"
#include "process/registry.h"

#include "support/close.h"

#include <stdbool.h>
#include <string.h>

static void assert_balanced(const struct process *process)
{
    int imbalance[ELEMENT_COUNT];
    process_imbalance(process, imbalance);
    for (int e = 0; e < ELEMENT_COUNT; e++) {
        if (imbalance[e] != 0) {
            fail_msg("'%s' makes %d of %s out of nothing", process->name, imbalance[e], element_names[e]);
        }
    }
}

static bool balanced(const struct process *process)
{
    int imbalance[ELEMENT_COUNT];
    process_imbalance(process, imbalance);
    for (int e = 0; e < ELEMENT_COUNT; e++) {
        if (imbalance[e] != 0) {
            return false;
        }
    }
    return true;
}

/* Whole numbers, so the balance is exact; architecture: conservation by construction. */
static void every_process_balances(void **state)
{
    (void)state;
    assert_true(process_count() > 0);
    for (size_t i = 0; i < process_count(); i++) {
        assert_balanced(process_at(i));
    }
    assert_null(process_at(process_count()));
}

/* Compositions written down anew from the formulas of the compounds, not from the table: C, H, O, indigo core
 * (C16H8N2O2), Ca, alkali, strong anion, charge. The charges of carbonate and calcium are those of the ions. */
static void compositions_are_those_of_the_formulas(void **state)
{
    (void)state;
    static const struct {
        enum species species;
        int composition[ELEMENT_COUNT];
    } formulas[] = {
        {S_WATER, {0, 2, 1, 0, 0, 0, 0, 0}},          {S_INDIGO_SUSPENDED, {0, 2, 0, 1, 0, 0, 0, 0}}, /* C16H10N2O2 */
        {S_LEUCO, {0, 4, 0, 1, 0, 0, 0, 0}}, /* C16H12N2O2, counted as the acid */
        {S_FRUCTOSE, {6, 12, 6, 0, 0, 0, 0, 0}},      {S_SUCROSE, {12, 22, 11, 0, 0, 0, 0, 0}},
        {S_LACTATE, {3, 5, 3, 0, 0, 0, 0, -1}},       /* CH3CHOHCOO- */
        {S_SACCHARINATE, {6, 11, 6, 0, 0, 0, 0, -1}}, /* C6H11O6- */
        {S_OXIDATE, {6, 10, 8, 0, 0, 0, 0, -2}},      /* arabinonate C5H9O6- with formate CHO2- */
        {S_ACID_ADDED, {2, 3, 2, 0, 0, 0, 0, -1}},    /* acetate */
        {S_LIME_SUSPENDED, {0, 2, 2, 0, 1, 0, 0, 0}}, {S_CHALK_BED, {1, 0, 3, 0, 1, 0, 0, 0}},
        {S_CARBON, {1, 0, 3, 0, 0, 0, 0, -2}},        {S_CALCIUM, {0, 0, 0, 0, 1, 0, 0, 2}},
        {S_OXYGEN, {0, 0, 2, 0, 0, 0, 0, 0}},         {S_PEROXIDE, {0, 2, 2, 0, 0, 0, 0, 0}},
        {S_HYDROXIDE, {0, 1, 1, 0, 0, 0, 0, -1}},     {S_AIR_CARBON_DIOXIDE, {1, 0, 2, 0, 0, 0, 0, 0}},
    };
    for (size_t i = 0; i < sizeof formulas / sizeof formulas[0]; i++) {
        for (int e = 0; e < ELEMENT_COUNT; e++) {
            assert_int_equal(species_table[formulas[i].species].composition[e], formulas[i].composition[e]);
        }
    }
}

/* Every compound that lies in two places is the same compound. */
static void places_of_a_compound_agree(void **state)
{
    (void)state;
    static const enum species same[][2] = {
        {S_INDIGO_DRY, S_INDIGO_SUSPENDED},
        {S_INDIGO_BED, S_INDIGO_SUSPENDED},
        {S_INDIGO_FILM, S_INDIGO_SUSPENDED},
        {S_LEUCO_HELD, S_LEUCO},
        {S_CLOTH_0, S_LEUCO},
        {S_CLOTH_1, S_LEUCO},
        {S_CLOTH_2, S_LEUCO},
        {S_CLOTH_3, S_LEUCO},
        {S_GLUCOSE, S_FRUCTOSE},
        {S_LIME_BED, S_LIME_SUSPENDED},
        {S_CHALK_BED, S_CHALK_SUSPENDED},
        {S_AIR_OXYGEN, S_OXYGEN},
        {S_AIR_WATER, S_WATER},
    };
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        assert_memory_equal(species_table[same[i][0]].composition, species_table[same[i][1]].composition,
                            sizeof species_table[0].composition);
    }
}

/* The check can fail: a copy with one term changed, or one species swapped, is caught, for every process that moves
 * an element. */
static void a_broken_process_is_caught(void **state)
{
    (void)state;
    int caught = 0;
    for (size_t i = 0; i < process_count(); i++) {
        for (int t = 0; t < PROCESS_TERMS_MOST && process_at(i)->terms[t].coefficient != 0; t++) {
            struct process broken = *process_at(i);
            bool counted = false;
            for (int e = 0; e < ELEMENT_COUNT; e++) {
                counted = counted || species_table[broken.terms[t].species].composition[e] != 0;
            }
            broken.terms[t].coefficient *= 2;
            assert_int_equal(balanced(&broken), !counted);
            caught += counted;
        }
    }
    assert_true(caught > 100);
}

static bool is_snake_case(const char *name)
{
    size_t length = strlen(name);
    return length > 0 && name[0] >= 'a' && name[0] <= 'z' && name[length - 1] != '_' && strstr(name, "__") == NULL &&
           strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_") == length;
}

static void every_process_tells_what_it_is(void **state)
{
    (void)state;
    for (size_t i = 0; i < process_count(); i++) {
        const struct process *process = process_at(i);
        assert_true(is_snake_case(process->name));
        assert_true(process->title != NULL && process->title[0] != '\0');
        assert_true(process->law != NULL && process->law[0] != '\0');
        assert_true(process->source != NULL && process->source[0] != '\0');
        assert_non_null(process->rate);
        assert_in_range(process->constant_count, 0, PROCESS_CONSTANTS_MOST);
        assert_true(strcmp(process->extent_unit, "mol") == 0 || strcmp(process->extent_unit, "J") == 0 ||
                    strcmp(process->extent_unit, "kg") == 0);
        for (size_t j = 0; j < i; j++) {
            assert_string_not_equal(process->name, process_at(j)->name);
            assert_string_not_equal(process->title, process_at(j)->title);
        }
    }
}

/* Terms are in the unit of the extent, name each species once, and use none up and make none of it both. */
static void terms_are_in_order(void **state)
{
    (void)state;
    for (size_t i = 0; i < process_count(); i++) {
        const struct process *process = process_at(i);
        assert_true(process->terms[0].coefficient != 0);
        for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
            assert_in_range(process->terms[t].species, 0, SPECIES_COUNT - 1);
            assert_string_equal(species_table[process->terms[t].species].unit, process->extent_unit);
            for (int u = 0; u < t; u++) {
                assert_int_not_equal(process->terms[t].species, process->terms[u].species);
            }
        }
    }
}

/* Heat is not made: what the vat gets, the surroundings give, and the other way. */
static void heat_balances_against_the_surroundings(void **state)
{
    (void)state;
    int heat_processes_seen = 0;
    for (size_t i = 0; i < process_count(); i++) {
        const struct process *process = process_at(i);
        int sum = 0;
        bool heat = false;
        for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
            if (process->terms[t].species == S_HEAT || process->terms[t].species == S_SURROUNDINGS) {
                sum += process->terms[t].coefficient;
                heat = heat || process->terms[t].species == S_HEAT;
            }
        }
        assert_int_equal(sum, 0);
        assert_int_equal(heat, strcmp(process->extent_unit, "J") == 0);
        heat_processes_seen += heat;
    }
    assert_int_equal(heat_processes_seen, HEAT_PROCESS_COUNT - 1); /* all but the evaporation of water itself */
}

static void names_are_listed_in_order(void **state)
{
    (void)state;
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    for (size_t i = 0; i < process_count(); i++) {
        assert_ptr_equal(names[i], process_at(i)->name);
    }
    assert_null(names[process_count()]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_process_balances),
        cmocka_unit_test(compositions_are_those_of_the_formulas),
        cmocka_unit_test(places_of_a_compound_agree),
        cmocka_unit_test(a_broken_process_is_caught),
        cmocka_unit_test(every_process_tells_what_it_is),
        cmocka_unit_test(terms_are_in_order),
        cmocka_unit_test(heat_balances_against_the_surroundings),
        cmocka_unit_test(names_are_listed_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
