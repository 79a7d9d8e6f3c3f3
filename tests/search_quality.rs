//! Whether the right answer comes first: questions in owners' words, written before the ranking was tuned. Every third
//! question was kept aside and is reported by itself.

use std::path::Path;

use fettlebook::pipeline;
use fettlebook::search::{Question, Searchable, Synonyms, answers, by_id, gather};
use serde::Deserialize;

/// A question and the answers any of which may come first.
#[derive(Deserialize)]
struct Asked {
    ask: String,
    #[serde(default, rename = "for")]
    machine: Vec<String>,
    /// As whoever wrote the question judged.
    first: Vec<String>,
    /// As somebody judged who saw neither the first judgement nor any answer of the search.
    second: Vec<String>,
    aside: bool,
}

/// How well a set of questions was answered.
#[derive(Default)]
struct Measured {
    asked: usize,
    first: usize,
    in_three: usize,
    reciprocal: f64,
}

impl Measured {
    fn add(&mut self, rank: Option<usize>) {
        self.asked += 1;
        self.first += usize::from(rank == Some(0));
        self.in_three += usize::from(rank.is_some_and(|rank| rank < 3));
        self.reciprocal += rank.map_or(0.0, |rank| 1.0 / (rank + 1) as f64);
    }

    fn share(&self, count: usize) -> f64 {
        count as f64 / self.asked as f64
    }

    fn said(&self, name: &str) {
        println!(
            "{name}: {} questions, first {:.3}, among three {:.3}, mean reciprocal rank {:.3}",
            self.asked,
            self.share(self.first),
            self.share(self.in_three),
            self.reciprocal / self.asked as f64
        );
    }
}

/// A set of questions measured by the first judgement, and by what either judge calls right.
#[derive(Default)]
struct Both {
    by_first: Measured,
    by_either: Measured,
}

#[test]
fn owners_find_the_answer_first() {
    let asked: Vec<Asked> =
        serde_yaml::from_str(include_str!("reference/queries.yaml")).expect("questions");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let checked = pipeline::check(&folder).expect("the demo");
    let entries = gather(&checked.library, &checked.documents);
    let ids = by_id(&entries);
    let settings = &checked.library.settings;
    let variants = &settings.variants;
    let synonyms = Synonyms::new(settings.synonyms());
    let searchable = Searchable::new(&entries, variants, synonyms).expect("an index");
    let (mut open, mut aside) = (Both::default(), Both::default());
    for own in &asked {
        for id in own.first.iter().chain(&own.second) {
            assert!(ids.contains_key(id.as_str()), "no entry is called {id}");
        }
        let question = Question {
            words: own.ask.clone(),
            choices: own.machine.clone(),
            family: None,
        };
        let found = answers(&searchable, variants, &question, 10).best;
        let found: Vec<&String> = found
            .iter()
            .map(|answer| &entries[answer.entry].id)
            .collect();
        let by_first = found.iter().position(|id| own.first.contains(id));
        let by_either = found
            .iter()
            .position(|id| own.first.contains(id) || own.second.contains(id));
        let set = if own.aside { &mut aside } else { &mut open };
        set.by_first.add(by_first);
        set.by_either.add(by_either);
        // Whoever tunes the ranking reads these, so those kept aside are not shown.
        if !own.aside && by_either != Some(0) {
            let shown = &found[..found.len().min(4)];
            println!(
                "MISS {:?} {:?} wants {:?}: {shown:?}",
                own.ask, own.machine, own.first
            );
        }
    }
    for (name, set) in [("seen", &open), ("kept aside", &aside)] {
        set.by_first
            .said(&format!("{name}, as the questions' writer judged"));
        set.by_either
            .said(&format!("{name}, as either judge called right"));
    }
    assert_eq!((asked.len(), aside.by_first.asked), (874, 119));
    // What was reached, so that no change loses it unseen. What is wanted: 0.95 first, 0.99 among three.
    let reached = |measured: &Measured, first: f64, in_three: f64| {
        measured.share(measured.first) >= first && measured.share(measured.in_three) >= in_three
    };
    assert!(reached(&open.by_first, 0.83, 0.92));
    assert!(reached(&aside.by_first, 0.83, 0.91));
}
