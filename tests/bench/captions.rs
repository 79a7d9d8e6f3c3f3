//! How long the draft of a page takes from the captions of an hour.
//!
//! `cargo bench --bench captions`. The talk is that of the demo's four films, said over and over until an hour is full;
//! the library is the demo. `draft` is everything but the disk: reading the captions, listening, writing the page;
//! `command` is the program as a person runs it, reading and proving the library included.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use fettlebook::captions::{About, draft, listen};
use fettlebook::cues::{read, spoken};
use fettlebook::pipeline;
use fettlebook::text::{SitePath, Source};

const HOUR: u64 = 3_600_000;

fn content() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

/// An hour of talk without a longer pause than a film has between two sentences.
fn hour() -> String {
    let checked = pipeline::check(&content()).expect("the demo");
    let films = checked
        .library
        .pages
        .values()
        .filter_map(|page| page.film.as_ref());
    let cues: Vec<(u64, String)> = films
        .flat_map(|film| &film.cues)
        .map(|cue| (cue.end - cue.start, cue.text.clone()))
        .collect();
    let clock = |at: u64| {
        let (hours, minutes) = (at / 3_600_000, at / 60_000 % 60);
        format!(
            "{hours:02}:{minutes:02}:{:02}.{:03}",
            at / 1000 % 60,
            at % 1000
        )
    };
    let (mut text, mut at) = ("WEBVTT\n\n".to_owned(), 0);
    for (length, words) in cues.iter().cycle() {
        if at >= HOUR {
            break;
        }
        text.push_str(&format!(
            "{} --> {}\n{words}\n\n",
            clock(at),
            clock(at + length)
        ));
        at += length + 200;
    }
    text
}

fn bench(criterion: &mut Criterion) {
    let text = hour();
    let library = pipeline::check(&content()).expect("the demo").library;
    let path = SitePath::parse("media/talk.vtt").expect("a path");
    let source = Source::new(path, text.clone());
    println!("{} cues, {} bytes", read(&source).cues.len(), text.len());
    let about = About {
        id: "talk",
        captions: "media/talk.vtt",
        recording: None,
    };
    let mut group = criterion.benchmark_group("captions of an hour");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(10));
    group.bench_function("draft", |bencher| {
        bencher.iter(|| {
            let listened = listen(&library, spoken(&read(&source).cues));
            draft(&library, &about, &listened).len()
        });
    });
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("talk.vtt");
    std::fs::write(&file, &text).expect("a file");
    group.bench_function("command", |bencher| {
        bencher.iter(|| {
            let output = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
                .args([
                    "captions".as_ref(),
                    file.as_os_str(),
                    "--json".as_ref(),
                    "--library".as_ref(),
                ])
                .arg(content())
                .output()
                .expect("the program runs");
            assert!(output.status.success());
        });
    });
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
