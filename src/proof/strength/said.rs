//! What rows tell a fitter to do: clauses of words, what is denied in them, and what is done to threads.

use crate::library::Condition;
use crate::proof::sheet::{Reading, Word};

/// What is threaded, by the words of a fitter.
pub const FASTENERS: [&str; 20] = [
    "bolt",
    "bolts",
    "nut",
    "nuts",
    "screw",
    "screws",
    "stud",
    "studs",
    "plug",
    "plugs",
    "union",
    "unions",
    "setscrew",
    "setscrews",
    "locknut",
    "locknuts",
    "capscrew",
    "capscrews",
    "thread",
    "threads",
];

/// Words behind which a fastener's name only tells what something else is for: `bolt hole`, `nut spanner`.
const BELONGINGS: [&str; 22] = [
    "hole", "holes", "socket", "sockets", "spanner", "spanners", "driver", "circle", "pattern",
    "seat", "seats", "box", "gauge", "insert", "inserts", "cap", "caps", "collar", "plate", "face",
    "faces", "side",
];

/// Words that deny what follows in their clause.
const DENIALS: [&str; 10] = [
    "not", "never", "no", "without", "nor", "neither", "don't", "cannot", "than", "free",
];

/// How many words a denial reaches.
const DENIED: usize = 5;

/// The words of a reading, parted at these marks; a full stop or colon parts only before a space.
pub fn clauses(reading: &Reading<'_>, marks: &[char]) -> Vec<Vec<Word>> {
    let text = reading.passage.text.as_str();
    let mut found: Vec<Vec<Word>> = Vec::new();
    let mut open: Vec<Word> = Vec::new();
    let mut end = 0;
    for word in reading.all_words() {
        let between = text.get(end..word.span.start).unwrap_or("");
        let parted = between.char_indices().any(|(at, mark)| {
            let tight = matches!(mark, '.' | ':') && between[at + mark.len_utf8()..].is_empty();
            marks.contains(&mark) && !tight
        });
        if parted && !open.is_empty() {
            found.push(std::mem::take(&mut open));
        }
        end = end.max(word.span.end);
        open.push(word);
    }
    if !open.is_empty() {
        found.push(open);
    }
    found
}

/// The marks that end a sentence.
pub const SENTENCE: [char; 4] = ['.', ';', '!', '?'];

/// The marks that end a clause.
pub const CLAUSE: [char; 9] = ['.', ';', '!', '?', ',', ':', '(', ')', '–'];

/// Whether the word at this index of a clause is denied by one before it.
pub fn is_denied(clause: &[Word], index: usize) -> bool {
    let from = index.saturating_sub(DENIED);
    let before = clause.get(from..index).unwrap_or(&[]);
    before
        .iter()
        .any(|word| DENIALS.contains(&word.text.as_str()))
}

/// Something done to a thread.
#[derive(Clone, Debug)]
pub struct Treatment {
    /// The state it is brought into.
    pub condition: Condition,
    /// The word of a fastener that it is done to: `bolts`.
    pub object: String,
    /// The words before the object that tell which one: `flange`.
    pub which: Vec<String>,
    /// Whether it takes off what was on the thread before, and does not only say how it is.
    pub cleans: bool,
    /// The word that says it, with its place.
    pub word: Word,
}

/// Words of cleaning.
const CLEANS: [&str; 7] = [
    "wipe",
    "clean",
    "cleaned",
    "degrease",
    "degreased",
    "wash",
    "blow",
];

/// What is brought on to a thread: the words and the state they bring.
fn substance(word: &str) -> Option<Condition> {
    Some(match word {
        "oil" | "lubricant" => Condition::Oiled,
        "grease" => Condition::Greased,
        "threadlocker" | "threadlock" | "locker" => Condition::Threadlocked,
        "anti-seize" | "antiseize" | "paste" => Condition::AntiSeize,
        _ => return None,
    })
}

/// The state that a participle or adjective says.
fn state(word: &str) -> Option<Condition> {
    Some(match word {
        "oiled" | "lubricated" => Condition::Oiled,
        "greased" => Condition::Greased,
        "threadlocked" => Condition::Threadlocked,
        "dry" | "degreased" => Condition::Dry,
        _ => return None,
    })
}

/// Verbs that bring something on, with what they need behind their object.
const COAT: [&str; 12] = [
    "coat", "smear", "wet", "dip", "dress", "paint", "brush", "cover", "rub", "dab", "treat",
    "prime",
];

/// Verbs that are the substance themselves.
fn verb(word: &str) -> Option<Condition> {
    Some(match word {
        "oil" | "lubricate" => Condition::Oiled,
        "grease" => Condition::Greased,
        "threadlock" => Condition::Threadlocked,
        "degrease" => Condition::Dry,
        _ => return None,
    })
}

/// Words that may stand before what a verb is done to.
const DETERMINERS: [&str; 16] = [
    "the", "each", "every", "all", "its", "their", "both", "new", "old", "lightly", "a", "these",
    "four", "six", "eight", "two",
];

/// Prepositions that lead to what a substance goes on.
const ONTO: [&str; 9] = [
    "on", "to", "onto", "over", "along", "round", "under", "into", "in",
];

/// Prepositions and verbs' particles that end what is said to be treated.
const ENDS: [&str; 24] = [
    "with", "in", "on", "under", "before", "after", "from", "until", "at", "by", "for", "of",
    "when", "into", "to", "is", "are", "so", "that", "behind", "round", "where", "then", "while",
];

/// Everything that a reading does to threads, in order.
pub fn treatments(reading: &Reading<'_>) -> Vec<Treatment> {
    clauses(reading, &CLAUSE)
        .iter()
        .flat_map(|clause| (0..clause.len()).filter_map(|index| treatment(clause, index)))
        .collect()
}

fn treatment(clause: &[Word], index: usize) -> Option<Treatment> {
    let word = clause.get(index)?;
    if is_denied(clause, index) {
        return None;
    }
    let (condition, object) = done(clause, index)?;
    let which = object.which(clause);
    Some(Treatment {
        condition,
        object: clause.get(object.at)?.text.clone(),
        which,
        cleans: clause
            .iter()
            .any(|word| CLEANS.contains(&word.text.as_str())),
        word: word.clone(),
    })
}

/// A fastener in a clause.
struct Object {
    from: usize,
    at: usize,
}

impl Object {
    /// The words that tell which fastener it is.
    fn which(&self, clause: &[Word]) -> Vec<String> {
        let plain = |word: &&Word| {
            let text = word.text.as_str();
            !DETERMINERS.contains(&text) && state(text).is_none() && !ENDS.contains(&text)
        };
        let words = clause.get(self.from..self.at).unwrap_or(&[]);
        words
            .iter()
            .filter(plain)
            .map(|word| word.text.clone())
            .collect()
    }
}

/// The first fastener from an index on, before a word that ends what is treated.
fn object(clause: &[Word], from: usize) -> Option<Object> {
    let rest = clause.get(from..)?;
    let length = rest
        .iter()
        .position(|word| ENDS.contains(&word.text.as_str()))
        .unwrap_or(rest.len());
    let at = (from..from + length).find(|at| is_fastener(clause, *at))?;
    Some(Object { from, at })
}

fn is_fastener(clause: &[Word], at: usize) -> bool {
    let text = |at: usize| clause.get(at).map_or("", |word| word.text.as_str());
    FASTENERS.contains(&text(at)) && !BELONGINGS.contains(&text(at + 1))
}

/// The condition that the word at an index brings a fastener into.
fn done(clause: &[Word], index: usize) -> Option<(Condition, Object)> {
    let text = |at: usize| clause.get(at).map_or("", |word| word.text.as_str());
    if let Some(condition) = state(text(index)) {
        return participle(clause, index).map(|object| (condition, object));
    }
    let before = index.checked_sub(1).map_or("", text);
    let begins = index == 0 || ["then", "and", "to", "now", "always", "lightly"].contains(&before);
    if let Some(condition) = verb(text(index)).filter(|_| begins) {
        let next = text(index + 1);
        let told =
            DETERMINERS.contains(&next) || is_fastener(clause, index + 1) || next.ends_with('s');
        return object(clause, index + 1)
            .filter(|_| told)
            .map(|object| (condition, object));
    }
    let condition = substance(text(index))?;
    if before == "copper" || before == "of" || !text(index + 1).is_empty() {
        let mut onto = (index + 1..clause.len())
            .take(5)
            .filter(|at| ONTO.contains(&text(*at)));
        let brought = (0..index).rev().take(6).any(|at| text(at) == "of")
            || ["put", "apply", "use", "brush", "smear", "drip", "dab"].contains(&text(0));
        if let Some(found) = onto
            .find_map(|at| object(clause, at + 1))
            .filter(|_| brought)
        {
            return Some((condition, found));
        }
    }
    let coat = (0..index).rev().find(|at| COAT.contains(&text(*at)))?;
    let with = (coat..index).any(|at| ["with", "in"].contains(&text(at)));
    object(clause, coat + 1)
        .filter(|_| with)
        .map(|object| (condition, object))
}

/// The fastener that a state is said of: `threads oiled`, `dry threads`, `run the flange bolts in dry`.
fn participle(clause: &[Word], index: usize) -> Option<Object> {
    let text = |at: usize| clause.get(at).map_or("", |word| word.text.as_str());
    if text(index + 1) == "of" {
        return None;
    }
    let behind = (index + 1..index + 4).find(|at| is_fastener(clause, *at));
    if let Some(at) = behind {
        return Some(Object {
            from: index + 1,
            at,
        });
    }
    let from = index.saturating_sub(5);
    let at = (from..index).rev().find(|at| is_fastener(clause, *at))?;
    let first = (from..at)
        .rev()
        .find(|at| ENDS.contains(&text(*at)) || text(*at) == "the");
    Some(Object {
        from: first.map_or(from.max(at.saturating_sub(2)), |first| first + 1),
        at,
    })
}
