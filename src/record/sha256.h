/* sha256.h: the SHA-256 digest (FIPS 180-4), for telling whether two texts are the same. */
#ifndef VATCAST_RECORD_SHA256_H
#define VATCAST_RECORD_SHA256_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#define SHA256_HEX_SIZE 65

/* Writes the digest of `size` bytes as 64 lower-case hexadecimal digits and a final NUL. */
void sha256_hex(const void *bytes, size_t size, char hex[SHA256_HEX_SIZE]);

/* The same for the next `size` bytes of a file, a little at a time; false when the file ends before, or cannot be read. */
bool sha256_file_hex(FILE *file, size_t size, char hex[SHA256_HEX_SIZE]);

#endif
