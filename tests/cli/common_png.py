# common_png.py FILE: whether a file is a whole PNG (ISO/IEC 15948: signature, chunks with good CRCs, IEND last) with something on
# it: several colours among its pixels, read with the standard library only.
import struct
import sys
import zlib

data = open(sys.argv[1], "rb").read()
assert data[:8] == b"\x89PNG\r\n\x1a\n", "signature"
at, kinds, pixels, size = 8, [], b"", None
while at < len(data):
    length, kind = struct.unpack(">I4s", data[at:at + 8])
    body = data[at + 8:at + 8 + length]
    assert zlib.crc32(kind + body) == struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0], f"CRC of {kind}"
    kinds.append(kind)
    if kind == b"IHDR":
        size = struct.unpack(">II", body[:8])
    if kind == b"IDAT":
        pixels += body
    at += 12 + length
assert kinds[0] == b"IHDR" and kinds[-1] == b"IEND", kinds
raw = zlib.decompress(pixels)
assert size[0] == 1520 and size[1] > 400, f"size {size}"
assert len(raw) == size[1] * (1 + 3 * size[0]), "length of the pixels"
assert len(set(raw)) > 50, "an empty picture"
