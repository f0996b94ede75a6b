# SPDX-License-Identifier: GPL-3.0-or-later
# shellcheck shell=bash disable=SC2034
# Sourced by the other scripts: what a bare Debian 12 needs, and how a build folder is made.

# What the program is built from, what its tests need on top, and what single checks need.
core_packages=(
  g++ cmake ninja-build ccache
  libcgal-dev libeigen3-dev libtbb-dev libcli11-dev libtomlplusplus-dev nlohmann-json3-dev
  zlib1g-dev libnlopt-dev libnlopt-cxx-dev libsqlite3-dev libboost-dev
)
# The page is bundled by npm. Debian's own brings hundreds of packages with it, so it is installed
# only where there is none.
if ! command -v npm >/dev/null || ! command -v node >/dev/null; then
  core_packages+=(nodejs npm)
fi
# The water in the page is compiled to WebAssembly.
live_packages=(clang-14 lld-14 wasi-libc libc++-14-dev-wasm32 libclang-rt-14-dev-wasm32)
# pdftoppm measures the printed templates; the pages are opened in chromium.
# The manual page is read by man, the completions by zsh.
test_packages=(libgtest-dev libgmock-dev python3 poppler-utils chromium man-db zsh)
# Validates JSON against a schema; as a package it would bring 160 others, Qt's among them.
test_headers=libvalijson-dev
coverage_packages=(clang-14 libclang-rt-14-dev llvm-14)
fuzz_packages=(clang-14 libclang-rt-14-dev)
bench_packages=(libbenchmark-dev libgtest-dev libgmock-dev python3)
# What the benchmarks compare with, where it can be had.
compared_packages=(libopen3d-dev libtinyobjloader-dev libfast-float-dev libembree-dev)
tidy_packages=(clang-14 clang-tidy-14 git)
format_packages=(clang-format-14 git)
api_packages=(doxygen)
# What the Debian packages are made with: dpkg-shlibdeps. And how they are proven.
package_packages=(dpkg-dev git)
package_check_packages=(lintian mmdebstrap)

say() { printf '\n== %s\n' "$*"; }

fail() {
  printf '%s: %s\n' "$(basename "$0")" "$*" >&2
  exit 2
}

have_apt() { command -v apt-get >/dev/null && command -v dpkg-query >/dev/null; }

installed() {
  [[ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" == installed ]]
}

# Root's own, or through sudo.
as_root() {
  if [[ "$(id -u)" == 0 ]]; then
    "$@"
  else
    sudo "$@"
  fi
}

# set_up PACKAGE... : installs those that are missing, having said which.
set_up() {
  local package missing=()
  if ! have_apt; then
    echo "No apt-get here, so nothing is installed. On Debian 12 the packages are: $*"
    return
  fi
  for package in "$@"; do
    installed "$package" || missing+=("$package")
  done
  if ((${#missing[@]} == 0)); then
    return
  fi
  if [[ "$(id -u)" != 0 ]] && ! command -v sudo >/dev/null; then
    fail "missing packages, and neither root nor sudo to install them: ${missing[*]}"
  fi
  say "Installing with apt-get: ${missing[*]}"
  as_root apt-get -q update
  as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y -o Dpkg::Use-Pty=0 \
    install --no-install-recommends "${missing[@]}"
}

# set_up_beside PACKAGE... : as set_up, but what can't be had is left out, and that is said.
set_up_beside() {
  local package
  for package in "$@"; do
    (set_up "$package") || say "Left out, since it can't be installed here: $package"
  done
}

# unpack PACKAGE : puts a package of headers under build/packages instead of installing it, where
# what it depends on is much and none of it is for us.
unpack() {
  local package=$1 place=build/packages
  if ! have_apt || installed "$package" || [[ -d "$place/$package" ]]; then
    return
  fi
  say "Unpacking $package into $place (its headers alone, nothing is installed)"
  apt-cache show "$package" >/dev/null 2>&1 || as_root apt-get -q update
  mkdir -p "$place"
  (
    cd "$place"
    apt-get -q download "$package"
    dpkg-deb -x "$package"_*.deb unpacked
    mv unpacked "$package"
  )
}

# jobs GIB : how many compilers may run at once where the largest takes GIB of memory.
jobs() {
  local cores available
  cores=$(nproc 2>/dev/null || echo 1)
  available=$(awk '/^MemAvailable/ {print int($2 / 1048576)}' /proc/meminfo 2>/dev/null || true)
  local fit=$((${available:-$1} / $1))
  ((fit < 1)) && fit=1
  echo $((fit < cores ? fit : cores))
}

# configure FOLDER ARGUMENT... : a Ninja build folder inside the checkout.
configure() {
  local folder=$1
  shift
  say "Configuring $folder"
  cmake -S . -B "$folder" -G Ninja -DCMAKE_CXX_COMPILER_LAUNCHER=ccache "$@"
}

# build FOLDER GIB TARGET... : builds; GIB as in jobs.
build() {
  local folder=$1 at_once
  at_once=$(jobs "$2")
  shift 2
  say "Building in $folder, $at_once at a time"
  cmake --build "$folder" --parallel "$at_once" ${1+--target "$@"}
}
