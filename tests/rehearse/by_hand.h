/* by_hand.h: sessions inside tests: opening, saying, and what is left as bytes. */
#ifndef VATCAST_TESTS_REHEARSE_BY_HAND_H
#define VATCAST_TESTS_REHEARSE_BY_HAND_H

#include "rehearse/session.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* A scratch folder, and a path in it (of the last four asked for). */
int scratch_make(void **state);
int scratch_remove(void **state);
const char *scratch_path(const char *name);

void is_ok(struct status status);
/* A session of a shipped scenario ("fresh-vat"). */
struct session *hand_open(const char *name, bool keeps_calendar);
/* Says it; it must be understood. Returns the answer. */
struct session_answer hand_say(struct session *session, const char *sentence);
/* Says it; it must not be understood, and must not change anything. Returns the answer's text. */
const char *hand_refuse(struct session *session, const char *sentence);
/* The result as the bytes of a file, called after `scenario`; owned by the caller. */
char *hand_result(struct session *session, const char *scenario, size_t *size);
/* The result that the saved scenario gives when it is run. */
char *hand_rerun(struct session *session, const char *scenario, size_t *size);
/* Both must be the same bytes. */
void hand_is_reproduced(struct session *session);
char *file_bytes(const char *path, size_t *size);

#endif
