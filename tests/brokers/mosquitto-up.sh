#!/bin/sh
# Starts Mosquitto with a persistent store in a temporary folder, in the foreground, as the tests need it.
#   [QUEUED=MESSAGES] [AUTOSAVE=SECONDS] [ON_CHANGES=true] [INFLIGHT=MESSAGES] mosquitto-up.sh PORT [FOLDER]
# A broker of a real site is configured in docker-compose.yml, with passwords; this one is open to this machine only.
# AUTOSAVE counts changes and not seconds where ON_CHANGES is true.
set -eu

port=${1:?the port}
folder=${2:-$(mktemp -d)}
mkdir -p "$folder"
cat >"$folder/mosquitto.conf" <<END
listener $port 127.0.0.1
allow_anonymous true
persistence true
persistence_location $folder/
autosave_interval ${AUTOSAVE:-1}
autosave_on_changes ${ON_CHANGES:-false}
max_queued_messages ${QUEUED:-0}
sys_interval 1
max_inflight_messages ${INFLIGHT:-2000}
user root
END
exec mosquitto -c "$folder/mosquitto.conf"
