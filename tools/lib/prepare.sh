# Shared by the scripts in tools/; sourced, not run. Needs bash.

# In an empty environment bash has a search path of its own but hands it to nobody, and cmake asks.
export PATH

# Everything a script says about itself goes through here. To standard error, so that standard
# output of run-demo holds the report alone.
say() { printf '%s: %s\n' "${0##*/}" "$*" >&2; }

stop() {
  trap - EXIT  # the message is said here
  say "$*"
  exit 2
}

# Prints the comment at the head of the calling script.
print_help() { sed -n '2,/^[^#]/{s/^# \{0,1\}//p}' "$0"; }

# Installs those of the named Debian packages that are missing. Without any missing, it asks nothing
# of the network or of root, so a second run works offline.
need_packages() {
  command -v dpkg-query >/dev/null ||
    stop "this is not Debian; install these packages by their names on your system: $*"
  local package missing=()
  for package in "$@"; do
    [[ $(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null) == installed ]] ||
      missing+=("$package")
  done
  ((${#missing[@]})) || return 0

  local as_root=()
  if ((EUID != 0)); then
    command -v sudo >/dev/null ||
      stop "missing: ${missing[*]}. Run this as root, or have them installed: apt-get install ${missing[*]}"
    as_root=(sudo)
  fi
  say "installing from Debian: ${missing[*]}"
  as_root+=(env DEBIAN_FRONTEND=noninteractive apt-get)
  "${as_root[@]}" -q update </dev/null >&2
  "${as_root[@]}" -q install -y --no-install-recommends "${missing[@]}" </dev/null >&2
}

# What the library and its programs need to be built.
build_packages=(g++ cmake ninja-build libboost-dev libeigen3-dev libfmt-dev libtomlplusplus-dev
  libcli11-dev nlohmann-json3-dev libkainjow-mustache-dev)
