/* asking.c: what is inside now, and help; see session_parts.h. */
#include "rehearse/session_parts.h"

#include "process/species.h"
#include "scenario/words.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

/* ---- reveal ------------------------------------------------------------------------------------------------------- */

static void reveal_life(const struct session *session, const double *row)
{
    fprintf(session->out,
            "Living: %.0f mg/L of cells that reduce, %.0f mg/L of spoilers; feed %.1f g/L, nitrogen for it %.1f "
            "mmol/L; pH falls "
            "by %.2f a day.\n",
            row[SERIES_CELLS], row[SERIES_SPOILERS], row[SERIES_FEED], row[SERIES_NITROGEN], row[SERIES_PH_FALL]);
}

void tell_reveal(struct session *session)
{
    double row[SERIES_COUNT];
    char state[WORD_SIZE];
    char moment[64];
    run_row(session->run, row);
    word_of_list(STATE_WORDS, row[SERIES_STATE], state);
    session_moment(session, session->now, moment, sizeof moment);
    fprintf(session->out, "Inside, on %s, hidden from a dyer: %s.\n", moment, state);
    fprintf(session->out, "Liquor: %.1f L, %.1f C, pH %.2f, redox %.0f mV (Ag/AgCl), oxygen %.2g mg/L.\n",
            row[SERIES_VOLUME], row[SERIES_TEMPERATURE], row[SERIES_PH], row[SERIES_ORP],
            fmax(0.0, row[SERIES_OXYGEN]));
    fprintf(session->out,
            "Indigo: %.2f g/L reduced and dissolved, %.2f g/L blue and afloat; %.1f g in the bed, %.2g g in the film; "
            "%.0f %% of all is "
            "reduced.\n",
            row[SERIES_LEUCO], row[SERIES_INDIGO_SUSPENDED], row[SERIES_INDIGO_BED], fmax(0.0, row[SERIES_INDIGO_FILM]),
            100.0 * row[SERIES_REDUCED_SHARE]);
    fprintf(session->out, "Sugar: %.2f g/L, of it reductone %.3f mmol/L; spent, as acid, %.1f mmol/L.\n",
            row[SERIES_HEXOSE], row[SERIES_REDUCTONE], row[SERIES_ACID]);
    fprintf(session->out, "Lime: %.1f g undissolved, of it %.1f g afloat; chalk %.1f g; sediment %.1f cm.\n",
            row[SERIES_LIME_SOLID], row[SERIES_LIME_SUSPENDED], row[SERIES_CHALK], row[SERIES_BED_DEPTH]);
    if (run_stand(session->run).ferments) {
        reveal_life(session, row);
    }
}

/* ---- help --------------------------------------------------------------------------------------------------------- */

/* The sentence that a word begins; NULL: none. */
static const struct sentence *sentence_of(const char *word)
{
    struct phrase phrase;
    if (!phrase_split(&phrase, word)) {
        return NULL;
    }
    for (size_t i = 0; i < sentence_count; i++) {
        phrase.at = 0;
        if (phrase_take(&phrase, sentence_table[i].words)) {
            return &sentence_table[i];
        }
    }
    for (size_t i = 0; i < sentence_count; i++) { /* "top" for "top up" */
        if (strncmp(sentence_table[i].words, phrase_word(&phrase, 0), strlen(phrase_word(&phrase, 0))) == 0) {
            return &sentence_table[i];
        }
    }
    return NULL;
}

/* Whether an earlier sentence of the table has the same example. */
static bool is_told_already(const struct session *session, size_t index)
{
    char example[EXAMPLE_SIZE];
    char other[EXAMPLE_SIZE];
    sentence_example(session->scenario, &sentence_table[index], example);
    for (size_t i = 0; i < index; i++) {
        sentence_example(session->scenario, &sentence_table[i], other);
        if (strcmp(example, other) == 0) {
            return true;
        }
    }
    return false;
}

static void help_materials(const struct session *session)
{
    const struct scenario *scenario = session->scenario;
    fputs("This vat was made with", session->out);
    for (size_t i = 0; i < scenario->charge_count; i++) {
        fprintf(session->out, "%s %s", i > 0 ? "," : "", scenario->model.materials[scenario->charge[i].material].name);
    }
    fputs(scenario->charge_count > 0 ? ". " : " what its maker had. ", session->out);
    fputs("Anything that 'vatcast materials' lists may go in; \"lime\" is slaked lime, \"sugar\" the sugar of this "
          "vat.\n",
          session->out);
}

static void help_on(const struct session *session, const struct sentence *sentence)
{
    char also[200];
    char example[EXAMPLE_SIZE];
    sentence_example(session->scenario, sentence, example);
    fprintf(session->out, "%s: %s. Example: %s\n", sentence->form, sentence->what, example);
    const char *others = strchr(sentence->words, '|');
    if (others != NULL) {
        size_t used = 0;
        for (const char *c = others + 1; *c != '\0' && used + 3 < sizeof also; c++) {
            also[used++] = (char)(*c == '|' ? ',' : *c);
            if (*c == '|') {
                also[used++] = ' ';
            }
        }
        also[used] = '\0';
        fprintf(session->out, "Also: %s.\n", also);
    }
    if (sentence->kind == ACT_ADD) {
        help_materials(session);
    } else if (sentence->kind == ACT_DIP && session->scenario->cloth_count > 0) {
        const char *name = session->scenario->cloth[0].name;
        fprintf(session->out,
                "Say 'dip again for 5 min' for the same piece, 'dip %s 2 for 5 min' for the second, 'dip %s for 5 min "
                "3 times "
                "airing 15 min' for several dips, 'dip %s for 2 hours and leave it in' to do other things meanwhile. "
                "Without a number those go in that were dipped least.\n",
                name, name, name);
    } else if (sentence->kind == ACT_WAIT || sentence->kind == ACT_BACK || sentence->kind == ACT_WHY) {
        fputs("Moments: 14:30, 2 pm, morning (8:00), noon, evening (18:00), tomorrow 9:00, yesterday, day 3 10:00, 2 "
              "hours ago, "
              "start.\n",
              session->out);
    }
}

void tell_help(struct session *session, const char *word)
{
    const struct sentence *sentence = word[0] != '\0' ? sentence_of(word) : NULL;
    if (sentence != NULL) {
        help_on(session, sentence);
        return;
    }
    if (word[0] != '\0') {
        fprintf(session->out, "There is no sentence with \"%.40s\".\n", word);
    }
    static const struct {
        const char *title;
        enum act_kind first, last;
    } groups[] = {
        {"The vat", ACT_ADD, ACT_RACK},     {"Cloth", ACT_DIP, ACT_AIR},   {"Time", ACT_WAIT, ACT_WAIT},
        {"See, read", ACT_LOOK, ACT_READY}, {"Ask", ACT_REVEAL, ACT_HELP}, {"Go back, keep", ACT_BACK, ACT_QUIT},
    };
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        const char *separator = "";
        fprintf(session->out, "  %-14s  ", groups[g].title);
        for (size_t i = 0; i < sentence_count; i++) {
            char example[EXAMPLE_SIZE];
            const struct sentence *at = &sentence_table[i];
            if (at->kind < groups[g].first || at->kind > groups[g].last ||
                (session->is_examined && act_is_withheld(at->kind)) ||
                (at->kind == ACT_MOVE && session->scenario->place_count < 2) || is_told_already(session, i)) {
                continue;
            }
            sentence_example(session->scenario, at, example);
            fprintf(session->out, "%s%s", separator, example);
            separator = "; ";
        }
        fputc('\n', session->out);
    }
    fputs("Amounts and times in any unit: 200 g, 2 tbsp, 1 1/2 cups, 113 F, 90 min. 'help WORD' tells more.\n",
          session->out);
}
