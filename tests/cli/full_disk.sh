#!/bin/sh
# full_disk.sh: a result for which the disk has no room: told, nothing left, the older result kept. Needs a small disk of its
# own, which only root can have; skipped otherwise.
if [ "${1:-}" != inside ]; then
    unshare -m sh -c 'mount -t tmpfs -o size=64k none /mnt' 2>/dev/null || { echo "skipped: no disk can be mounted"; exit 77; }
    exec unshare -m sh "$0" inside
fi
. "$(dirname -- "$0")/driver.sh"
cp "$here/../faults/short-vat.conf" .
mount -t tmpfs -o size=64k none /mnt
printf 'older' >/mnt/result.h5
expect 4 run -q short-vat.conf -o /mnt/result.h5 --force
has "$err" "No space left on device"
[ "$(cat /mnt/result.h5)" = older ] || fail "the older result was harmed"
[ "$(ls -A /mnt)" = result.h5 ] || fail "something was left on the full disk: $(ls -A /mnt)"
expect 0 run -q short-vat.conf -o whole.h5
mkdir /mnt/tables
head -c 100000 /dev/zero >/mnt/filling 2>/dev/null || true
expect 4 export whole.h5 -o /mnt/tables
has "$err" "No space left on device"
expect 4 report whole.h5 -o /mnt/page.html
has "$err" "No space left on device"
is_not_there /mnt/page.html
[ -z "$(find /mnt -name '.*.tmp')" ] || fail "a temporary file was left"
umount /mnt
