//! The browser answers as the terminal does: the same entries in the same order with the same scores, from the files that
//! are published, in an embedded engine.

use std::path::Path;

use fettlebook::pipeline::{self, Checked};
use fettlebook::search::{
    Card, Entry, Family, Question, Searchable, Synonyms, answers, files, gather,
};
use fettlebook::site;
use rquickjs::{Context, Function, Runtime};
use serde::Deserialize;
use serde_json::Value;

/// The parts of the script that need no page, in the order in which they run.
const SCRIPTS: [&str; 3] = [
    include_str!("../themes/benchsheet/assets/js/find-words.js"),
    include_str!("../themes/benchsheet/assets/js/find-shards.js"),
    include_str!("../themes/benchsheet/assets/js/find-rank.js"),
];

/// Asks until nothing is wanted any more, fetching what is.
const ASK: &str = "(fetch) => (text, choices, family) => {
    for (;;) {
        const found = Fettlebook.find.answers(text, { choices: JSON.parse(choices), family });
        const wanted = Array.from(Fettlebook.find.data.wanted);
        if (!wanted.length) return JSON.stringify(found);
        for (const name of wanted) (0, eval)(fetch(name));
    }
}";

struct Demo {
    checked: Checked,
    entries: Vec<Entry>,
    cards: Vec<Card>,
    searchable: Searchable,
}

fn demo() -> Demo {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let checked = pipeline::check(&folder).expect("the demo");
    let entries = gather(&checked.library, &checked.documents);
    let settings = &checked.library.settings;
    let synonyms = Synonyms::new(settings.synonyms());
    let searchable = Searchable::new(&entries, &settings.variants, synonyms).expect("an index");
    Demo {
        cards: site::cards(&checked.library, &entries),
        checked,
        entries,
        searchable,
    }
}

/// Asks the browser's script: words, the reader's machine, a family to narrow by.
type Ask<'a> = dyn Fn(&str, &[String], Option<Family>) -> Value + 'a;

/// Runs `work` with a function that asks the browser's script.
fn with_script(demo: &Demo, work: impl FnOnce(&Ask<'_>)) {
    let variants = &demo.checked.library.settings.variants;
    let published = files(&demo.searchable, variants, &demo.cards);
    let runtime = Runtime::new().expect("an engine");
    let context = Context::full(&runtime).expect("a context");
    context.with(|scope| {
        for script in SCRIPTS {
            scope.eval::<(), _>(script).expect("the script loads");
        }
        let fetch = Function::new(scope.clone(), move |name: String| {
            let file = format!("{name}.js");
            let found = published.iter().find(|(own, _)| *own == file);
            let (_, bytes) = found.unwrap_or_else(|| panic!("{name} is not published"));
            String::from_utf8(bytes.clone()).expect("text")
        });
        let make: Function<'_> = scope.eval(ASK).expect("the asking loads");
        let ask: Function<'_> = make.call((fetch.expect("a function"),)).expect("asking");
        work(&|text, choices, family| {
            let choices = serde_json::to_string(choices).expect("choices");
            let word = family.map_or("", Family::word);
            let said: String = ask.call((text, choices, word)).unwrap_or_else(|error| {
                let caught = scope.catch();
                panic!("{text:?}: {error}: {:?}", caught.as_exception())
            });
            serde_json::from_str(&said).expect("answers")
        });
    });
}

/// Holds one question's answers in both against each other.
fn compare(demo: &Demo, ask: &Ask<'_>, question: &Question) {
    let variants = &demo.checked.library.settings.variants;
    let own = answers(&demo.searchable, variants, question, 10);
    let script = ask(&question.words, &question.choices, question.family);
    let told: Vec<(String, f64)> = script["answers"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|answer| {
            let id = answer["id"].as_str().expect("an id").to_owned();
            (id, answer["score"].as_f64().expect("a score"))
        })
        .collect();
    let wanted: Vec<(String, f64)> = own
        .best
        .iter()
        .map(|answer| (demo.entries[answer.entry].id.clone(), answer.score))
        .collect();
    let ids = |list: &[(String, f64)]| list.iter().map(|(id, _)| id.clone()).collect::<Vec<_>>();
    assert_eq!(
        ids(&told),
        ids(&wanted),
        "{question:?}\n{told:?}\n{wanted:?}"
    );
    for ((id, script), (_, own)) in told.iter().zip(&wanted) {
        assert!(
            (script - own).abs() <= 1e-5 * own.abs(),
            "{question:?} {id}: {script} and {own}"
        );
    }
    for (answer, told) in own
        .best
        .iter()
        .zip(script["answers"].as_array().expect("a list"))
    {
        let card = &demo.cards[answer.entry];
        assert_eq!(told["text"], card.said(own.issue), "{question:?}");
        assert_eq!(told["address"], card.address.as_str());
        assert_eq!(told["family"], demo.entries[answer.entry].family.word());
        assert_eq!(told["current"], demo.entries[answer.entry].current);
    }
    assert_eq!(script["hidden"], own.hidden, "{question:?}");
    let families: Vec<Value> = Family::WORDS
        .iter()
        .filter_map(|(word, family)| Some((word, own.families.get(family)?)))
        .map(|(word, count)| serde_json::json!([word, count]))
        .collect();
    assert_eq!(script["families"], Value::from(families), "{question:?}");
    assert_eq!(
        script["meant"],
        serde_json::json!(own.meant),
        "{question:?}"
    );
}

#[derive(Deserialize)]
struct Asked {
    ask: String,
    #[serde(default, rename = "for")]
    machine: Vec<String>,
}

#[test]
fn the_browser_answers_as_the_terminal() {
    let demo = demo();
    let written: Vec<Asked> =
        serde_yaml::from_str(include_str!("reference/queries.yaml")).expect("questions");
    let generated = generated(&demo, 3_200);
    println!(
        "{} written and {} generated questions",
        written.len(),
        generated.len()
    );
    with_script(&demo, |ask| {
        for Asked {
            ask: words,
            machine,
        } in written
        {
            let question = Question {
                words,
                choices: machine,
                family: None,
            };
            compare(&demo, ask, &question);
        }
        for question in &generated {
            compare(&demo, ask, question);
        }
    });
}

/// Questions made of the library's own words: some cut short, some with a letter wrong, with values, numbers and machines.
fn generated(demo: &Demo, count: usize) -> Vec<Question> {
    let mut random = Random(20_261_127);
    let texts = demo.entries.iter().flat_map(|entry| {
        let own = [&entry.title, &entry.answer, &entry.own, &entry.numbers];
        own.into_iter().chain(&entry.asked)
    });
    let words: Vec<String> = texts
        .flat_map(|text| text.split_whitespace())
        .map(str::to_owned)
        .collect();
    let machines = ["smewick-16", "smewick-20", "early", "late"];
    let question = |_| {
        let some = 1 + random.below(5);
        let mut words: Vec<String> = (0..some)
            .map(|_| words[random.below(words.len())].clone())
            .collect();
        let place = random.below(words.len());
        words[place] = slipped(&words[place], &mut random);
        let joint = if random.below(12) == 0 { "/" } else { " " };
        let choices = machines.iter().filter(|_| random.below(5) == 0);
        Question {
            choices: choices.map(|choice| (*choice).to_owned()).collect(),
            family: match random.below(6) {
                0 => Some(Family::WORDS[random.below(Family::WORDS.len())].1),
                _ => None,
            },
            words: words.join(joint),
        }
    };
    (0..count).map(question).collect()
}

/// A word as it is, cut short, with a letter left out, doubled, changed or swapped.
fn slipped(word: &str, random: &mut Random) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    let place = random.below(letters.len());
    match random.below(8) {
        0 => letters.truncate(place + 1),
        1 if letters.len() > 1 => {
            letters.remove(place);
        }
        2 => letters.insert(place, letters[place]),
        3 => letters[place] = char::from(b'a' + random.below(26) as u8),
        4 if place > 0 => letters.swap(place, place - 1),
        5 => letters.push(' '),
        _ => {}
    }
    letters.into_iter().collect()
}

/// The same numbers in every run (a linear congruential generator with Knuth's MMIX constants).
struct Random(u64);

impl Random {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % limit
    }
}
