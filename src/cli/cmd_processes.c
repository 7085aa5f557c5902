/* cmd_processes.c: vatcast processes: the process table, printed from the code that runs and the model that feeds
 * it. */
#include "cli/text.h"
#include "cli/verbs.h"
#include "process/registry.h"

#define INDENT 10
#define CONSTANT_INDENT 4

static const struct option_spec options[] = {
    {0, NULL, NULL, NULL},
};

/* One side of the reaction: terms with a coefficient of the wanted sign, as "2 leuco + oxygen". */
static void add_side(const struct process *process, int sign, struct text *text)
{
    bool any = false;
    for (int i = 0; i < PROCESS_TERMS_MOST && process->terms[i].coefficient != 0; i++) {
        int coefficient = process->terms[i].coefficient * sign;
        if (coefficient <= 0) {
            continue;
        }
        text_add(text, any ? " + " : "");
        if (coefficient > 1) {
            text_add(text, "%d ", coefficient);
        }
        text_add(text, "%s", species_table[process->terms[i].species].name);
        any = true;
    }
    if (!any) {
        text_add(text, "nothing");
    }
}

static void print_labelled(const char *label, const char *words)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, label, INDENT, words, TEXT_WIDTH, "");
}

static void print_constant(const struct model *model, enum constant_id id)
{
    const struct constant *constant = &model->constants[id];
    const char *unit = constant_specs[id].unit;
    struct text text = {0};
    struct text_style plain = {.width = TEXT_WIDTH};
    bool pure = unit[0] == '1' && unit[1] == '\0';
    text_add(&text, "%s = %.4g (%.4g to %.4g)%s%s", constant_specs[id].name, constant->nominal, constant->low,
             constant->high, pure ? "" : " ", pure ? "" : unit);
    text_print_wrapped(stdout, &plain, "", 0, text_string(&text), TEXT_WIDTH, "");
    if (constant->about[0] != '\0') {
        text_print_wrapped(stdout, &plain, "", CONSTANT_INDENT, constant->about, TEXT_WIDTH, "");
    }
    text_clear(&text);
    text_add(&text, "source: %s", constant->source);
    text_print_wrapped(stdout, &plain, "", CONSTANT_INDENT, text_string(&text), TEXT_WIDTH, "");
    text_free(&text);
}

static void print_process(const struct call *call, const struct model *model, size_t index)
{
    const struct process *process = process_at(index);
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    struct text text = {0};
    text_print_wrapped(stdout, &style, process->name, 0, "", TEXT_WIDTH, "");
    print_labelled("  what", process->title);
    add_side(process, -1, &text);
    text_add(&text, " -> ");
    add_side(process, 1, &text);
    print_labelled("  makes", text_string(&text));
    text_clear(&text);
    text_add(&text, "%s  [%s/s]", process->law, process->extent_unit);
    print_labelled("  rate", text_string(&text));
    print_labelled("  source", process->source);
    if (!model->process_on[index]) {
        print_labelled("  note", "switched off in this model");
    }
    text_clear(&text);
    for (int i = 0; i < process->constant_count; i++) {
        text_join(&text, ", ", "%s", constant_specs[process->constants[i]].name);
    }
    if (text.size > 0) {
        print_labelled("  reads", text_string(&text));
    }
    fputc('\n', stdout);
    text_free(&text);
}

/* Every constant that some process reads, once, in the order of base/constants.h; then those read elsewhere. */
static void print_constants(const struct model *model)
{
    bool read[CONSTANT_COUNT] = {false};
    for (size_t i = 0; i < process_count(); i++) {
        for (int k = 0; k < process_at(i)->constant_count; k++) {
            read[process_at(i)->constants[k]] = true;
        }
    }
    fputs("Constants of the rate laws: nominal (low to high) unit\n\n", stdout);
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        if (read[id]) {
            print_constant(model, (enum constant_id)id);
        }
    }
    fputs("\nConstants of what happens at events, on cloth and in instruments\n\n", stdout);
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        if (!read[id]) {
            print_constant(model, (enum constant_id)id);
        }
    }
}

static struct status act(const struct call *call)
{
    struct model model;
    RETURN_IF_FAILED(load_model(call, call->operand_count > 0 ? call->operands[0] : DEFAULT_MODEL, &model));
    struct text heading = {0};
    text_add(&heading, "%s: %s", model.name, model.about);
    print_row(stdout, "", 0, text_string(&heading));
    print_row(stdout, "", 0,
              "Each process moves whole units of what it names, so that nothing is made of nothing. The "
              "constants that its rate reads are listed below, each with its range and source.");
    fputc('\n', stdout);
    for (size_t i = 0; i < process_count(); i++) {
        print_process(call, &model, i);
    }
    print_constants(&model);
    text_free(&heading);
    model_free(&model);
    return status_ok();
}

const struct verb verb_processes = {
    .name = "processes",
    .operands = "[MODEL]",
    .summary = "print the process table of a model: reactions, rate laws, constants, sources",
    .about =
        "Prints every process of the program as MODEL (default: " DEFAULT_MODEL ") has it: what it is, the balanced "
        "reaction, the rate law, where it comes from, and its constants with their ranges and sources. "
        "MODEL is a model's name or the path of a model file.",
    .options = options,
    .operands_least = 0,
    .operands_most = 1,
    .act = act,
};
