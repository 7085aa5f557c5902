/* cmd_materials.c: vatcast materials: what can go into a vat, and the fibres that can be dyed. */
#include "cli/text.h"
#include "cli/verbs.h"

#include <math.h>

#define INDENT 12

static const struct option_spec options[] = {
    {0, NULL, NULL, NULL},
};

static void add_share(struct text *text, double share, const char *what)
{
    if (share > 0.0) {
        text_join(text, ", ", "%.3g %% %s", 100.0 * share, what);
    }
}

static void print_labelled(const char *label, const char *words)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    if (words[0] != '\0') {
        text_print_wrapped(stdout, &plain, label, INDENT, words, TEXT_WIDTH, "");
    }
}

static void add_contents(const struct material *material, struct text *text)
{
    add_share(text, material->indigotin, "indigotin");
    add_share(text, material->fructose, "fructose");
    add_share(text, material->glucose, "glucose");
    add_share(text, material->sucrose, "sucrose");
    add_share(text, material->lime, "lime, Ca(OH)2");
    add_share(text, material->chalk, "chalk");
    add_share(text, material->soda, "sodium carbonate");
    add_share(text, material->potash, "potassium carbonate");
    add_share(text, material->fast_feed, "food for a fermentation within days");
    add_share(text, material->slow_feed, "food within weeks");
    add_share(text, material->mediator, "plant matter that helps reduction");
    add_share(text, material->mediator_high_ph, "plant matter that helps reduction above pH 12");
    add_share(text, material->residue, "insoluble matter");
    add_share(text, material->water, "water");
    if (material->cells > 0.0) {
        text_join(text, ", ", "%.3g mg of living cells per kg", 1e6 * material->cells);
    }
    if (material->causticity > 0.0) {
        text_join(text, ", ", "%.3g mol of alkali without carbonate per kg", material->causticity);
    }
    if (material->acid > 0.0) {
        text_join(text, ", ", "%.3g mol of acid per kg", material->acid);
    }
}

static void print_material(const struct call *call, const struct material *material)
{
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    struct text text = {0};
    text_print_wrapped(stdout, &style, material->name, 0, "", TEXT_WIDTH, "");
    print_labelled("  kind", material->kind);
    add_contents(material, &text);
    print_labelled("  holds", text_string(&text));
    text_clear(&text);
    if (!isnan(material->purity_nominal)) {
        text_add(&text, "%.3g %% (%.3g to %.3g %%) when the scenario gives no purity", 100.0 * material->purity_nominal,
                 100.0 * material->purity_low, 100.0 * material->purity_high);
        print_labelled("  purity", text_string(&text));
        text_clear(&text);
    }
    if (!isnan(material->bulk_density)) {
        text_add(&text, "%.2f g/mL", material->bulk_density / 1000.0);
        if (!isnan(material->bulk_density_low) && !isnan(material->bulk_density_high)) {
            text_add(&text, " (%.2f to %.2f)", material->bulk_density_low / 1000.0,
                     material->bulk_density_high / 1000.0);
        }
        text_add(&text, ", %.0f g a tablespoon", material->bulk_density * 14.787e-3);
        print_labelled("  spoons", text_string(&text));
    }
    print_labelled("  source", material->source);
    print_labelled("  care", material->caution);
    text_free(&text);
}

static void print_fibre(const struct call *call, const struct fibre *fibre)
{
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    struct text text = {0};
    text_print_wrapped(stdout, &style, fibre->name, 0, "", TEXT_WIDTH, "");
    text_add(&text, "%.3g (%.3g to %.3g) g of indigotin per kg in a liquor of 1 g/L, at most %.3g g/kg in one dip",
             1e3 * fibre->freundlich.nominal, 1e3 * fibre->freundlich.low, 1e3 * fibre->freundlich.high,
             1e3 * fibre->cap.nominal);
    print_labelled("  takes", text_string(&text));
    text_clear(&text);
    text_add(&text, "%.2g L of liquor per kg wrung by hand, %.2g dripping, %.2g spun", fibre->pickup_hand.nominal,
             fibre->pickup_drip.nominal, fibre->pickup_spin.nominal);
    print_labelled("  carries", text_string(&text));
    text_clear(&text);
    if (!isnan(fibre->ph_limit)) {
        text_add(&text, "harmed above pH %.1f", fibre->ph_limit);
        print_labelled("  care", text_string(&text));
    }
    print_labelled("  source", fibre->freundlich.source);
    text_free(&text);
}

static struct status act(const struct call *call)
{
    struct model model;
    RETURN_IF_FAILED(load_model(call, DEFAULT_MODEL, &model));
    fputs("Materials (the names to write after 'add' and 'what')\n\n", stdout);
    for (size_t i = 0; i < model.material_count; i++) {
        print_material(call, &model.materials[i]);
    }
    fputs("\nFibres (the names to write after 'fibre')\n\n", stdout);
    for (size_t i = 0; i < model.fibre_count; i++) {
        print_fibre(call, &model.fibres[i]);
    }
    model_free(&model);
    return status_ok();
}

const struct verb verb_materials = {
    .name = "materials",
    .operands = "",
    .summary = "list the materials and fibres that scenarios may name",
    .about = "Lists every material with what a kilogram of it brings, what a spoon of it weighs and what to "
             "mind when handling it, and every fibre with how much indigo and liquor it takes.",
    .options = options,
    .operands_least = 0,
    .operands_most = 0,
    .act = act,
};
