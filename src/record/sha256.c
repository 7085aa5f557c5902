/* sha256.c: see sha256.h. The digest itself is libmd's. */
#include "record/sha256.h"

#include <sys/types.h> /* sha2.h needs u_int8_t and its like */

#include <sha2.h>
#include <stdint.h>

void sha256_hex(const void *bytes, size_t size, char hex[SHA256_HEX_SIZE])
{
    _Static_assert(SHA256_HEX_SIZE == SHA256_DIGEST_STRING_LENGTH, "as many digits as libmd writes");
    (void)SHA256Data(bytes, size, hex);
}

bool sha256_file_hex(FILE *file, size_t size, char hex[SHA256_HEX_SIZE])
{
    unsigned char some[16384];
    SHA2_CTX digest;
    SHA256Init(&digest);
    while (size > 0) {
        size_t got = fread(some, 1, size < sizeof some ? size : sizeof some, file);
        if (got == 0) {
            return false;
        }
        SHA256Update(&digest, some, got);
        size -= got;
    }
    (void)SHA256End(&digest, hex);
    return true;
}
