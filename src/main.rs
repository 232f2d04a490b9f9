//! The `retrue` command: parses, calls, and turns the outcome into an exit code.

#![forbid(unsafe_code)]

mod cli;

use std::process::ExitCode;

use mimalloc::MiMalloc;

/// A pattern is many small lists: a fifth of the time of a long run of patterns went into handing out their memory.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn main() -> ExitCode {
    cli::run(std::env::args_os()).into()
}
