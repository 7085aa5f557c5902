/* json.c: see json.h. */
#include "cli/json.h"

#include <math.h>
#include <stdio.h>

void json_number(cJSON *object, const char *key, double value)
{
    if (isfinite(value)) {
        (void)cJSON_AddNumberToObject(object, key, value);
    } else {
        (void)cJSON_AddNullToObject(object, key);
    }
}

void json_text(cJSON *object, const char *key, const char *text)
{
    (void)cJSON_AddStringToObject(object, key, text);
}

struct status json_print(cJSON *tree)
{
    char *text = tree != NULL ? cJSON_Print(tree) : NULL;
    cJSON_Delete(tree);
    if (text == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to write the answer");
    }
    puts(text);
    cJSON_free(text);
    return status_ok();
}
