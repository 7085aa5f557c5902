/* seal.c: see seal.h. Layout of the first block ("superblock") of versions 2 and 3 and its checksum: HDF5 File Format
 * Specification 3.0, sections II.A and IX; the checksum is B. Jenkins, lookup3, 2006. */
#include "record/seal.h"

#include "record/sha256.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define BLOCK_SIZE ((size_t)48)
#define CHECKSUM_AT ((size_t)44)
#define VERSION_AT 8
#define OFFSET_SIZE_AT 9
#define END_AT 28

static const char seal_words[] = "\nvatcast seal sha256 ";
static const unsigned char signature[8] = {0x89, 'H', 'D', 'F', '\r', '\n', 0x1a, '\n'};

static void seal_write(const char hex[SHA256_HEX_SIZE], char seal[SEAL_SIZE])
{
    memcpy(seal, seal_words, sizeof seal_words - 1);
    memcpy(seal + sizeof seal_words - 1, hex, SHA256_HEX_SIZE - 1);
    seal[SEAL_SIZE - 1] = '\n';
}

void seal_make(const void *bytes, size_t size, char seal[SEAL_SIZE])
{
    char hex[SHA256_HEX_SIZE];
    sha256_hex(bytes, size, hex);
    seal_write(hex, seal);
}

static uint32_t rotate_left(uint32_t x, unsigned bits)
{
    return (x << bits) | (x >> (32u - bits));
}

static uint32_t word_at(const unsigned char *bytes)
{
    return (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8 | (uint32_t)bytes[2] << 16 | (uint32_t)bytes[3] << 24;
}

/* lookup3 of the 44 bytes before the checksum, start value 0. */
static uint32_t block_checksum(const unsigned char *bytes)
{
    uint32_t a = 0xdeadbeefu + (uint32_t)CHECKSUM_AT;
    uint32_t b = a;
    uint32_t c = a;
    size_t left = CHECKSUM_AT;
    for (; left > 12; left -= 12, bytes += 12) {
        a += word_at(bytes);
        b += word_at(bytes + 4);
        c += word_at(bytes + 8);
        a = (a - c) ^ rotate_left(c, 4);
        c += b;
        b = (b - a) ^ rotate_left(a, 6);
        a += c;
        c = (c - b) ^ rotate_left(b, 8);
        b += a;
        a = (a - c) ^ rotate_left(c, 16);
        c += b;
        b = (b - a) ^ rotate_left(a, 19);
        a += c;
        c = (c - b) ^ rotate_left(b, 4);
        b += a;
    }
    a += word_at(bytes); /* 44 = 3 * 12 + 8 bytes: two words are left */
    b += word_at(bytes + 4);
    c = (c ^ b) - rotate_left(b, 14);
    a = (a ^ c) - rotate_left(c, 11);
    b = (b ^ a) - rotate_left(a, 25);
    c = (c ^ b) - rotate_left(b, 16);
    a = (a ^ c) - rotate_left(c, 4);
    b = (b ^ a) - rotate_left(a, 14);
    c = (c ^ b) - rotate_left(b, 24);
    return c;
}

static bool block_is_known(const unsigned char *bytes, size_t size)
{
    return size >= BLOCK_SIZE && memcmp(bytes, signature, sizeof signature) == 0 &&
           (bytes[VERSION_AT] == 2 || bytes[VERSION_AT] == 3) && bytes[OFFSET_SIZE_AT] == 8;
}

void seal_renew_checksum(void *image, size_t size)
{
    unsigned char *bytes = image;
    if (block_is_known(bytes, size)) {
        uint32_t checksum = block_checksum(bytes);
        for (size_t i = 0; i < 4; i++) {
            bytes[CHECKSUM_AT + i] = (unsigned char)(checksum >> (8 * i) & 0xff);
        }
    }
}

static struct status not_read(void)
{
    return status_fail(STATUS_IO, "the file could not be read to its end");
}

struct status seal_check(FILE *file, size_t size)
{
    unsigned char block[BLOCK_SIZE];
    if (size < BLOCK_SIZE) {
        return status_ok();
    }
    if (fread(block, 1, sizeof block, file) != sizeof block) {
        return not_read();
    }
    if (!block_is_known(block, size)) {
        return status_ok();
    }
    uint64_t end = (uint64_t)word_at(block + END_AT) | (uint64_t)word_at(block + END_AT + 4) << 32;
    if (end == size) {
        return status_ok();
    }
    if (size < SEAL_SIZE || end != size - SEAL_SIZE) {
        return status_fail(STATUS_IO, "the file is cut short or was added to (%zu bytes, expected %llu)", size,
                           (unsigned long long)end + SEAL_SIZE);
    }
    char hex[SHA256_HEX_SIZE];
    char expected[SEAL_SIZE];
    char seal[SEAL_SIZE];
    rewind(file);
    if (!sha256_file_hex(file, size - SEAL_SIZE, hex) || fread(seal, 1, sizeof seal, file) != sizeof seal) {
        return not_read();
    }
    seal_write(hex, expected);
    if (memcmp(seal, expected, SEAL_SIZE) != 0) {
        return status_fail(STATUS_IO, "the file is damaged: it does not match its seal");
    }
    return status_ok();
}
