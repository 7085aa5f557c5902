/* valid_scenario.h: any bytes turned into the text of a scenario that is in order: each byte makes the next choice.
 *
 * Quick to run: it lasts three hours at most. Bytes that run out count as zero.
 */
#ifndef VATCAST_TESTS_FUZZ_VALID_SCENARIO_H
#define VATCAST_TESTS_FUZZ_VALID_SCENARIO_H

#include <stddef.h>
#include <stdint.h>

#define VALID_SCENARIO_SIZE 16384

/* Writes the scenario into `text`, of VALID_SCENARIO_SIZE bytes. */
void valid_scenario_write(const uint8_t *data, size_t size, char *text);

#endif
