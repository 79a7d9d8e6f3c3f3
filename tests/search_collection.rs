//! Whether the search does harm to ordinary text: other people's questions over other people's answers, asked of our
//! ranking and of tantivy's own: its default tokenizer, and `en_stem`.

use std::collections::BTreeMap;
use std::path::Path;

use fettlebook::document::Target;
use fettlebook::library::Applies;
use fettlebook::search::{Entry, Family, Question, Searchable, Synonyms, answers};
use fettlebook::text::stem;
use tantivy::collector::TopDocs;
use tantivy::query::{BooleanQuery, Occur, Query, TermQuery};
use tantivy::schema::{IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::tokenizer::{
    LowerCaser, RemoveLongFilter, SimpleTokenizer, TextAnalyzer, Token, TokenFilter, TokenStream,
    Tokenizer,
};
use tantivy::{Index, TantivyDocument};

/// Answers looked at for each question.
const MOST: usize = 10;
/// Words of a sentence that asks for something, at least: "Yes" does not.
const SENTENCE_WORDS: usize = 5;
/// How much worse than either of tantivy's a mean of ours may be.
const MARGIN: f64 = 0.01;

/// A text of a collection: what it is called, and its words.
struct Text {
    title: String,
    words: String,
}

/// Texts, and questions with the places of the texts that answer them.
struct Collection {
    name: String,
    texts: Vec<Text>,
    asked: Vec<(String, Vec<usize>)>,
}

/// The means over the questions of a collection.
struct Measured {
    reciprocal: f64,
    first: f64,
    in_three: f64,
    gain: f64,
}

/// The questions with their answers: the English edition of the Swedish Construction FAQ by Zaragoza AB, CC BY 4.0, from the
/// Python package zaragoza-construction-faq 1.2.1, which `tests/run` fetches. An answer is right for its own question alone.
fn list() -> Vec<[String; 2]> {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent();
    let path = target
        .expect("the target folder")
        .join("collection/zaragoza_construction_faq/data/faq-en.csv");
    let mut table = csv::Reader::from_path(&path).unwrap_or_else(|error| {
        panic!(
            "{}: {error}; tests/run puts the collection there",
            path.display()
        )
    });
    let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let rows = table.deserialize::<BTreeMap<String, String>>();
    rows.map(|row| {
        let row = row.expect("a row");
        [squeezed(&row["q"]), squeezed(&row["a"])]
    })
    .collect()
}

/// A list's questions asked of its answers, which do not have the question in them.
fn answers_asked(name: &str, list: &[[String; 2]]) -> Collection {
    let text = |[_, answer]: &[String; 2]| Text {
        title: String::new(),
        words: answer.clone(),
    };
    let asked = list.iter().map(|[question, _]| {
        let alike = list.iter().enumerate();
        let alike = alike.filter(|(_, [other, _])| other == question);
        (question.clone(), alike.map(|(place, _)| place).collect())
    });
    Collection {
        name: format!("{name}, answers"),
        texts: list.iter().map(text).collect(),
        asked: asked.collect(),
    }
}

/// The first sentence of each answer asked of the rest of it under the question as its title.
fn titles_asked(name: &str, list: &[[String; 2]]) -> Collection {
    let mut texts = Vec::new();
    let mut asked = Vec::new();
    for [question, answer] in list {
        let (first, rest) = answer.split_once(". ").unwrap_or((answer, ""));
        if first.split_whitespace().count() >= SENTENCE_WORDS {
            asked.push((first.to_owned(), vec![texts.len()]));
        }
        texts.push(Text {
            title: question.clone(),
            words: rest.to_owned(),
        });
    }
    Collection {
        name: format!("{name}, titles"),
        texts,
        asked,
    }
}

/// What our ranking finds for each question.
fn by_ours(collection: &Collection) -> Vec<Vec<usize>> {
    let entry = |(place, text): (usize, &Text)| Entry {
        family: Family::Note,
        id: format!("note:{place}"),
        title: text.title.clone(),
        answer: String::new(),
        place: Target::Page(place.to_string(), None),
        applies: Applies::default(),
        current: true,
        names: text.title.clone(),
        asked: Vec::new(),
        own: String::new(),
        numbers: String::new(),
        gravity: 10,
        issues: Vec::new(),
        withdrawn: String::new(),
        words: text.words.clone(),
    };
    let entries: Vec<Entry> = collection.texts.iter().enumerate().map(entry).collect();
    let searchable = Searchable::new(&entries, &[], Synonyms::new([])).expect("an index");
    let find = |(words, _): &(String, Vec<usize>)| {
        let question = Question {
            words: words.clone(),
            ..Question::default()
        };
        let found = answers(&searchable, &[], &question, MOST).best;
        found.iter().map(|answer| answer.entry).collect()
    };
    collection.asked.iter().map(find).collect()
}

/// What tantivy finds with a tokenizer, title and words being one text.
fn by_tantivy(collection: &Collection, mut analyzer: TextAnalyzer) -> Vec<Vec<usize>> {
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("own")
        .set_index_option(IndexRecordOption::WithFreqsAndPositions);
    let options = TextOptions::default().set_indexing_options(indexing);
    let mut builder = Schema::builder();
    let field = builder.add_text_field("text", options);
    let index = Index::create_in_ram(builder.build());
    index.tokenizers().register("own", analyzer.clone());
    let mut writer = index
        .writer_with_num_threads::<TantivyDocument>(1, 64 << 20)
        .expect("a writer");
    for text in &collection.texts {
        let mut document = TantivyDocument::default();
        document.add_text(field, format!("{} {}", text.title, text.words));
        writer.add_document(document).expect("to be added");
    }
    writer.commit().expect("to be committed");
    let searcher = index.reader().expect("a reader").searcher();
    assert_eq!(searcher.segment_readers().len(), 1);
    let mut find = |(words, _): &(String, Vec<usize>)| {
        let mut clauses: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        analyzer.token_stream(words).process(&mut |token: &Token| {
            let term = tantivy::Term::from_field_text(field, &token.text);
            let query = TermQuery::new(term, IndexRecordOption::WithFreqs);
            clauses.push((Occur::Should, Box::new(query)));
        });
        let best = TopDocs::with_limit(MOST).order_by_score();
        let found = searcher
            .search(&BooleanQuery::new(clauses), &best)
            .expect("an answer");
        let places = found.iter().map(|(_, address)| address.doc_id as usize);
        places.collect()
    };
    collection.asked.iter().map(&mut find).collect()
}

/// The means over questions of what was found.
fn measured(collection: &Collection, found: &[Vec<usize>]) -> Measured {
    let mut sums = [0.0; 4];
    for ((_, right), found) in collection.asked.iter().zip(found) {
        let ranks = found.iter().enumerate();
        let ranks = ranks.filter(|(_, place)| right.contains(place));
        let ranks: Vec<usize> = ranks.map(|(rank, _)| rank).collect();
        let gain = |rank: usize| 1.0 / ((rank + 2) as f64).log2();
        let most: f64 = (0..right.len()).map(gain).sum();
        let of_first = ranks.first().copied();
        sums[0] += of_first.map_or(0.0, |rank| 1.0 / (rank + 1) as f64);
        sums[1] += f64::from(of_first == Some(0));
        sums[2] += f64::from(of_first.is_some_and(|rank| rank < 3));
        sums[3] += ranks.into_iter().map(gain).sum::<f64>() / most;
    }
    let [reciprocal, first, in_three, gain] =
        sums.map(|sum: f64| sum / collection.asked.len() as f64);
    Measured {
        reciprocal,
        first,
        in_three,
        gain,
    }
}

/// Stems words as tantivy's `en_stem` does, which the program is built without: by the same library.
#[derive(Clone)]
struct Stems;

#[derive(Clone)]
struct Stemming<T>(T);

struct Stemmed<S>(S);

impl TokenFilter for Stems {
    type Tokenizer<T: Tokenizer> = Stemming<T>;

    fn transform<T: Tokenizer>(self, tokenizer: T) -> Stemming<T> {
        Stemming(tokenizer)
    }
}

impl<T: Tokenizer> Tokenizer for Stemming<T> {
    type TokenStream<'a> = Stemmed<T::TokenStream<'a>>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Self::TokenStream<'a> {
        Stemmed(self.0.token_stream(text))
    }
}

impl<S: TokenStream> TokenStream for Stemmed<S> {
    fn advance(&mut self) -> bool {
        let is_one = self.0.advance();
        if is_one {
            let token = self.0.token_mut();
            token.text = stem(&token.text);
        }
        is_one
    }

    fn token(&self) -> &Token {
        self.0.token()
    }

    fn token_mut(&mut self) -> &mut Token {
        self.0.token_mut()
    }
}

#[test]
fn ordinary_text_is_found_no_worse_than_by_tantivy_alone() {
    let plain = || {
        TextAnalyzer::builder(SimpleTokenizer::default())
            .filter(RemoveLongFilter::limit(40))
            .filter(LowerCaser)
    };
    let mut worse = Vec::new();
    let list = list();
    let collections = [
        answers_asked("construction", &list),
        titles_asked("construction", &list),
    ];
    for collection in collections {
        let found = [
            ("ours", by_ours(&collection)),
            ("tantivy", by_tantivy(&collection, plain().build())),
            (
                "tantivy, en_stem",
                by_tantivy(&collection, plain().filter(Stems).build()),
            ),
        ];
        let of_each = found.map(|(who, found)| {
            let own = measured(&collection, &found);
            println!(
                "{} ({} questions), {who}: mean reciprocal rank {:.3}, first {:.3}, among three {:.3}, nDCG@10 {:.3}",
                collection.name,
                collection.asked.len(),
                own.reciprocal,
                own.first,
                own.in_three,
                own.gain
            );
            own
        });
        let [ours, others @ ..] = of_each;
        let is_worse = |ours: f64, other: f64| ours < other - MARGIN;
        let is_worse_than = |other: &Measured| {
            is_worse(ours.reciprocal, other.reciprocal) || is_worse(ours.gain, other.gain)
        };
        if others.iter().any(is_worse_than) {
            worse.push(collection.name);
        }
    }
    assert_eq!(list.len(), 503);
    assert!(worse.is_empty(), "worse than tantivy's own: {worse:?}");
}
