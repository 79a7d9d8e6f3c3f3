//! How long a publish takes, against a floor program that only reads the same files, renders their Markdown and writes
//! the same bytes. Both in one run, so that the ratios mean something on any machine.
//!
//! `cargo bench --bench publish -- 10000` (pages; 2,000 if none are given). Nothing is deleted between the runs, since
//! file systems are slow for a while after a mass delete.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use fettlebook::diagnostic::{Diagnostic, Stage};
use fettlebook::disk::Output;
use fettlebook::pipeline::{self, Checked};
use rayon::prelude::*;

#[path = "library.rs"]
mod library;

const RUNS: usize = 3;

fn main() {
    let pages = std::env::args()
        .filter_map(|word| word.parse().ok())
        .next()
        .unwrap_or(2_000);
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let library = folder.path().join("library");
    library::write(&library, pages);
    publish(&library, &folder.path().join("warm"));
    let site = files(&folder.path().join("warm"));
    let bytes: usize = site.values().map(Vec::len).sum();
    let (mut floors, mut fresh, mut again) = (Vec::new(), Vec::new(), Vec::new());
    let mut proofs = Vec::new();
    for run in 0..RUNS {
        floors.push(timed(|| {
            floor(&library, &site, &folder.path().join(format!("floor-{run}")))
        }));
        let own = folder.path().join(format!("site-{run}"));
        proofs.push(timed(|| drop(check(&library))));
        fresh.push(timed(|| publish(&library, &own)));
        again.push(timed(|| publish(&library, &own)));
    }
    let (floor, fresh, again) = (median(floors), median(fresh), median(again));
    println!(
        "{pages} pages, {} files, {:.1} MB of site, medians of {RUNS} runs",
        site.len(),
        bytes as f64 / 1e6
    );
    println!(
        "floor (read, render, write)   {:>8.0} ms",
        milliseconds(floor)
    );
    println!(
        "publish                       {:>8.0} ms   {:.2} of the floor (budget 2)",
        milliseconds(fresh),
        ratio(fresh, floor)
    );
    let proof = median(proofs);
    println!(
        "proof                         {:>8.0} ms   {:.2} of a full publish (budget 1)",
        milliseconds(proof),
        ratio(proof, fresh)
    );
    println!(
        "publish with nothing changed  {:>8.0} ms   {:.2} of a full publish (budget 0.3)",
        milliseconds(again),
        ratio(again, fresh)
    );
}

fn timed(work: impl FnOnce()) -> Duration {
    let began = Instant::now();
    work();
    began.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn ratio(time: Duration, other: Duration) -> f64 {
    time.as_secs_f64() / other.as_secs_f64()
}

/// Reads and proves the library.
fn check(library: &Path) -> Checked {
    let checked = pipeline::check(library).expect("a readable library");
    // A generated library heeds no rule of safety; it must be readable.
    let unreadable =
        |problem: &&Diagnostic| problem.stops() && problem.rule.stage == Stage::Reading;
    let error = checked.problems.iter().find(unreadable);
    assert!(error.is_none(), "{error:?}");
    checked
}

fn publish(library: &Path, site: &Path) {
    let checked = check(library);
    let stage = Output::open(site, library, || {})
        .expect("an output")
        .stage()
        .expect("a stage");
    pipeline::publish(library, &checked, stage, pipeline::Wanted::default()).expect("a site");
}

/// Reads every file, renders its Markdown, and writes the bytes of the site.
fn floor(library: &Path, site: &BTreeMap<PathBuf, Vec<u8>>, to: &Path) {
    let rendered: usize = names(library)
        .par_iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a file");
            let body = text.splitn(3, "---\n").last().unwrap_or("");
            let mut html = String::new();
            pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new(body));
            html.len()
        })
        .sum();
    assert!(rendered > 0);
    for path in site.keys() {
        std::fs::create_dir_all(to.join(path).parent().expect("a folder")).expect("a folder");
    }
    site.par_iter()
        .for_each(|(path, bytes)| std::fs::write(to.join(path), bytes).expect("a file"));
}

fn names(folder: &Path) -> Vec<PathBuf> {
    walkdir::WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.expect("a readable folder").into_path())
        .filter(|path| path.is_file())
        .collect()
}

fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    names(folder)
        .into_iter()
        .map(|path| {
            let bytes = std::fs::read(&path).expect("a file");
            (
                path.strip_prefix(folder).expect("below it").to_owned(),
                bytes,
            )
        })
        .collect()
}
