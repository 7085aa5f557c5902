/* test_sweep_file.c: the heading of a sweep there and back, hostile headings, and parts that do not make a whole. */
#include "record/sweep_file.h"

#include "record/scratch.h"
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void good(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

static struct sweep_about make_about(void)
{
    struct sweep_about about = {.start_unix = 1780000000.0,
                                .record_every = 0.1,
                                .rtol = 1e-5,
                                .seed = 4294967301U,
                                .runs = 6,
                                .series_rows = 3};
    (void)snprintf(about.title, sizeof about.title, "\"Sashes\" \\ & <b>\u00e9</b>");
    (void)snprintf(about.scenario_name, sizeof about.scenario_name, "a/b.conf");
    about.scenario_text = strdup("title = \"x\";\n\t# a tab");
    about.model_text = strdup("");
    about.swept = calloc(1, sizeof *about.swept);
    about.swept_count = 1;
    assert_true(about.scenario_text != NULL && about.model_text != NULL && about.swept != NULL);
    /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): asserted above */
    about.swept[0] = (struct swept){.name = "vat.fill", .unit = "L", .how = "evenly", .low = 0.1, .high = 1.0 / 3.0};
    good(table_add_column(&about.members, "drawn_vat_fill", "L", "vat.fill, as varied", NULL));
    good(table_add_column(&about.members, "condition", "1", "how it ended", "never_ready ready"));
    good(table_add_column(&about.series, "ph", "1", "pH", NULL));
    good(table_add_column(&about.series, "state", "1", "diagnosis", "ready tired"));
    return about;
}

static void a_heading_is_read_as_it_was_written(void **state)
{
    (void)state;
    struct sweep_about about = make_about();
    struct sweep_about back;
    char *heading;
    char *again;
    good(sweep_about_write(&about, &heading));
    good(sweep_about_read(heading, &back));
    good(sweep_about_write(&back, &again));
    assert_string_equal(heading, again);
    assert_string_equal(back.title, about.title);
    assert_string_equal(back.scenario_text, about.scenario_text);
    assert_true(back.seed == about.seed && back.record_every == 0.1 && back.swept[0].high == 1.0 / 3.0);
    assert_string_equal(back.members.columns[1].flags, "never_ready ready");
    assert_null(back.series.columns[0].flags);
    assert_int_equal(sweep_about_width(&back), 2 + 2 * 3);
    /* cut anywhere, it is refused */
    size_t length = strlen(heading);
    for (size_t cut = 0; cut < length; cut += 7) {
        struct sweep_about none;
        char kept = heading[cut];
        heading[cut] = '\0';
        assert_int_equal(sweep_about_read(heading, &none).code, STATUS_IO);
        heading[cut] = kept;
    }
    char *version = strstr(heading, "\"version\":\"");
    assert_non_null(version);
    version[11] = '9';
    struct sweep_about other;
    struct status status = sweep_about_read(heading, &other);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "version 9"));
    free(heading);
    free(again);
    sweep_about_free(&about);
    sweep_about_free(&back);
}

static void headings_that_mean_harm_are_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "",
        "{}",
        "[]",
        "null",
        "7",
        "{\"version\":7}",
        "{\"version\":\"" VATCAST_VERSION "\"}",
        "{\"version\":\"" VATCAST_VERSION
        "\",\"title\":\"\",\"scenario_name\":\"\",\"start_unix\":0,\"record_every\":1,"
        "\"rtol\":1,\"seed\":1,\"runs\":-1,\"series_rows\":0,\"swept\":[],\"members\":[],\"series\":[],"
        "\"scenario_text\":\"\",\"model_text\":\"\"}",
        "{\"version\":\"" VATCAST_VERSION
        "\",\"title\":\"\",\"scenario_name\":\"\",\"start_unix\":0,\"record_every\":1,"
        "\"rtol\":1,\"seed\":1,\"runs\":1,\"series_rows\":0,\"swept\":[[1,2,3]],\"members\":[],\"series\":[],"
        "\"scenario_text\":\"\",\"model_text\":\"\"}",
        "{\"version\":\"" VATCAST_VERSION
        "\",\"title\":\"\",\"scenario_name\":\"\",\"start_unix\":0,\"record_every\":1,"
        "\"rtol\":1,\"seed\":1,\"runs\":1,\"series_rows\":0,\"swept\":[],\"members\":[[\"A/B\",\"\",\"\",null]],"
        "\"series\":[],\"scenario_text\":\"\",\"model_text\":\"\"}",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct sweep_about about;
        struct status status = sweep_about_read(bad[i], &about);
        if (status_is_ok(&status)) {
            fail_msg("heading %zu was taken", i);
        }
    }
}

static struct journal *make_part(const char *folder, const char *name, size_t first, size_t count, size_t rows)
{
    char path[SCRATCH_PATH + 16];
    struct journal *journal;
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    good(journal_open(path, "x", first, count, 2, false, &journal));
    for (size_t i = 0; i < rows; i++) {
        double row[2] = {(double)(first + i), 1.0};
        good(journal_append(journal, row));
    }
    return journal;
}

static void parts_must_make_a_whole(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    scratch_make(folder);
    struct journal *a = make_part(folder, "a", 0, 2, 2);
    struct journal *b = make_part(folder, "b", 2, 2, 2);
    struct journal *c = make_part(folder, "c", 4, 2, 2);
    struct journal *late = make_part(folder, "late", 4, 2, 1);
    struct {
        struct journal *parts[3];
        size_t count;
        const char *words;
    } trials[] = {
        {{a, b, c}, 3, NULL},
        {{b, c}, 2, "runs 1 to 2 of 6 are missing"},
        {{a, c}, 2, "runs 3 to 4 of 6 are missing"},
        {{a, b}, 2, "runs 5 to 6 of 6 are missing"},
        {{a, a, b}, 3, "runs 1 to 2 are there twice"},
        {{a, b, late}, 3, "runs 6 to 6 are still to be done"},
    };
    for (size_t i = 0; i < sizeof trials / sizeof trials[0]; i++) {
        struct sweep_about about = make_about();
        struct status status = sweep_load_members(&about, trials[i].parts, trials[i].count);
        if (trials[i].words == NULL) {
            good(status);
            for (size_t run = 0; run < 6; run++) {
                assert_true(about.members.columns[0].values[run] == (double)run);
            }
        } else if (status.code != STATUS_IO || strstr(status.message, trials[i].words) == NULL) {
            fail_msg("trial %zu: %s", i, status.message);
        }
        sweep_about_free(&about);
    }
    good(journal_close(a));
    good(journal_close(b));
    good(journal_close(c));
    good(journal_close(late));
    scratch_remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_heading_is_read_as_it_was_written),
        cmocka_unit_test(headings_that_mean_harm_are_refused),
        cmocka_unit_test(parts_must_make_a_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
