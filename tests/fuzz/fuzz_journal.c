/* fuzz_journal.c: any bytes as the journal of a session: refused, or taken up with what is whole in it. */
#include "fuzz/fuzz.h"

#include "rehearse/session_journal.h"

#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct session_journal *journal;
    struct journal_about about;
    const char *path = fuzz_file("any.session", data, size);
    struct status status = session_journal_open(path, &journal, &about);
    fuzz_expect(status_is_ok(&status) == (journal != NULL), "a journal is opened or refused");
    fuzz_expect(status_is_ok(&status) || status.code == STATUS_IO || status.code == STATUS_LIMIT, "a refusal is told as one");
    if (status_is_ok(&status)) {
        status = session_journal_append(journal, "stir", true);
        fuzz_expect(status_is_ok(&status), "a journal that is taken up can be gone on with");
        session_journal_close(journal);
        journal_about_free(&about);
        status = session_journal_open(path, &journal, &about);
        fuzz_expect(status_is_ok(&status), "a journal that was gone on with can be taken up");
        fuzz_expect(memchr(about.scenario, '\0', sizeof about.scenario) != NULL, "a path ends");
    }
    session_journal_close(journal);
    journal_about_free(&about);
    return 0;
}
