/* json.h: answers for other programs: a tree of jansson printed on stdout. */
#ifndef VATCAST_CLI_JSON_H
#define VATCAST_CLI_JSON_H

#include "base/status.h"

#include <jansson.h>

/* Adds a number, null when it is not finite. NULL objects are borne: want of memory shows when the tree is printed. */
void json_put_number(json_t *object, const char *key, double value);
void json_put_text(json_t *object, const char *key, const char *text);
void json_put_bool(json_t *object, const char *key, bool value);

/* A new object or list inside `object`, which owns it. */
json_t *json_put_object(json_t *object, const char *key);
json_t *json_put_list(json_t *object, const char *key);

/* A new object at the end of `list`, which owns it. */
json_t *json_append_object(json_t *list);

/* Prints the tree and a newline, and frees it. STATUS_MEMORY when it could not be made whole. */
struct status json_print(json_t *tree) MUST_USE;

#endif
