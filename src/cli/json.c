/* json.c: see json.h. */
#include "cli/json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

void json_put_number(json_t *object, const char *key, double value)
{
    (void)json_object_set_new(object, key, isfinite(value) ? json_real(value) : json_null());
}

void json_put_text(json_t *object, const char *key, const char *text)
{
    (void)json_object_set_new(object, key, json_string(text));
}

void json_put_bool(json_t *object, const char *key, bool value)
{
    (void)json_object_set_new(object, key, json_boolean(value));
}

json_t *json_put_object(json_t *object, const char *key)
{
    json_t *inner = json_object();
    return json_object_set_new(object, key, inner) == 0 ? inner : NULL;
}

json_t *json_put_list(json_t *object, const char *key)
{
    json_t *inner = json_array();
    return json_object_set_new(object, key, inner) == 0 ? inner : NULL;
}

json_t *json_append_object(json_t *list)
{
    json_t *inner = json_object();
    return json_array_append_new(list, inner) == 0 ? inner : NULL;
}

struct status json_print(json_t *tree)
{
    char *text = tree != NULL ? json_dumps(tree, JSON_INDENT(2) | JSON_REAL_PRECISION(12)) : NULL;
    json_decref(tree);
    if (text == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to write the answer");
    }
    puts(text);
    free(text);
    return status_ok();
}
