//! What each command does: one file a command, printing and exit codes here.

mod captions;
mod explain;
mod find;
mod print;
mod proof;
mod publish;
mod reckon;
mod shell;
mod start;

use std::process::ExitCode;

use crate::cli::{Arguments, Command};

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// All is well.
    Good,
    /// The library has errors.
    Problems,
    /// The tool could not do its work: arguments, disk.
    Failed,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> ExitCode {
        ExitCode::from(match outcome {
            Outcome::Good => 0,
            Outcome::Problems => 1,
            Outcome::Failed => 2,
        })
    }
}

/// Runs the command that was typed.
pub fn run(arguments: Arguments) -> Outcome {
    match arguments.command {
        Command::Captions(wanted) => captions::run(&wanted),
        Command::Find(wanted) => find::run(&wanted),
        Command::Proof {
            explain: Some(name),
            ..
        } => explain::run(&name),
        Command::Proof { folder, format, .. } => proof::run(&folder, format),
        Command::Reckon(wanted) => reckon::run(&wanted),
        Command::Completions { shell } => shell::completions(shell),
        Command::Manual { command } => shell::manual(command.as_deref()),
        Command::Start { folder } => start::run(&folder),
        Command::Publish {
            folder,
            to,
            with_proof,
        } => publish::run(&folder, &to, with_proof),
    }
}
