/* disposal_text.c: how to throw a vat away, in words; see advise_text.h. */
#include "cli/advise_text.h"
#include "study/measures.h"

#include <math.h>
#include <stdio.h>

#define CORROSIVE_PH 12.5 /* United States, 40 CFR 261.22; households are exempt by 261.4 */

/* "0.64 L of vinegar, about 2 3/4 cups, or 35 g of citric acid, about 3 tbsp" */
static void add_acids(struct text *text, const struct advise_answer *answer, bool all)
{
    const struct disposal *disposal = &answer->disposal;
    int told = 0;
    for (int i = 0; i < DISPOSAL_ACIDS; i++) {
        const struct neutraliser *acid = &disposal->acids[i];
        double mass = all ? acid->all : acid->liquor;
        char amount[80];
        if (acid->material < 0 || isnan(mass)) {
            continue;
        }
        const struct material *material = &answer->scenario->model.materials[acid->material];
        measure_say(material, mass_rounded(mass), amount, sizeof amount);
        text_add(text, "%s%s of %s", told++ > 0 ? ", or " : "", amount, material->name);
    }
    if (told == 0) {
        text_add(text, "no acid in materials.conf: see docs/disposal.md");
    }
}

static void print_liquor(const struct advise_answer *answer, struct text *text)
{
    const struct disposal *disposal = &answer->disposal;
    if (disposal->ph <= DISPOSAL_PH) {
        text_add(text, "the liquor is at pH %.1f already: it needs no acid.", disposal->ph);
        advise_line("3 Acid", text);
        return;
    }
    text_add(text, "to bring the clear liquor, %.0f L at pH %.1f, to pH %.1f: at most ", 1e3 * disposal->volume,
             disposal->ph, DISPOSAL_PH);
    add_acids(text, answer, false);
    text_add(
        text,
        ". A quarter of it at a time, stirred in, then ten minutes and a strip. After half of it the pH is still %.1f; "
        "near the end it falls fast. Stop between 7 and 9.",
        disposal->ph_half);
    advise_line("3 Acid", text);
}

static void print_bed(const struct advise_answer *answer, struct text *text)
{
    const struct disposal *disposal = &answer->disposal;
    text_add(text,
             "the sediment (chalk, spent indigo and %.0f g of lime%s) dries in a tray, out of reach of children and "
             "animals, "
             "and goes to solid waste or, little by little, onto sour garden soil, where the rules allow it.",
             1e3 * disposal->lime, disposal->lime_known ? "" : ", as the readings allow at the most");
    advise_line("4 Bed", text);
    if (disposal->lime > 0.0) {
        text_add(text, "stirred into the liquor instead, it would ask for ");
        add_acids(text, answer, true);
        text_add(text, " in all; so leave it out.");
        advise_line("", text);
    }
}

void disposal_print(const struct advise_answer *answer)
{
    const struct disposal *disposal = &answer->disposal;
    struct text text = {0};
    text_add(
        &text,
        "what your water works, waste office or septic owner's rules say comes first, and before anything told here.");
    advise_line("Retire", &text);
    text_add(&text,
             "old cloth or paper takes up what blue is left (%.0f g of indigotin); then leave the lid off and stir for "
             "a day or two, until the liquor is blue through. Air also turns lime to chalk, which saves acid.",
             1e3 * disposal->indigo);
    advise_line("1 Use up", &text);
    text_add(&text, "a day; then dip or siphon the clear liquor off the sediment.");
    advise_line("2 Settle", &text);
    print_liquor(answer, &text);
    print_bed(answer, &text);
    text_add(&text,
             "no storm drain, ditch, stream or pond, ever; no lime or sludge down any drain, where it sets; a septic "
             "tank only small lots, well diluted, if its rules allow.");
    if (disposal->ph >= CORROSIVE_PH) {
        text_add(&text,
                 " At pH 12.5 and more a liquor counts as corrosive waste for a business in the United States (40 CFR "
                 "261.22; households: 261.4): ask before you neutralise it.");
    }
    advise_line("Never", &text);
    text_add(&text,
             "sealed goggles and gloves to the end; acid into the vat in small steps, in the open or by a window: it "
             "froths where there is chalk. Vinegar or citric acid, nothing stronger. Something in the eye: water for "
             "15 to 20 minutes, then a doctor; no acid, no neutralising there.");
    advise_line("Care", &text);
    text_free(&text);
}
