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
            "Living: %.0f mg/L of cells that reduce, %.0f mg/L of spoilers; feed %.1f g/L, nitrogen for it %.1f mmol/L; pH falls "
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
    fprintf(session->out, "Liquor: %.1f L, %.1f C, pH %.2f, redox %.0f mV (Ag/AgCl), oxygen %.2g mg/L.\n", row[SERIES_VOLUME],
            row[SERIES_TEMPERATURE], row[SERIES_PH], row[SERIES_ORP], fmax(0.0, row[SERIES_OXYGEN]));
    fprintf(session->out,
            "Indigo: %.2f g/L reduced and dissolved, %.2f g/L blue and afloat; %.1f g in the bed, %.2g g in the film; %.0f %% of all is "
            "reduced.\n",
            row[SERIES_LEUCO], row[SERIES_INDIGO_SUSPENDED], row[SERIES_INDIGO_BED], fmax(0.0, row[SERIES_INDIGO_FILM]),
            100.0 * row[SERIES_REDUCED_SHARE]);
    fprintf(session->out, "Sugar: %.2f g/L, of it reductone %.3f mmol/L; spent, as acid, %.1f mmol/L.\n", row[SERIES_HEXOSE],
            row[SERIES_REDUCTONE], row[SERIES_ACID]);
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

static void help_materials(const struct session *session)
{
    const struct scenario *scenario = session->scenario;
    fputs("This vat was made with", session->out);
    for (size_t i = 0; i < scenario->charge_count; i++) {
        fprintf(session->out, "%s %s", i > 0 ? "," : "", scenario->model.materials[scenario->charge[i].material].name);
    }
    fputs(scenario->charge_count > 0 ? ". " : " what its maker had. ", session->out);
    fputs("Anything that 'vatcast materials' lists may go in; \"lime\" is slaked lime, \"sugar\" the sugar of this vat.\n",
          session->out);
}

static void help_on(const struct session *session, const struct sentence *sentence)
{
    char also[200];
    fprintf(session->out, "%s: %s. Example: %s\n", sentence->form, sentence->what, sentence->example);
    const char *others = strchr(sentence->words, '|');
    if (others != NULL) {
        size_t used = 0;
        for (const char *c = others + 1; *c != '\0' && used + 3 < sizeof also; c++) {
            also[used++] = *c == '|' ? ',' : *c;
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
        fputs("Say 'dip again' for the same piece, 'dip sash 3' for the third of the sashes, 'dip for 5 min 3 times airing 15 "
              "min' for several at a time. Without a number those go in that were dipped least.\n",
              session->out);
    } else if (sentence->kind == ACT_WAIT || sentence->kind == ACT_BACK || sentence->kind == ACT_WHY) {
        fputs("Moments: 14:30, 2 pm, morning (8:00), noon, evening (18:00), tomorrow 9:00, yesterday, day 3 10:00, 2 hours ago, "
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
    for (size_t i = 0; i < sentence_count; i++) {
        bool is_told = i > 0 && sentence_table[i].kind == sentence_table[i - 1].kind && sentence_table[i].kind == ACT_FINISH;
        if (sentence_table[i].kind == ACT_MOVE && session->scenario->place_count < 2) {
            continue;
        }
        if (!is_told && strcmp(sentence_table[i].form, "wait overnight") != 0) {
            fprintf(session->out, "  %-34s %s\n", sentence_table[i].example, sentence_table[i].what);
        }
    }
    fputs("Amounts and times in any unit: 200 g, 2 tbsp, 1 1/2 cups, 113 F, 90 min. 'help WORD' tells more.\n", session->out);
}
