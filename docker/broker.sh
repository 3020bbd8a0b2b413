#!/bin/sh
# Runs Mosquitto with the keys of gateways as Coldrounds hands them over, and with the operator's certificate. When either
# changes, Mosquitto is told to read its files again (SIGHUP): sessions and connections that are still allowed go on.
#
#   KEYS    folder in which Coldrounds writes `passwords` and `acl` (its setting MOSQUITTO_FILES)
#   TLS     folder of the operator with `server.crt`, the certificate with its chain, and `server.key`; none: no TLS
#   OWN     folder of Mosquitto's own copies, which only Mosquitto's user reads
#   CONFIG  Mosquitto's configuration; EVERY: seconds between two looks
#   MQTT_USERNAME, MQTT_PASSWORD: by which Coldrounds itself signs in
set -eu
umask 077
keys=${KEYS:-/keys}
tls=${TLS:-/certificates}
own=${OWN:-/mosquitto/data}
config=${CONFIG:-/mosquitto/config/mosquitto.conf}
user=${MQTT_USERNAME:?set MQTT_USERNAME}
password=${MQTT_PASSWORD:?set MQTT_PASSWORD}

for_mosquitto() { [ "$(id -u)" != 0 ] || chown -R mosquitto:mosquitto "$@"; }

take() { # FROM TO: a copy, whole at every moment; nothing where there is none
  [ -f "$1" ] || return 0
  cp "$1" "$2.new"
  for_mosquitto "$2.new"
  mv "$2.new" "$2"
}
take_keys() {
  take "$keys/acl" "$own/acl"
  take "$keys/passwords" "$own/passwords"
}
take_certificate() {
  take "$tls/server.crt" "$own/server.crt"
  take "$tls/server.key" "$own/server.key"
}
stamp() { cat "$keys/acl" "$keys/passwords" "$tls/server.crt" "$tls/server.key" 2>/dev/null | cksum; }

mkdir -p "$own/listeners"
known=$(stamp)
take_keys
# Before Coldrounds has written there it alone may sign in; and always by the password of now.
[ -f "$own/acl" ] || printf 'user %s\ntopic readwrite #\ntopic read $SYS/#\n' "$user" >"$own/acl"
[ -f "$own/passwords" ] || : >"$own/passwords"
mosquitto_passwd -b "$own/passwords" "$user" "$password"
if [ -f "$tls/server.crt" ] && [ -f "$tls/server.key" ]; then
  take_certificate
  cat >"$own/listeners/tls.conf" <<END
listener ${TLS_PORT:-8883}
use_username_as_clientid true
certfile $own/server.crt
keyfile $own/server.key
tls_version tlsv1.2
END
else
  rm -f "$own/listeners/tls.conf"
  echo "broker.sh: no TLS, as $tls has no server.crt and server.key. Put them there and start again."
fi
for_mosquitto "$own"

mosquitto -c "$config" &
broker=$!
trap 'kill -TERM $broker' TERM INT
(
  while sleep "${EVERY:-2}"; do
    now=$(stamp)
    [ "$now" != "$known" ] || continue
    known=$now
    take_keys
    [ ! -f "$own/listeners/tls.conf" ] || take_certificate
    kill -HUP $broker || exit 0
  done
) &
watcher=$!
code=0
while kill -0 $broker 2>/dev/null; do wait $broker && code=0 || code=$?; done
kill $watcher 2>/dev/null || true
exit "$code"
