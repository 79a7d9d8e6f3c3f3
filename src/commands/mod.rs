//! What each command does: one file a command, printing and exit codes here.

mod captions;
mod edition;
mod explain;
mod find;
mod print;
mod proof;
mod publish;
mod reckon;
mod shell;
mod start;

use std::path::Path;
use std::process::ExitCode;

use crate::cli::{Arguments, Command};
use crate::pipeline::Wanted;

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
        Command::Edition(wanted) => edition::run(&wanted),
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
            zip,
            one_file,
        } => {
            // Whoever takes the library on a stick wants it for a phone as well.
            let beside = zip
                .as_ref()
                .map(|file| file.parent().unwrap_or(Path::new("")));
            let wanted = Wanted {
                proof: with_proof,
                archive: zip.as_deref(),
                one_file: one_file.as_deref().or(beside),
            };
            publish::run(&folder, &to, wanted)
        }
    }
}
