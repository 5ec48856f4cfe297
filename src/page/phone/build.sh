#!/bin/sh
# Builds the program with the page in it: first the library as WebAssembly, then what is asked of cargo with it, for example
#   sh src/page/phone/build.sh install --path .
# The module needs the standard library for wasm32-wasip1: `rustup target add wasm32-wasip1`; without rustup Debian's rustc-web,
# cargo-web, rust-web-src, lld-19 and wasi-libc, which build it from its sources.
set -eu
cd "$(dirname "$0")/../../.."
target=wasm32-wasip1
folder=${CARGO_TARGET_DIR:-$PWD/target}/page
build() {
    "$@" --locked --profile module --target "$target" --target-dir "$folder" --no-default-features --features module \
        --bin kentledge-module
}
if [ -d "$(rustc --print sysroot)/lib/rustlib/$target" ]; then
    build cargo build
elif [ -d /usr/lib/rustlib/src/rust/library ] && [ -f /usr/lib/wasm32-wasi/crt1-command.o ]; then
    export RUSTC_BOOTSTRAP=1 RUSTC=/usr/bin/rustc CARGO_TARGET_WASM32_WASIP1_LINKER=wasm-ld-19
    export RUSTFLAGS="-C link-self-contained=no -C link-arg=/usr/lib/wasm32-wasi/crt1-command.o -L native=/usr/lib/wasm32-wasi"
    build /usr/bin/cargo build -Z build-std=std,panic_abort
    unset RUSTC_BOOTSTRAP RUSTC RUSTFLAGS
else
    echo "the standard library for $target is missing: rustup target add $target" >&2
    exit 1
fi
gzip -9 -n -c "$folder/$target/module/kentledge-module.wasm" | base64 | tr -d '\n' > "$folder/module.b64"
KENTLEDGE_MODULE=$folder/module.b64 cargo "$@" --features page
