#!/bin/sh
# Starts Mosquitto with a persistent store in a temporary folder, in the foreground, as the tests need it.
#   [QUEUED=MESSAGES] mosquitto-up.sh PORT [FOLDER]
# A broker of a real site is configured in docker-compose.yml, with passwords; this one is open to this machine only.
set -eu

port=${1:?the port}
folder=${2:-$(mktemp -d)}
mkdir -p "$folder"
cat >"$folder/mosquitto.conf" <<END
listener $port 127.0.0.1
allow_anonymous true
persistence true
persistence_location $folder/
autosave_interval 5
max_queued_messages ${QUEUED:-0}
sys_interval 1
max_inflight_messages 200
user root
END
exec mosquitto -c "$folder/mosquitto.conf"
