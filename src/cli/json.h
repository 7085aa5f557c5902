/* json.h: answers for other programs: a cJSON tree printed on stdout. */
#ifndef VATCAST_CLI_JSON_H
#define VATCAST_CLI_JSON_H

#include "base/status.h"

#include <cjson/cJSON.h>

/* Adds a number, null when it is not finite. NULL objects are borne: want of memory shows when the tree is printed. */
void json_number(cJSON *object, const char *key, double value);
void json_text(cJSON *object, const char *key, const char *text);

/* Prints the tree and a newline, and frees it. STATUS_MEMORY when it could not be made whole. */
struct status json_print(cJSON *tree) MUST_USE;

#endif
