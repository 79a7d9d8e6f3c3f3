//! The command line: what can be typed, nothing of what it does.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

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
    /// Draft the page of a recording from its captions, WebVTT or SRT; a page that is there is never written to.
    #[command(after_help = CAPTIONS_HELP)]
    Captions(Captions),
    /// Print what a shell needs to complete commands and options: `fettlebook completions bash`.
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Record every figure, notice, part and page issue as published; later changes are found against it.
    #[command(after_help = EDITION_HELP)]
    Edition(Edition),
    /// Look up a figure, a part, a step, a hazard: the answer itself, and where it stands.
    #[command(after_help = FIND_HELP)]
    Find(Find),
    /// Print the manual page of the program or of one command, for `man`: `fettlebook manual proof | man -l -`.
    Manual {
        /// The command.
        command: Option<String>,
    },
    /// Read and check the whole library, and say what is wrong with it.
    Proof {
        /// The library's folder.
        #[arg(default_value = "content")]
        folder: PathBuf,
        /// How to print what was found.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
        /// Explain a rule by its name, as it stands in brackets in a finding; no library is read.
        #[arg(long, value_name = "NAME", conflicts_with_all = ["folder", "format"])]
        explain: Option<String>,
    },
    /// Run a calculator with values measured at the bench; without a calculator's name, list what can be worked out.
    #[command(after_help = RECKON_HELP)]
    Reckon(Reckon),
    /// Lay down a small library that proves clean, with comments that teach how one is written.
    Start {
        /// The folder to make, which is not there yet or empty.
        #[arg(default_value = "content")]
        folder: PathBuf,
    },
    /// Make the site; nothing is written if the library has errors.
    Publish {
        /// The library's folder.
        #[arg(default_value = "content")]
        folder: PathBuf,
        /// The folder to write the site to.
        #[arg(long, default_value = "site")]
        to: PathBuf,
        /// Add `proof.html`, for the workshop: every finding, and every one that was accepted.
        #[arg(long)]
        with_proof: bool,
        /// Write the site as one archive too, for a memory stick, and beside it one HTML file for each kind of machine, for
        /// a phone.
        #[arg(long, value_name = "FILE")]
        zip: Option<PathBuf>,
        /// Write the HTML files for phones into this folder; without `--zip`, only those.
        #[arg(long, value_name = "FOLDER")]
        one_file: Option<PathBuf>,
    },
}

/// How `captions` ends, and what it writes.
const CAPTIONS_HELP: &str = "\
The page is videos/NAME.md of the library, by the name of the captions' file; captions from elsewhere are put into the
library's media/. The draft lists what only a person can fill in. If the page is there, nothing is written to it: the page
with what is new added, and every word of it kept, goes to standard output, or to a new file named with --to.
Ends with 0 when it is done; with 1 when the captions hold no cue, or the page that is there cannot be read; with 2 when a
file cannot be read or written.";

/// What `captions` is to read.
#[derive(Debug, clap::Args)]
pub struct Captions {
    /// The file of captions.
    pub file: PathBuf,
    /// The library.
    #[arg(long, value_name = "FOLDER", default_value = "content")]
    pub library: PathBuf,
    /// Print what is heard as one JSON object on standard output, and write nothing.
    #[arg(long)]
    pub json: bool,
    /// The new file to write the page to, instead of videos/NAME.md of the library.
    #[arg(long, value_name = "FILE")]
    pub to: Option<PathBuf>,
    /// The recording: a file of the library under media/, or its address on the web.
    #[arg(long, value_name = "FILE|ADDRESS")]
    pub film: Option<String>,
}

/// How `edition` ends, and what it writes.
const EDITION_HELP: &str = "\
The record is editions/ID.yaml of the library, where ID is the title in small letters with hyphens: `2026 spring` becomes
2026-spring.yaml. It carries the date of the library, which must be later than that of the last edition. A record that is
there is never replaced, and a library with errors is not recorded.
Ends with 0 when it is recorded; with 1 when the library has errors; with 2 when it cannot be recorded.";

/// What `edition` is to record.
#[derive(Debug, clap::Args)]
pub struct Edition {
    /// What it is called, such as `2026 spring`.
    pub title: String,
    /// What it is about, in a sentence for owners.
    #[arg(long)]
    pub note: String,
    /// The library.
    #[arg(long, value_name = "FOLDER", default_value = "content")]
    pub library: PathBuf,
}

/// How `find` ends, and what may be typed.
const FIND_HELP: &str = "\
Words are typed as they come: coupling nut torqe; dc201; 133 lb ft; how hot for the ring. A value that was withdrawn leads
to the bulletin that withdrew it. With --for, no value for another machine is told.
Ends with 0 when something is found; with 1 when nothing is, or the library has errors; with 2 when what was typed cannot
be used.";

/// What `find` is to look up.
#[derive(Debug, clap::Args)]
pub struct Find {
    /// What is wanted.
    #[arg(required = true)]
    pub words: Vec<String>,
    /// The machine: the id of one of the library's choices, such as a model; more than once for several.
    #[arg(long = "for", value_name = "CHOICE")]
    pub machine: Vec<String>,
    /// Only answers of this family: torque, fit, setting, part, step, notice and so on.
    #[arg(long)]
    pub family: Option<String>,
    /// Print one JSON array on standard output.
    #[arg(long)]
    pub json: bool,
    /// The library.
    #[arg(long, value_name = "FOLDER", default_value = "content")]
    pub library: PathBuf,
    /// The site beside which the index is kept, so that the next question is answered at once.
    #[arg(long, value_name = "SITE", default_value = "site")]
    pub site: PathBuf,
}

/// How `reckon` ends, and what may be typed.
const RECKON_HELP: &str = "\
Values are typed as they are read: hole=\"60.012 mm\", hole=2.3627in, hole=\"60.012 mm ± 0.004 mm\", material=steel.
A ± is an expanded uncertainty (k = 2), or limits, as the calculator says.
Ends with 0 when all is well; with 1 when nothing can be worked out, or a check with the signal DANGER or WARNING speaks;
with 2 when a name is not known, an input is missing or a value cannot be read.";

/// What `reckon` is to work out.
#[derive(Debug, clap::Args)]
pub struct Reckon {
    /// The calculator.
    pub calculator: Option<String>,
    /// What was measured, as `input=value`; words without `=` belong to the value before them.
    #[arg(value_name = "INPUT=VALUE")]
    pub given: Vec<String>,
    /// Print one JSON object on standard output.
    #[arg(long)]
    pub json: bool,
    /// The input to find: the value that gives the result named with `--for`.
    #[arg(long, value_name = "INPUT", requires = "wanted")]
    pub find: Option<String>,
    /// The wanted result.
    #[arg(
        long = "for",
        id = "wanted",
        value_name = "STEP=VALUE",
        requires = "find"
    )]
    pub wanted: Option<String>,
    /// The library whose own calculators are known beside the built-in ones; `content` if there is one.
    #[arg(long, value_name = "FOLDER")]
    pub library: Option<PathBuf>,
}

/// Ways to print what a proof found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people, on standard error.
    Text,
    /// For programs, on standard output.
    Json,
    /// For editors, code hosts and review tools, on standard output: SARIF 2.1.0.
    Sarif,
}
