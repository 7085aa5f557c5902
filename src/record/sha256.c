/* sha256.c: see sha256.h. Source: FIPS PUB 180-4, Secure Hash Standard, 2015. */
#include "record/sha256.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const uint32_t round_constants[64] = {
    0x428a2f98u, 0x71374491u, 0xb5c0fbcfu, 0xe9b5dba5u, 0x3956c25bu, 0x59f111f1u, 0x923f82a4u, 0xab1c5ed5u,
    0xd807aa98u, 0x12835b01u, 0x243185beu, 0x550c7dc3u, 0x72be5d74u, 0x80deb1feu, 0x9bdc06a7u, 0xc19bf174u,
    0xe49b69c1u, 0xefbe4786u, 0x0fc19dc6u, 0x240ca1ccu, 0x2de92c6fu, 0x4a7484aau, 0x5cb0a9dcu, 0x76f988dau,
    0x983e5152u, 0xa831c66du, 0xb00327c8u, 0xbf597fc7u, 0xc6e00bf3u, 0xd5a79147u, 0x06ca6351u, 0x14292967u,
    0x27b70a85u, 0x2e1b2138u, 0x4d2c6dfcu, 0x53380d13u, 0x650a7354u, 0x766a0abbu, 0x81c2c92eu, 0x92722c85u,
    0xa2bfe8a1u, 0xa81a664bu, 0xc24b8b70u, 0xc76c51a3u, 0xd192e819u, 0xd6990624u, 0xf40e3585u, 0x106aa070u,
    0x19a4c116u, 0x1e376c08u, 0x2748774cu, 0x34b0bcb5u, 0x391c0cb3u, 0x4ed8aa4au, 0x5b9cca4fu, 0x682e6ff3u,
    0x748f82eeu, 0x78a5636fu, 0x84c87814u, 0x8cc70208u, 0x90befffau, 0xa4506cebu, 0xbef9a3f7u, 0xc67178f2u};

static uint32_t rotate_right(uint32_t x, unsigned bits)
{
    return (x >> bits) | (x << (32u - bits));
}

static void digest_block(uint32_t h[8], const unsigned char *block)
{
    uint32_t w[64];
    for (size_t t = 0; t < 16; t++) {
        w[t] = (uint32_t)block[4 * t] << 24 | (uint32_t)block[4 * t + 1] << 16 | (uint32_t)block[4 * t + 2] << 8 |
               (uint32_t)block[4 * t + 3];
    }
    for (size_t t = 16; t < 64; t++) {
        uint32_t s0 = rotate_right(w[t - 15], 7) ^ rotate_right(w[t - 15], 18) ^ (w[t - 15] >> 3);
        uint32_t s1 = rotate_right(w[t - 2], 17) ^ rotate_right(w[t - 2], 19) ^ (w[t - 2] >> 10);
        w[t] = w[t - 16] + s0 + w[t - 7] + s1;
    }
    uint32_t v[8];
    memcpy(v, h, sizeof v);
    for (size_t t = 0; t < 64; t++) {
        uint32_t s1 = rotate_right(v[4], 6) ^ rotate_right(v[4], 11) ^ rotate_right(v[4], 25);
        uint32_t choose = (v[4] & v[5]) ^ (~v[4] & v[6]);
        uint32_t t1 = v[7] + s1 + choose + round_constants[t] + w[t];
        uint32_t s0 = rotate_right(v[0], 2) ^ rotate_right(v[0], 13) ^ rotate_right(v[0], 22);
        uint32_t majority = (v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]);
        memmove(&v[1], &v[0], 7 * sizeof v[0]);
        v[4] += t1;
        v[0] = t1 + s0 + majority;
    }
    for (size_t i = 0; i < 8; i++) {
        h[i] += v[i];
    }
}

void sha256_hex(const void *bytes, size_t size, char hex[SHA256_HEX_SIZE])
{
    uint32_t h[8] = {0x6a09e667u, 0xbb67ae85u, 0x3c6ef372u, 0xa54ff53au,
                     0x510e527fu, 0x9b05688cu, 0x1f83d9abu, 0x5be0cd19u};
    const unsigned char *data = bytes;
    size_t whole = size - size % 64;
    for (size_t i = 0; i < whole; i += 64) {
        digest_block(h, data + i);
    }
    unsigned char tail[128] = {0};
    size_t rest = size - whole;
    if (rest > 0) {
        memcpy(tail, data + whole, rest);
    }
    tail[rest] = 0x80;
    size_t tail_size = rest < 56 ? 64 : 128;
    uint64_t bits = (uint64_t)size * 8;
    for (size_t i = 0; i < 8; i++) {
        tail[tail_size - 1 - i] = (unsigned char)(bits >> (8 * i) & 0xff);
    }
    for (size_t i = 0; i < tail_size; i += 64) {
        digest_block(h, tail + i);
    }
    for (size_t i = 0; i < 8; i++) {
        (void)snprintf(hex + 8 * i, 9, "%08x", (unsigned)h[i]);
    }
}
