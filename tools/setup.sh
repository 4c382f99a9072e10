#!/bin/sh
# Makes the project ready: system libraries by apt where it can, then .venv with the project in it.
#   sh tools/setup.sh run     what the program needs
#   sh tools/setup.sh test    that, and what its tests need
# Does nothing, fast, when nothing changed since. PYTHON=... chooses the interpreter (3.11 or newer).
# shellcheck disable=SC2086  # lists of package names are meant to be split
set -eu
cd "$(dirname "$0")/.."
purpose=${1:-run}

# One line for each thing needed; where distributions disagree on the name, the newest first.
RUN_PACKAGES="python3 python3-venv libegl1 libgl1 libglib2.0-0t64|libglib2.0-0 libfontconfig1 libxkbcommon0 libdbus-1-3
libxcb-cursor0 libxcb-icccm4 libxcb-keysyms1 libxcb-shape0 libxcb-xkb1 libxkbcommon-x11-0 libportaudio2"
TEST_PACKAGES="xvfb pulseaudio pulseaudio-utils libasound2-plugins alsa-utils fluidsynth fluid-soundfont-gm poppler-utils"

say() { printf 'setup: %s\n' "$*"; }
stop() { printf 'setup: %s\n' "$*" >&2; exit 1; }

# Runs a command and shows what it printed only when it failed.
quietly() {
    said=$(mktemp)
    if "$@" >"$said" 2>&1; then rm -f "$said"; else cat "$said" >&2; rm -f "$said"; return 1; fi
}

case $purpose in
    run) project=. ;;
    test) project='.[test]' ;;
    *) stop "'$purpose' is not known; say run or test." ;;
esac

# What the stamp stands for: these two files, and the interpreter that .venv was made with.
state() { cat pyproject.toml tools/setup.sh | cksum; grep '^version' .venv/pyvenv.cfg 2>/dev/null || true; }
fresh() { [ -f "$1" ] && [ "$(cat "$1")" = "$(state)" ] && .venv/bin/python -c '' 2>/dev/null; }
if fresh ".venv/ready-for-$purpose" || { [ "$purpose" = run ] && fresh .venv/ready-for-test; }; then
    exit 0
fi

installed() { [ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" = installed ]; }
offered() { apt-cache policy "$1" 2>/dev/null | grep -q 'Candidate: [^(]'; }

# Of the packages given, one line each: those of which no spelling is installed.
missing() {
    for names in "$@"; do
        for name in $(echo "$names" | tr '|' ' '); do
            installed "$name" && continue 2
        done
        echo "$names"
    done
}

# The spelling that this system offers; the last one when it offers none, so that apt names it in its error.
spelling() {
    for names in "$@"; do
        for name in $(echo "$names" | tr '|' ' '); do
            if offered "$name"; then break; fi
        done
        printf '%s ' "$name"
    done
}

# Installs what is lacking of the packages given; --no-remove, so that no sound system or desktop is ever traded away.
install() {
    lacking=$(missing "$@")
    # A python that was not installed by apt will do as well, if it can make a .venv.
    if find_python; then lacking=$(echo "$lacking" | grep -v '^python3' || true); fi
    [ -n "$lacking" ] || return 0
    if [ "$(id -u)" = 0 ]; then as_root=
    elif sudo -n true 2>/dev/null; then as_root=sudo
    else
        say "these system packages are missing, and installing them takes a password; the command is:
    sudo apt-get update && sudo apt-get install --no-install-recommends $(spelling $lacking)"
        return 1
    fi
    quietly $as_root apt-get update -q || { say "apt-get update failed; is there a network?"; return 1; }
    wanted=$(spelling $lacking)
    say "apt-get install $wanted"
    quietly $as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -q -y --no-install-recommends --no-remove $wanted
}

# Sets `python` to an interpreter that is new enough and can make a .venv.
find_python() {
    for python in ${PYTHON:-} python3 python3.14 python3.13 python3.12 python3.11; do
        if "$python" -c 'import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            return 0
        fi
    done
    return 1
}

if command -v apt-get >/dev/null && command -v dpkg-query >/dev/null; then
    install $RUN_PACKAGES || stop "the program cannot run without these packages."
    if [ "$purpose" = test ] && ! install $TEST_PACKAGES; then
        say "going on without them: the tests that need them are skipped, and say so."
    fi
else
    say "no apt here: PortAudio, and on Linux the libraries of Qt 6 (EGL, GL, fontconfig, xkbcommon, xcb), must be there."
fi
find_python || stop "no Python 3.11 or newer that can make a virtual environment was found; name one with PYTHON=..."

if ! .venv/bin/python -c 'import pip' 2>/dev/null; then
    say "$python -m venv .venv"
    "$python" -m venv --clear .venv
fi
say "pip install -e $project  (some hundred megabytes the first time)"
quietly .venv/bin/python -m pip install -q --disable-pip-version-check -e "$project" \
    || stop "pip could not install the project; its own words are above."
state > ".venv/ready-for-$purpose"
say "ready"
