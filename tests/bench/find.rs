//! How large the index is and how long a question takes, in a browser and in the terminal.
//!
//! `cargo bench --bench find -- 1000 10000 100000` (pages; 1,000 if none are given), for each size in one run. The pages
//! themselves are not published: the index of the large library is put beside the page to find on of a library of one
//! page, which asks it as it would its own. Nothing is deleted between the runs, since file systems are slow for a while
//! after a mass delete.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::{Duration, Instant};

use fettlebook::diagnostic::Level;
use fettlebook::disk::Output;
use fettlebook::library::Variant;
use fettlebook::pipeline;
use fettlebook::search::{
    Card, Cards, Entry, Family, Question, Searchable, Synonyms, answers, files, gather, kept,
};
use fettlebook::site;
use rayon::prelude::*;
use serde_json::Value;

use self::library::Random;
use self::support::browser::{Browser, Page};
use self::support::server::Server;

#[path = "library.rs"]
mod library;
#[path = "../support/mod.rs"]
mod support;

const QUESTIONS: usize = 300;
/// Answers that a reader gets.
const ANSWERS: usize = 10;
/// Bytes that a reader's first question may take.
const BUDGET: usize = 120_000;
const INDEX: &str = "assets/find";
const SCRIPT: &str = "assets/js/find.js";
const KINDS: [&str; 4] = ["head", "terms", "words", "cards"];

/// Asks until nothing is wanted any more: the milliseconds that the script reckoned in all rounds, those from question
/// to answer, the files that were fetched, and the milliseconds of the last round, when all bytes were there, and of the
/// longest.
const ASK: &str = "window.ask = async (text) => {
    const { find } = Fettlebook;
    const began = performance.now();
    let reckoned = 0;
    let longest = 0;
    const fetched = [];
    for (;;) {
        const from = performance.now();
        find.answers(text, {});
        const round = performance.now() - from;
        reckoned += round;
        longest = Math.max(longest, round);
        const wanted = Array.from(find.data.wanted);
        if (!wanted.length) return [reckoned, performance.now() - began, fetched, round, longest];
        fetched.push(...wanted);
        await find.data.fetchWanted();
    }
};
window.askAll = async (texts) => {
    const told = [];
    for (const text of texts) told.push(await ask(text));
    return told;
};
window.type = async (text) => {
    const letters = Array.from(text);
    const told = [];
    for (let end = 1; end <= letters.length; end += 1) {
        const typed = letters.slice(0, end).join('').trim();
        told.push(await ask(typed));
    }
    return told;
};
true";

fn main() {
    let mut sizes: Vec<usize> = std::env::args()
        .filter_map(|word| word.parse().ok())
        .collect();
    if sizes.is_empty() {
        sizes.push(1_000);
    }
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    for pages in sizes {
        measure(pages, &folder.path().join(pages.to_string()));
    }
}

/// Writes a library of so many pages, makes its index, and prints what there is to say of it.
fn measure(pages: usize, folder: &Path) {
    library::write(&folder.join("library"), pages);
    let site = folder.join("site");
    publish_small(&folder.join("small"), &site);
    let made = Made::new(&folder.join("library"));
    println!(
        "\n{pages} pages, {} entries ({:.1} a page); the index without the pages",
        made.count,
        made.count as f64 / pages as f64
    );
    made.times();
    let sizes = Sizes::of(&made.files, &site);
    sizes.print(pages);
    write_index(&made.files, &site.join(INDEX));
    kept_index(&made, &folder.join("kept"));
    let any: Vec<String> = (0..QUESTIONS)
        .map(|number| made.words.question(number, 2 + number % 3))
        .collect();
    terminal(&made, &any);
    let three: Vec<String> = (0..QUESTIONS)
        .map(|number| made.words.question(QUESTIONS + number, 3))
        .collect();
    in_browser(&site, &sizes, &three, &any);
}

/// The site of a library of one page with the same machines.
fn publish_small(folder: &Path, site: &Path) {
    library::write(folder, 1);
    let checked = pipeline::check(folder).expect("a readable library");
    let stage = Output::open(site, folder, || {})
        .expect("an output")
        .stage()
        .expect("a stage");
    pipeline::publish(folder, &checked, stage, pipeline::Wanted::default()).expect("a site");
}

/// In place of the small library's own index.
fn write_index(files: &[(String, Vec<u8>)], folder: &Path) {
    files
        .par_iter()
        .for_each(|(name, bytes)| std::fs::write(folder.join(name), bytes).expect("a file"));
}

// ---- making the index ----

/// An index with all that is made of it, and how long each took.
struct Made {
    count: usize,
    words: Words,
    variants: Vec<Variant>,
    synonyms: Synonyms,
    searchable: Searchable,
    cards: Vec<Card>,
    files: Vec<(String, Vec<u8>)>,
    times: Vec<(&'static str, Duration)>,
}

impl Made {
    fn new(folder: &Path) -> Made {
        let mut times = Vec::new();
        let (checked, time) = timed(|| pipeline::check(folder).expect("a readable library"));
        times.push(("reading and checking the library", time));
        let mut problems = checked.problems.iter();
        let error = problems.find(|problem| problem.level() == Level::Error);
        assert!(error.is_none(), "{error:?}");
        let ((entries, cards), time) = timed(|| {
            let entries = gather(&checked.library, &checked.documents);
            let cards = site::cards(&checked.library, &entries);
            (entries, cards)
        });
        times.push(("gathering its entries", time));
        let variants = checked.library.settings.variants.clone();
        let synonyms = Synonyms::new(checked.library.settings.synonyms());
        drop(checked);
        let (searchable, time) =
            timed(|| Searchable::new(&entries, &variants, synonyms.clone()).expect("an index"));
        times.push(("building the index", time));
        let words = Words::of(&entries);
        let count = entries.len();
        drop(entries);
        let (files, time) = timed(|| files(&searchable, &variants, &cards));
        times.push(("coding it for the browser", time));
        Made {
            count,
            words,
            variants,
            synonyms,
            searchable,
            cards,
            files,
            times,
        }
    }

    fn times(&self) {
        for (what, time) in &self.times {
            row(what, &format!("{:>10.2} s", time.as_secs_f64()));
        }
    }
}

/// Writes and opens the index that the terminal keeps.
fn kept_index(made: &Made, file: &Path) {
    let cards = Cards::new(&made.cards);
    let (length, write) = timed(|| {
        let bytes = kept::to_bytes(&made.searchable, &cards, "bench");
        std::fs::write(file, &bytes).expect("a file");
        bytes.len()
    });
    let (opened, open) = timed(|| {
        let bytes = std::fs::read(file).expect("a file");
        kept::from_bytes(&bytes, "bench", made.synonyms.clone()).is_some()
    });
    assert!(opened, "the kept index is read back");
    row(
        "kept index: written, opened, size",
        &format!(
            "{:>10.2} s {:>10.2} s {:>10.1} MB",
            write.as_secs_f64(),
            open.as_secs_f64(),
            length as f64 / 1e6
        ),
    );
}

// ---- sizes ----

/// A file's bytes, as they are and on the way to a reader.
#[derive(Clone, Copy, Default)]
struct Size {
    raw: usize,
    packed: usize,
}

impl Size {
    fn of(bytes: &[u8]) -> Size {
        // What gzip writes around the packed bytes is 18 bytes long.
        let packed = miniz_oxide::deflate::compress_to_vec(bytes, 6).len() + 18;
        Size {
            raw: bytes.len(),
            packed,
        }
    }

    fn and(self, other: Size) -> Size {
        Size {
            raw: self.raw + other.raw,
            packed: self.packed + other.packed,
        }
    }
}

/// The size of every file that finding may fetch.
struct Sizes {
    /// By name without ending.
    index: BTreeMap<String, Size>,
    script: Size,
}

impl Sizes {
    fn of(files: &[(String, Vec<u8>)], site: &Path) -> Sizes {
        let each = files.par_iter();
        Sizes {
            index: each
                .map(|(name, bytes)| (name.trim_end_matches(".js").to_owned(), Size::of(bytes)))
                .collect(),
            script: Size::of(&std::fs::read(site.join(SCRIPT)).expect("the script")),
        }
    }

    fn print(&self, pages: usize) {
        row(
            "",
            "     files  bytes a page   gzipped   largest file   gzipped",
        );
        for kind in KINDS {
            let own = self.index.iter().filter(|(name, _)| kind_of(name) == kind);
            let own: Vec<Size> = own.map(|(_, size)| *size).collect();
            let all = own.iter().fold(Size::default(), |sum, own| sum.and(*own));
            let raw = own.iter().map(|size| size.raw).max().unwrap_or(0);
            let packed = own.iter().map(|size| size.packed).max().unwrap_or(0);
            row(
                &format!("  {kind}"),
                &format!(
                    "{:>10} {:>13} {:>9} {raw:>14} {packed:>9}",
                    own.len(),
                    all.raw / pages,
                    all.packed / pages
                ),
            );
        }
        let all = self
            .index
            .values()
            .fold(Size::default(), |sum, own| sum.and(*own));
        row(
            "  all",
            &format!(
                "{:>10} {:>13} {:>9}",
                self.index.len(),
                all.raw / pages,
                all.packed / pages
            ),
        );
    }

    /// What these files take together, of one kind or of all.
    fn fetched(&self, names: &BTreeSet<String>, kind: Option<&str>) -> Size {
        let own = names
            .iter()
            .filter(|name| kind.is_none_or(|kind| kind_of(name) == kind));
        own.map(|name| self.index[name])
            .fold(Size::default(), Size::and)
    }
}

fn kind_of(name: &str) -> &str {
    name.split('-').next().unwrap_or(name)
}

// ---- questions ----

/// What questions are made of.
struct Words {
    /// Titles and values, of each family's entries the same number.
    texts: Vec<String>,
    part_numbers: Vec<String>,
}

impl Words {
    fn of(entries: &[Entry]) -> Words {
        let wanted = [
            Family::Job,
            Family::Part,
            Family::Torque,
            Family::Setting,
            Family::Tool,
        ];
        let mut random = Random::new(7);
        let mut texts = Vec::new();
        for family in wanted {
            let own: Vec<&Entry> = entries.iter().filter(|own| own.family == family).collect();
            texts.extend((0..400).map(|_| {
                let entry = random.of(&own);
                // The value of a figure stands first in its answer.
                let value = entry.answer.split(';').next().filter(|_| family.is_value());
                let limit = value.unwrap_or("").split('±').next().unwrap_or("");
                match random.below(3) {
                    0 => format!("{} {limit}", entry.title),
                    _ => entry.title.clone(),
                }
            }));
        }
        let parts = entries.iter().filter(|own| own.family == Family::Part);
        Words {
            texts,
            part_numbers: parts.map(|own| own.own.clone()).collect(),
        }
    }

    /// Words of one text: in a fifth of the questions one is a part number, in a fifth one has a letter wrong, in a fifth
    /// the last is half typed.
    fn question(&self, number: usize, length: usize) -> String {
        let mut random = Random::new(number as u64 + 0x7000_0000);
        let mut words: Vec<String> = Vec::new();
        while words.len() < length {
            let text = random.of(&self.texts);
            let own: Vec<&str> = text.split_whitespace().collect();
            let from = random.below(own.len());
            let some = own[from..].iter().take(length - words.len());
            words.extend(some.map(|word| (*word).to_owned()));
        }
        let last = words.len() - 1;
        match number % 5 {
            0 => words[0] = random.of(&self.part_numbers).clone(),
            1 => {
                let longest = (0..=last).max_by_key(|place| words[*place].chars().count());
                let place = longest.unwrap_or(0);
                words[place] = with_one_wrong(&words[place], &mut random);
            }
            2 => {
                let letters = words[last].chars().count();
                words[last] = words[last].chars().take(letters.div_ceil(2)).collect();
            }
            _ => {}
        }
        words.join(" ")
    }
}

/// A word with a letter left out, doubled, changed or swapped with the one before; not the first.
fn with_one_wrong(word: &str, random: &mut Random) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    if letters.len() < 3 {
        return word.to_owned();
    }
    let place = 1 + random.below(letters.len() - 1);
    match random.below(4) {
        0 => {
            letters.remove(place);
        }
        1 => letters.insert(place, letters[place]),
        2 => letters[place] = char::from(b'a' + random.below(26) as u8),
        _ => letters.swap(place, place - 1),
    }
    letters.into_iter().collect()
}

// ---- asking ----

fn terminal(made: &Made, questions: &[String]) {
    let mut found = 0;
    let times: Vec<f64> = questions
        .iter()
        .map(|words| {
            let question = Question {
                words: words.clone(),
                ..Question::default()
            };
            let (answers, time) =
                timed(|| answers(&made.searchable, &made.variants, &question, ANSWERS));
            found += usize::from(!answers.best.is_empty());
            time.as_secs_f64() * 1e3
        })
        .collect();
    row("terminal, a question", &spread(times));
    row(
        "  questions that are answered",
        &format!("{found:>10} of {QUESTIONS}"),
    );
}

/// Asks in Chromium, over HTTP from this machine.
fn in_browser(site: &Path, sizes: &Sizes, three: &[String], any: &[String]) {
    let server = Server::start(site, "");
    let address = server.address("find.html");
    let browser = Browser::launch();
    let page = browser.page();
    let fresh = || {
        page.goto(&address);
        page.eval(ASK);
    };
    let first: Vec<Asking> = three
        .iter()
        .map(|words| {
            fresh();
            Asking::read(&page.eval(&format!("ask({})", Value::from(words.as_str()))))
        })
        .collect();
    fetched(
        sizes,
        "first question",
        three,
        first.iter().map(|own| own.fetched.clone()),
    );
    let typed: Vec<Vec<Asking>> = three
        .iter()
        .map(|words| {
            fresh();
            askings(&page, "type", &Value::from(words.as_str()))
        })
        .collect();
    let each = typed.iter().map(|own| {
        own.iter()
            .flat_map(|asking| asking.fetched.clone())
            .collect()
    });
    fetched(sizes, "first question, typed", three, each);
    row(
        "Chromium, first question of a page, all rounds",
        &spread(first.iter().map(|own| own.reckoned)),
    );
    row(
        "  its last round, when all bytes are there",
        &spread(first.iter().map(|own| own.last)),
    );
    row(
        "  its longest round",
        &spread(first.iter().map(|own| own.longest)),
    );
    row(
        "  with fetching from this machine",
        &spread(first.iter().map(|own| own.whole)),
    );
    let letters = typed.iter().flatten();
    row(
        "Chromium, a letter of a first question typed",
        &spread(letters.map(|own| own.reckoned)),
    );
    fresh();
    let all = Value::from(any.to_vec());
    askings(&page, "askAll", &all);
    let again = askings(&page, "askAll", &all);
    assert!(again.iter().all(|own| own.fetched.is_empty()));
    row(
        "Chromium, a question with all there",
        &spread(again.iter().map(|own| own.reckoned)),
    );
    let slowest = again
        .iter()
        .zip(any)
        .max_by(|one, other| one.0.reckoned.total_cmp(&other.0.reckoned));
    let (_, slowest) = slowest.expect("questions");
    row("  the slowest of them", &format!("  {slowest}"));
    let letters: Vec<Asking> = any
        .iter()
        .flat_map(|words| askings(&page, "type", &Value::from(words.as_str())))
        .collect();
    row(
        "Chromium, a letter typed on the same page",
        &spread(letters.iter().map(|own| own.reckoned)),
    );
    let errors = page.console_errors();
    assert!(errors.is_empty(), "{errors:?}");
}

/// What the browser told of a question.
struct Asking {
    reckoned: f64,
    whole: f64,
    last: f64,
    longest: f64,
    fetched: BTreeSet<String>,
}

impl Asking {
    fn read(told: &Value) -> Asking {
        let names = told[2].as_array().expect("names").iter();
        let time = |place: usize| told[place].as_f64().expect("milliseconds");
        Asking {
            reckoned: time(0),
            whole: time(1),
            last: time(3),
            longest: time(4),
            fetched: names
                .map(|name| name.as_str().expect("a name").to_owned())
                .collect(),
        }
    }
}

fn askings(page: &Page, what: &str, of: &Value) -> Vec<Asking> {
    let told = page.eval(&format!("{what}({of})"));
    told.as_array()
        .expect("askings")
        .iter()
        .map(Asking::read)
        .collect()
}

/// Prints what the files of each question take, without the script that asks.
fn fetched(
    sizes: &Sizes,
    what: &str,
    questions: &[String],
    each: impl Iterator<Item = BTreeSet<String>>,
) {
    let each: Vec<BTreeSet<String>> = each.collect();
    row(
        &format!("bytes of a {what}"),
        "  median       worst   gzipped: median     worst   (budget 120,000)",
    );
    let with_script = |size: Size| size.and(sizes.script);
    let print = |name: &str, kind: Option<&str>| {
        let of = |names: &BTreeSet<String>| match name {
            "  all, with find.js" => with_script(sizes.fetched(names, kind)),
            _ => sizes.fetched(names, kind),
        };
        let mut raw: Vec<usize> = each.iter().map(|names| of(names).raw).collect();
        let mut packed: Vec<usize> = each.iter().map(|names| of(names).packed).collect();
        raw.sort_unstable();
        packed.sort_unstable();
        let (middle, last) = (each.len() / 2, each.len() - 1);
        row(
            name,
            &format!(
                "{:>10} {:>11} {:>17} {:>9}",
                raw[middle], raw[last], packed[middle], packed[last]
            ),
        );
    };
    for kind in KINDS {
        print(&format!("  {kind}"), Some(kind));
    }
    print("  all of the index", None);
    print("  all, with find.js", None);
    let over = |size: &dyn Fn(Size) -> usize| {
        let sums = each
            .iter()
            .map(|names| size(with_script(sizes.fetched(names, None))));
        sums.filter(|sum| *sum > BUDGET).count()
    };
    row(
        "  questions above the budget",
        &format!(
            "{:>10} raw {:>19} gzipped",
            over(&|size| size.raw),
            over(&|size| size.packed)
        ),
    );
    let worst = each.iter().zip(questions);
    let worst = worst.max_by_key(|(names, _)| sizes.fetched(names, None).raw);
    let (names, question) = worst.expect("questions");
    let named: Vec<String> = names
        .iter()
        .map(|name| format!("{name} {}", sizes.index[name].raw))
        .collect();
    println!("  the worst: {question:?}: {}", named.join(", "));
}

// ---- printing ----

fn row(what: &str, told: &str) {
    println!("{what:<46}{told}");
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let began = Instant::now();
    let made = work();
    (made, began.elapsed())
}

/// Median, 99th percentile and worst of some milliseconds.
fn spread(times: impl IntoIterator<Item = f64>) -> String {
    let mut times: Vec<f64> = times.into_iter().collect();
    times.sort_by(f64::total_cmp);
    let at = |part: usize| times[(times.len() * part / 100).min(times.len() - 1)];
    format!(
        "{:>10.2} ms median {:>8.2} ms 99th {:>8.2} ms worst",
        at(50),
        at(99),
        times[times.len() - 1]
    )
}
