//! `completions` and `manual`: what shells and `man` need to know of the command line.

use std::io::Write;

use clap::CommandFactory;
use clap_complete::Shell;

use super::{Outcome, print};
use crate::cli::Arguments;

/// Prints the completions for a shell.
pub fn completions(shell: Shell) -> Outcome {
    let mut command = Arguments::command();
    let name = command.get_name().to_owned();
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut command, name, &mut text);
    out(&text)
}

/// Prints the manual page of the program, or of one of its commands.
pub fn manual(of: Option<&str>) -> Outcome {
    let program = Arguments::command();
    let command = match of {
        None => program,
        Some(name) => match program.find_subcommand(name) {
            Some(command) => {
                let name = format!("{}-{name}", program.get_name());
                command.clone().name(name)
            }
            None => return print::fail(format_args!("there is no command `{name}`")),
        },
    };
    let mut text = Vec::new();
    // Into memory, which takes everything.
    match clap_mangen::Man::new(command).render(&mut text) {
        Ok(()) => out(&text),
        Err(error) => print::fail(error),
    }
}

/// Prints to standard output. One that is closed is no reason to complain.
fn out(text: &[u8]) -> Outcome {
    let _ = std::io::stdout().write_all(text);
    Outcome::Good
}
