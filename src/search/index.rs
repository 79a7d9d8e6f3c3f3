//! The index: every entry's terms in one tantivy segment.
//!
//! It is written by one writer from sorted entries, so the same library gives the same index; document numbers are
//! places in the list of entries.

use std::collections::BTreeMap;
use std::mem;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;
use tantivy::directory::Directory;
use tantivy::directory::RamDirectory;
use tantivy::fieldnorm::FieldNormReader;
use tantivy::postings::Postings;
use tantivy::schema::{Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::tokenizer::{PreTokenizedString, TextAnalyzer, Token, TokenStream, Tokenizer};
use tantivy::{
    DocSet, Index, IndexSettings, InvertedIndexReader, SegmentReader, TantivyDocument, Term,
};

use super::analysis::{Scan, Synonyms};
use super::dictionary::Dictionary;
use super::entry::{Class, Entry};
use super::posting::{Held, LEVELS, Posting, TITLE_STEPS, level, merged, weights};
use crate::library::Variant;

/// Room for one writer; a library's index is far smaller.
const WRITER_BYTES: usize = 64 << 20;
/// BM25's saturation of how often a term stands in a field (Robertson's usual value).
const K1: f64 = 1.2;

/// A field of the index: how much a term in it counts, and how much the field's length takes from that.
struct Indexed {
    name: &'static str,
    boost: f64,
    length: f64,
}

const fn indexed(name: &'static str, boost: f64, length: f64) -> Indexed {
    Indexed {
        name,
        boost,
        length,
    }
}

/// The fields; the numbers were chosen on the questions of `tests/reference/queries.yaml` that are not kept aside.
/// Phrases by which people ask stand apart by how many terms they have, so that a posting tells how much of a phrase its
/// term is.
const FIELDS: [Indexed; 10] = [
    indexed("title", 1.0, 1.0),
    indexed("names", 3.1, 0.5),
    indexed("own", 16.0, 0.75),
    indexed("numbers", 3.0, 0.75),
    indexed("withdrawn", 6.0, 0.75),
    indexed("words", 1.25, 0.8),
    indexed("asked-1", 1.7, 0.3),
    indexed("asked-2", 1.7, 0.3),
    indexed("asked-3", 1.7, 0.3),
    indexed("asked-4", 1.7, 0.3),
];
/// The places of some of them.
const TITLE: usize = 0;
const WITHDRAWN: usize = 4;
const ASKED: usize = 6;

/// What a phrase by which people ask for an entry is worth beside its title, where it is the whole of a question.
const ASKED_WORTH: f64 = 0.5;

/// Entries whose terms are held in memory at a time.
const BATCH: usize = 4_096;

/// An entry as the index takes it: the terms of its texts by their fields.
fn document(entry: &Entry, fields: &[Field; FIELDS.len()], synonyms: &Synonyms) -> TantivyDocument {
    let mut document = TantivyDocument::default();
    for (place, tokens) in texts(entry, Scan::new(synonyms.clone())) {
        let text = PreTokenizedString {
            text: String::new(),
            tokens,
        };
        document.add_pre_tokenized_text(fields[place], text);
    }
    document
}

/// The terms of an entry's texts with the places of their fields.
fn texts(entry: &Entry, mut scan: Scan) -> Vec<(usize, Vec<Token>)> {
    let Entry {
        title,
        names,
        own,
        numbers,
        withdrawn,
        words,
        ..
    } = entry;
    let mut tokens = |text: &String| {
        let mut tokens = Vec::new();
        let mut stream = scan.token_stream(text);
        while stream.advance() {
            tokens.push(mem::take(stream.token_mut()));
        }
        tokens
    };
    let mut texts: Vec<(usize, Vec<Token>)> = [title, names, own, numbers, withdrawn, words]
        .into_iter()
        .map(&mut tokens)
        .enumerate()
        .collect();
    for phrase in &entry.asked {
        let tokens = tokens(phrase);
        let field = ASKED + tokens.len().clamp(1, FIELDS.len() - ASKED) - 1;
        texts.push((field, tokens));
    }
    texts
}

/// An index of entries.
pub struct Searchable {
    /// The index's own files.
    files: RamDirectory,
    names: Vec<PathBuf>,
    fields: Vec<Weighted>,
    /// The terms of all fields, sorted, each once.
    vocabulary: Vec<String>,
    dictionary: Dictionary,
    classes: Vec<Class>,
    /// Each entry's class.
    class_of: Vec<u32>,
    weights: [f64; LEVELS as usize],
    synonyms: Synonyms,
}

/// A field with what a term in it counts, and the usual number of terms in it.
struct Weighted {
    field: Field,
    inverted: Arc<InvertedIndexReader>,
    norms: FieldNormReader,
    boost: f64,
    length: f64,
    average: f64,
}

/// What a term counts in an entry, while its fields are summed.
#[derive(Clone, Copy)]
struct Sum {
    weight: f64,
    of_title: f64,
    withdrawn: bool,
}

impl Sum {
    fn and(&mut self, other: Sum) {
        self.weight += other.weight;
        self.of_title = self.of_title.max(other.of_title);
        self.withdrawn |= other.withdrawn;
    }
}

impl Searchable {
    /// Indexes entries of a library with these variants, in which these groups of words mean the same.
    ///
    /// # Errors
    /// When the index cannot be held in memory.
    pub fn new(
        entries: &[Entry],
        variants: &[Variant],
        synonyms: Synonyms,
    ) -> tantivy::Result<Searchable> {
        let (schema, fields) = schema();
        let files = RamDirectory::create();
        let index = Index::create(files.clone(), schema, IndexSettings::default())?;
        let scan = TextAnalyzer::from(Scan::new(synonyms.clone()));
        index.tokenizers().register("scan", scan);
        let mut writer = index.writer_with_num_threads::<TantivyDocument>(1, WRITER_BYTES)?;
        // One thread writes, so that the same entries give the same index; all the others cut texts into terms for it.
        for batch in entries.chunks(BATCH) {
            let documents: Vec<TantivyDocument> = batch
                .par_iter()
                .map(|entry| document(entry, &fields, &synonyms))
                .collect();
            for document in documents {
                writer.add_document(document)?;
            }
        }
        writer.commit()?;
        let segments = index.searchable_segment_ids()?;
        if segments.len() > 1 {
            writer.merge(&segments).wait()?;
        }
        writer.wait_merging_threads()?;
        let (classes, class_of) = classes(entries, variants);
        Searchable::open(files, classes, class_of, synonyms)
    }

    /// The index as files, to be kept.
    pub fn files(&self) -> impl Iterator<Item = (String, Vec<u8>)> {
        self.names.iter().filter_map(|name| {
            let bytes = self.files.open_read(name).ok()?.read_bytes().ok()?;
            Some((name.to_str()?.to_owned(), bytes.to_vec()))
        })
    }

    /// An index from files that were kept, with the classes that belong to it.
    ///
    /// # Errors
    /// When the files are no index.
    pub fn from_files(
        kept: Vec<(String, Vec<u8>)>,
        classes: Vec<Class>,
        class_of: Vec<u32>,
        synonyms: Synonyms,
    ) -> tantivy::Result<Searchable> {
        let files = RamDirectory::create();
        for (name, bytes) in kept {
            files.atomic_write(Path::new(&name), &bytes)?;
        }
        Searchable::open(files, classes, class_of, synonyms)
    }

    /// Classes and each entry's class, to be kept with the files.
    pub fn kept_classes(&self) -> (&[Class], &[u32]) {
        (&self.classes, &self.class_of)
    }

    fn open(
        files: RamDirectory,
        classes: Vec<Class>,
        class_of: Vec<u32>,
        synonyms: Synonyms,
    ) -> tantivy::Result<Searchable> {
        let index = Index::open(files.clone())?;
        let mut names: Vec<PathBuf> = index.directory().list_managed_files().into_iter().collect();
        names.sort();
        let (_, fields) = schema();
        let segment = only_segment(&index)?;
        let mut weighted = Vec::new();
        let mut holding: BTreeMap<String, u32> = BTreeMap::new();
        for (field, own) in fields.iter().zip(&FIELDS) {
            let inverted = segment.inverted_index(*field)?;
            let average = inverted.total_num_tokens() as f64 / class_of.len().max(1) as f64;
            let mut stream = inverted.terms().stream()?;
            while stream.advance() {
                let term = String::from_utf8_lossy(stream.key()).into_owned();
                let held = holding.entry(term).or_default();
                *held = (*held).max(stream.value().doc_freq);
            }
            drop(stream);
            weighted.push(Weighted {
                field: *field,
                norms: segment.get_fieldnorms_reader(*field)?,
                inverted,
                boost: own.boost,
                length: own.length,
                average: average.max(1.0),
            });
        }
        let terms: Vec<(String, u32)> = holding.into_iter().collect();
        Ok(Searchable {
            files,
            names,
            fields: weighted,
            dictionary: Dictionary::new(&terms),
            vocabulary: terms.into_iter().map(|(term, _)| term).collect(),
            classes,
            class_of,
            weights: weights(),
            synonyms,
        })
    }

    /// How many entries there are.
    pub fn count(&self) -> usize {
        self.class_of.len()
    }

    /// Every term, sorted.
    pub fn vocabulary(&self) -> &[String] {
        &self.vocabulary
    }

    /// The words among the terms.
    pub fn dictionary(&self) -> &Dictionary {
        &self.dictionary
    }

    /// An entry's class.
    pub fn class(&self, entry: usize) -> &Class {
        &self.classes[self.class_of[entry] as usize]
    }

    /// The classes of entries.
    pub fn classes(&self) -> &[Class] {
        &self.classes
    }

    /// The groups of words that mean the same.
    pub fn synonyms(&self) -> &Synonyms {
        &self.synonyms
    }

    /// The weight of each step of a posting.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// What is known of a term; `None` if no entry holds it.
    pub fn held(&self, term: &str) -> Option<Held> {
        let own = |own: &String| own.as_str().cmp(term);
        self.vocabulary.binary_search_by(own).ok()?;
        let mut sums = Vec::new();
        for place in 0..self.fields.len() {
            // What the index was built from is in memory: reading it does not fail.
            let own = self.sums(place, term).unwrap_or_default();
            sums = merged(sums, own, Sum::and);
        }
        let posting = |(entry, sum): (u32, Sum)| Posting {
            entry,
            class: self.class_of[entry as usize],
            level: level(sum.weight, &self.weights),
            title: (sum.of_title.min(1.0) * f64::from(TITLE_STEPS)).round() as u8,
            withdrawn: sum.withdrawn && term.chars().any(|c| c.is_ascii_digit()),
        };
        let count = u32::try_from(self.count()).unwrap_or(u32::MAX);
        Some(Held::new(sums.into_iter().map(posting).collect(), count))
    }

    /// What a term counts in one field, by entry: BM25 without the term's rarity.
    fn sums(&self, place: usize, term: &str) -> tantivy::Result<Vec<(u32, Sum)>> {
        let weighted = &self.fields[place];
        let (inverted, norms) = (&weighted.inverted, &weighted.norms);
        let term = Term::from_field_text(weighted.field, term);
        let Some(mut postings) = inverted.read_postings(&term, IndexRecordOption::WithFreqs)?
        else {
            return Ok(Vec::new());
        };
        let mut sums = Vec::with_capacity(postings.size_hint() as usize);
        while postings.doc() != tantivy::TERMINATED {
            let often = f64::from(postings.term_freq());
            let length = f64::from(norms.fieldnorm(postings.doc()));
            let longer = 1.0 - weighted.length + weighted.length * length / weighted.average;
            let sum = Sum {
                weight: weighted.boost * often * (K1 + 1.0) / (often + K1 * longer),
                of_title: match place {
                    TITLE => often / length,
                    ASKED.. => ASKED_WORTH / (place - ASKED + 1) as f64,
                    _ => 0.0,
                },
                withdrawn: place == WITHDRAWN,
            };
            sums.push((postings.doc(), sum));
            postings.advance();
        }
        Ok(sums)
    }
}

/// The one segment of an index.
fn only_segment(index: &Index) -> tantivy::Result<SegmentReader> {
    match index.reader()?.searcher().segment_readers() {
        [segment] => Ok(segment.clone()),
        // A library without an entry has no segment; the program's own calculators are always there.
        other => {
            let message = format!("{} segments and not one", other.len());
            Err(tantivy::TantivyError::InternalError(message))
        }
    }
}

/// The schema and its fields, in the order of [`FIELDS`].
fn schema() -> (Schema, [Field; FIELDS.len()]) {
    let mut builder = Schema::builder();
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("scan")
        .set_index_option(IndexRecordOption::WithFreqs);
    let options = TextOptions::default().set_indexing_options(indexing);
    let fields = FIELDS.map(|own| builder.add_text_field(own.name, options.clone()));
    (builder.build(), fields)
}

/// The different classes of entries, in order, and each entry's.
fn classes(entries: &[Entry], variants: &[Variant]) -> (Vec<Class>, Vec<u32>) {
    let each: Vec<Class> = entries
        .iter()
        .map(|entry| Class::of(entry, variants))
        .collect();
    let mut classes: Vec<&Class> = each.iter().collect();
    classes.sort_by(|one, other| one.key().cmp(&other.key()));
    classes.dedup_by(|one, other| one.key() == other.key());
    let place = |class: &Class| {
        let found = classes.binary_search_by(|own| own.key().cmp(&class.key()));
        // Every entry's class is among them, and there are no more classes than entries.
        found.map_or(0, |place| place as u32)
    };
    let class_of = each.iter().map(place).collect();
    (classes.into_iter().cloned().collect(), class_of)
}
