#!/bin/sh
# Starts PostgreSQL 17 with TimescaleDB from Debian's packages, in a folder of its own, and prints its address.
#   timescale-up.sh DIR [PORT]
# Needs root and debootstrap. The packages are installed once; a second start reuses DIR. Without PORT it installs alone.
# Stop it with: kill -INT "$(head -1 DIR/var/lib/postgresql/timescale/postmaster.pid)"
set -eu

dir=${1:?the folder}
port=${2:-}
bin=/usr/lib/postgresql/17/bin
data=/var/lib/postgresql/timescale

# What these programs say goes to standard error: standard output is the address alone.
exec 3>&1 1>&2

if [ ! -e "$dir/.complete" ]; then
  rm -rf "$dir"
  # Debian's mirror of this machine, so that a proxy or a local mirror set for apt is used here too.
  mirror=$(sed -n 's/^URIs: *\(http[^ ]*\/debian\) *$/\1/p; s/^deb [^h]*\(http[^ ]*\/debian\)\/* .*/\1/p' \
    /etc/apt/sources.list /etc/apt/sources.list.d/* 2>/dev/null | head -n 1)
  debootstrap --variant=minbase --include=postgresql-17,postgresql-17-timescaledb \
    trixie "$dir" "${mirror:-http://deb.debian.org/debian}"
  touch "$dir/.complete"
fi
[ -n "$port" ] || exit 0
for name in dev proc; do
  mkdir -p "$dir/$name"
  mountpoint -q "$dir/$name" || mount --bind "/$name" "$dir/$name"
done

as_postgres() { chroot --userspec=postgres:postgres "$dir" /usr/bin/env -i LC_ALL=C PATH=$bin:/usr/bin:/bin "$@"; }

if [ ! -e "$dir$data/PG_VERSION" ]; then
  as_postgres initdb --pgdata=$data --username=postgres --auth=trust --encoding=UTF8 --locale=C --no-sync
fi
# Bound to this machine only, so trust is enough for a test. The server must not keep descriptor 3 open: who reads the
# address through a pipe would wait for its end as long as the server runs.
as_postgres pg_ctl --pgdata=$data --log=$data/log --wait -o "-p $port -c listen_addresses=127.0.0.1 \
  -c unix_socket_directories= -c shared_preload_libraries=timescaledb -c timescaledb.telemetry_level=off \
  -c timezone=UTC -c max_connections=60" start 3>&- </dev/null
echo "postgresql://postgres@127.0.0.1:$port/postgres" >&3
