# Shared by the job scripts; sourced, never run.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export CARGO_TERM_COLOR=${CARGO_TERM_COLOR:-never}
# rustup's cargo lies here and is not always on the path of a fresh shell.
[ -d "$HOME/.cargo/bin" ] && export PATH="$HOME/.cargo/bin:$PATH"

say() { printf '\n== %s\n' "$*"; }
die() { printf 'error: %s\n' "$*" >&2; exit 1; }

# need COMMAND REMEDY: stops with what to do when a command is not there.
need() { command -v "$1" >/dev/null || die "\`$1\` is missing; do: $2"; }

# may_apt: whether this machine lets us install Debian packages without asking anybody.
may_apt() { command -v apt-get >/dev/null && [ "$(id -u)" = 0 ]; }

# apt PACKAGE...: installs them, or says which command would.
apt() {
  may_apt || die "missing packages; do: sudo apt-get update && sudo apt-get install -y $*"
  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" >/dev/null
}

# The two things every job stands on.
need cargo "install rustup (https://rustup.rs) with a stable toolchain of at least 1.95"
command -v cc >/dev/null || apt gcc libc6-dev

# component NAME COMMAND: a part of the Rust toolchain that a minimal install leaves out.
component() { command -v "$2" >/dev/null && "$2" --version >/dev/null 2>&1 || rustup component add "$1"; }
