//! The command line: what can be typed, nothing of what it does.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

/// Turns a folder of how-to pages with declared figures into a maintenance library that opens anywhere.
#[derive(Debug, Parser)]
#[command(name = "fettlebook", version, about, disable_help_subcommand = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read and check the whole library, and say what is wrong with it.
    Proof {
        /// The library's folder.
        #[arg(default_value = "content")]
        folder: PathBuf,
        /// How to print what was found.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Make the site; nothing is written if the library has errors.
    Publish {
        /// The library's folder.
        #[arg(default_value = "content")]
        folder: PathBuf,
        /// The folder to write the site to.
        #[arg(long, default_value = "site")]
        to: PathBuf,
    },
}

/// Ways to print what a proof found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people, on standard error.
    Text,
    /// For programs, on standard output.
    Json,
}
