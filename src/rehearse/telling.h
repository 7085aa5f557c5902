/* telling.h: parts of what is seen, between telling.c and telling_acts.c. */
#ifndef VATCAST_REHEARSE_TELLING_H
#define VATCAST_REHEARSE_TELLING_H

#include "rehearse/session_parts.h"

#define GREENISH 0.15 /* share of the dye on cloth still to turn blue, by which it looks green */

/* A value of the events recorded so far. */
double event_cell(const struct session *session, const char *name, size_t row);
/* The event of the scenario by which something was added in a row of the events recorded; NULL: another row, or not done. */
const struct event_spec *event_added(const struct session *session, size_t row);

/* "47.5 C (118 F)", as a thermometer in the hand tells. */
void say_temperature(double kelvin, char *text, size_t size);
/* "the liquor is ...; in a glass ...; it smells ...", of a row of the series. */
void tell_look(struct session *session, const double *row);
/* Whether that would be the same words as the last time. */
bool looks_as_told(const struct session *session, const double *row);
/* What a marked stick shows, in m3: to half a litre, in vats of more than a hundred litres to a litre. */
double stick_reads(const struct session *session);
/* That, and what a ladle shows. */
void tell_level(const struct session *session, const double *row);
/* Lid, wrap, place, heater. */
void tell_stand(const struct session *session);
#define PIECE_LOOK_SIZE 64
/* "yellow-green, turning", "light blue". */
void piece_look_say(const struct run_piece *piece, char text[PIECE_LOOK_SIZE]);

#endif
