//! The command-line program.

#![forbid(unsafe_code)]

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    fettlebook::commands::run(fettlebook::cli::Arguments::parse()).into()
}
