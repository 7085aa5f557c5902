/* seal.h: a line after the end of a result file by which damage is found before HDF5 is let near it.
 *
 * HDF5 takes no notice of what follows its last byte. The line reads "\nvatcast seal sha256 <64 digits>\n" and
 * covers all bytes before it. A file that other programs have written to has lost it, which is no fault. It guards
 * against damage, not against malice.
 */
#ifndef VATCAST_RECORD_SEAL_H
#define VATCAST_RECORD_SEAL_H

#include "base/status.h"

#include <stddef.h>
#include <stdio.h>

#define SEAL_SIZE ((size_t)86)

/* Writes the SEAL_SIZE bytes of the seal of `size` bytes. */
void seal_make(const void *bytes, size_t size, char seal[SEAL_SIZE]);

/* Corrects the checksum in the first block of an HDF5 file image (version 2 or 3), whose state flags
 * H5Fget_file_image clears without renewing the checksum. Other images stay as they are. */
void seal_renew_checksum(void *image, size_t size);

/* Reads a file of `size` bytes, a little at a time, and refuses it when it is cut short, was added to, or does not match
 * its seal. Files that do not begin like an HDF5 file of a version that is known are left to HDF5 itself. */
struct status seal_check(FILE *file, size_t size) MUST_USE;

#endif
