//! Whether the right answer comes first: questions in owners' words, written before the ranking was tuned. Every third
//! question was kept aside and is reported by itself.

use std::path::Path;

use fettlebook::pipeline;
use fettlebook::search::{Answer, Question, Searchable, answers, by_id, gather};
use serde::Deserialize;

/// A question and the answers any of which may come first.
#[derive(Deserialize)]
struct Asked {
    ask: String,
    #[serde(default, rename = "for")]
    machine: Vec<String>,
    first: Vec<String>,
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

#[test]
fn owners_find_the_answer_first() {
    let asked: Vec<Asked> =
        serde_yaml::from_str(include_str!("reference/queries.yaml")).expect("questions");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let checked = pipeline::check(&folder).expect("the demo");
    let entries = gather(&checked.library, &checked.documents);
    let ids = by_id(&entries);
    let searchable = Searchable::new(&entries).expect("an index");
    let variants = &checked.library.settings.variants;
    let (mut open, mut aside) = (Measured::default(), Measured::default());
    for Asked {
        ask,
        machine,
        first,
        aside: kept,
    } in &asked
    {
        for id in first {
            assert!(ids.contains_key(id.as_str()), "no entry is called {id}");
        }
        let question = Question {
            words: ask.clone(),
            choices: machine.clone(),
            family: None,
        };
        let found: Vec<Answer> = answers(&searchable, &entries, variants, &question, 10).best;
        let rank = found
            .iter()
            .position(|answer| first.contains(&entries[answer.entry].id));
        match kept {
            true => aside.add(rank),
            false => {
                if rank != Some(0) {
                    let shown: Vec<String> = found
                        .iter()
                        .take(4)
                        .map(|answer| format!("{} {:.2}", entries[answer.entry].id, answer.score))
                        .collect();
                    println!("MISS {ask:?} {machine:?} wants {first:?}: {shown:?}");
                }
                open.add(rank);
            }
        }
    }
    open.said("seen");
    aside.said("kept aside");
    assert!(asked.len() >= 120 && aside.asked * 4 >= asked.len());
    // What was reached, so that no change loses it unseen. What is wanted of both: 0.95 first, 0.99 among three.
    assert!(open.share(open.first) >= 0.80 && open.share(open.in_three) >= 0.91);
    assert!(aside.share(aside.first) >= 0.71 && aside.share(aside.in_three) >= 0.80);
}
