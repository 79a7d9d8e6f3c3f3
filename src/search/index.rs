//! The index: every entry's terms in one tantivy segment.
//!
//! It is written by one writer from sorted entries, so the same library gives the same index; document numbers are
//! places in the list of entries.

use std::collections::BTreeMap;

use tantivy::directory::RamDirectory;
use tantivy::postings::Postings;
use tantivy::schema::{Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::tokenizer::TextAnalyzer;
use tantivy::{DocSet, Index, IndexSettings, SegmentReader, TantivyDocument, Term};

use super::analysis::Scan;
use super::entry::Entry;

/// Room for one writer; a library's index is far smaller.
const WRITER_BYTES: usize = 64 << 20;
/// BM25's saturation of how often a term stands in a field, and how much a field's length counts (Robertson's usual
/// values).
const K1: f64 = 1.2;
const B: f64 = 0.75;

/// A field of the index: what of an entry it holds, and how much a term in it counts.
struct Indexed {
    name: &'static str,
    boost: f64,
    text: fn(&Entry) -> &str,
}

const fn indexed(name: &'static str, boost: f64, text: fn(&Entry) -> &str) -> Indexed {
    Indexed { name, boost, text }
}

/// The fields; the boosts were chosen on the questions of `tests/reference/queries.yaml` that are not kept aside.
const FIELDS: [Indexed; 6] = [
    indexed("title", 1.0, |entry| &entry.title),
    indexed("names", 2.0, |entry| &entry.names),
    indexed("own", 8.0, |entry| &entry.own),
    indexed("numbers", 3.0, |entry| &entry.numbers),
    indexed("withdrawn", 6.0, |entry| &entry.withdrawn),
    indexed("words", 1.0, |entry| &entry.words),
];
/// The places of the title and of withdrawn values among the fields.
const TITLE: usize = 0;
const WITHDRAWN: usize = 4;

/// An index of entries.
pub struct Searchable {
    segment: SegmentReader,
    fields: Vec<Weighted>,
    /// The terms of all fields, sorted, each once.
    vocabulary: Vec<String>,
    count: u32,
}

/// A field with what a term in it counts, and the usual number of terms in it.
struct Weighted {
    field: Field,
    boost: f64,
    average: f64,
}

/// An entry that holds a term in a field: the term's weight, and its share of the field's terms.
struct Held {
    entry: u32,
    weight: f64,
    share: f64,
}

/// An entry that holds a term, and how much the term counts there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Posting {
    /// The entry's place.
    pub entry: u32,
    /// The weight of the term there, over all fields.
    pub weight: f64,
    /// What part of the entry's title the term is, from 0 to 1.
    pub of_title: f64,
    /// Whether the term is a value that the entry withdraws.
    pub withdrawn: bool,
}

impl Searchable {
    /// Indexes entries.
    ///
    /// # Errors
    /// When the index cannot be held in memory.
    pub fn new(entries: &[Entry]) -> tantivy::Result<Searchable> {
        let mut builder = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer("scan")
            .set_index_option(IndexRecordOption::WithFreqs);
        let options = TextOptions::default().set_indexing_options(indexing);
        let fields: Vec<Field> = FIELDS
            .iter()
            .map(|own| builder.add_text_field(own.name, options.clone()))
            .collect();
        let index = Index::create(
            RamDirectory::create(),
            builder.build(),
            IndexSettings::default(),
        )?;
        index
            .tokenizers()
            .register("scan", TextAnalyzer::from(Scan));
        let mut writer = index.writer_with_num_threads::<TantivyDocument>(1, WRITER_BYTES)?;
        for entry in entries {
            let mut document = TantivyDocument::default();
            for (field, own) in fields.iter().zip(&FIELDS) {
                document.add_text(*field, (own.text)(entry));
            }
            writer.add_document(document)?;
        }
        writer.commit()?;
        let segments = index.searchable_segment_ids()?;
        if segments.len() > 1 {
            writer.merge(&segments).wait()?;
        }
        writer.wait_merging_threads()?;
        Searchable::open(&index, &fields, entries.len())
    }

    fn open(index: &Index, fields: &[Field], entries: usize) -> tantivy::Result<Searchable> {
        let searcher = index.reader()?.searcher();
        let segment = match searcher.segment_readers() {
            [segment] => segment.clone(),
            // A library without an entry has no segment; the program's own calculators are always there.
            other => {
                let message = format!("{} segments and not one", other.len());
                return Err(tantivy::TantivyError::InternalError(message));
            }
        };
        let count = u32::try_from(entries).unwrap_or(u32::MAX);
        let mut weighted = Vec::new();
        let mut vocabulary = Vec::new();
        for (field, own) in fields.iter().zip(&FIELDS) {
            let inverted = segment.inverted_index(*field)?;
            let average = inverted.total_num_tokens() as f64 / f64::from(count.max(1));
            weighted.push(Weighted {
                field: *field,
                boost: own.boost,
                average: average.max(1.0),
            });
            let mut stream = inverted.terms().stream()?;
            while stream.advance() {
                vocabulary.push(String::from_utf8_lossy(stream.key()).into_owned());
            }
        }
        vocabulary.sort_unstable();
        vocabulary.dedup();
        Ok(Searchable {
            segment,
            fields: weighted,
            vocabulary,
            count,
        })
    }

    /// Every term, sorted.
    pub fn vocabulary(&self) -> &[String] {
        &self.vocabulary
    }

    /// The entries that hold a term with its weight (BM25 without its rarity, summed over the fields by their boosts),
    /// in order; nothing for a term that is not there.
    pub fn postings(&self, term: &str) -> Vec<Posting> {
        let mut found: BTreeMap<u32, Posting> = BTreeMap::new();
        for (place, weighted) in self.fields.iter().enumerate() {
            // What the index was built from is in memory: reading it does not fail.
            let held = self.field_postings(weighted, term).unwrap_or_default();
            for Held {
                entry,
                weight,
                share,
            } in held
            {
                let posting = found.entry(entry).or_insert(Posting {
                    entry,
                    weight: 0.0,
                    of_title: 0.0,
                    withdrawn: false,
                });
                posting.weight += weight;
                match place {
                    TITLE => posting.of_title = share,
                    WITHDRAWN => posting.withdrawn = term.chars().any(|c| c.is_ascii_digit()),
                    _ => {}
                }
            }
        }
        found.into_values().collect()
    }

    fn field_postings(&self, weighted: &Weighted, term: &str) -> tantivy::Result<Vec<Held>> {
        let field = weighted.field;
        let inverted = self.segment.inverted_index(field)?;
        let norms = self.segment.get_fieldnorms_reader(field)?;
        let term = Term::from_field_text(field, term);
        let mut found = Vec::new();
        let Some(mut postings) = inverted.read_postings(&term, IndexRecordOption::WithFreqs)?
        else {
            return Ok(found);
        };
        while postings.doc() != tantivy::TERMINATED {
            let often = f64::from(postings.term_freq());
            let length = f64::from(norms.fieldnorm(postings.doc()));
            let saturated = often + K1 * (1.0 - B + B * length / weighted.average);
            found.push(Held {
                entry: postings.doc(),
                weight: weighted.boost * often * (K1 + 1.0) / saturated,
                share: often / length,
            });
            postings.advance();
        }
        Ok(found)
    }

    /// How rare a term is that stands in so many entries: BM25's inverse document frequency.
    pub fn rarity(&self, holding: usize) -> f64 {
        let (count, holding) = (f64::from(self.count), holding as f64);
        (1.0 + (count - holding + 0.5) / (holding + 0.5)).ln()
    }
}
