//! How the libraries embed: see the programs under `examples/`, each of which is whole and short.
#![forbid(unsafe_code)]
