//! Parts, tools and figures recognised in what is said: by number, by name, by other names.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::library::{Figure, Library, fold};
use crate::text::stem;

/// Something of the library that can be spoken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item<'l> {
    /// A part, by its number.
    Part(&'l str),
    /// A tool, by its id.
    Tool(&'l str),
    /// A figure, by its page and id.
    Figure(&'l str, &'l str),
}

/// A place where something is spoken of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Find<'l> {
    /// The bytes of the words.
    pub span: Range<usize>,
    /// What is meant; one of several if several are called so.
    pub item: Item<'l>,
}

/// More things of one name than this are not told apart by it.
const MOST: usize = 8;

/// Words of names that by themselves name nothing.
const WEAK: [&str; 12] = [
    "of", "the", "from", "to", "for", "and", "on", "in", "at", "with", "end", "face",
];

/// The stems of a name, and what is called so.
type Called<'l> = (Vec<String>, Vec<Item<'l>>);

/// Everything that has a name, by the stems of the first word of the name.
pub struct Names<'l> {
    phrases: BTreeMap<String, Vec<Called<'l>>>,
    numbers: BTreeMap<String, &'l str>,
}

impl<'l> Names<'l> {
    /// The names of a library. Parts that are superseded are known by their number alone: whoever says the name means
    /// the one that is fitted now.
    pub fn new(library: &'l Library) -> Names<'l> {
        let mut known: BTreeMap<Vec<String>, BTreeSet<Item<'l>>> = BTreeMap::new();
        let mut add = |name: &str, item: Item<'l>| {
            let stems: Vec<String> = tokens(name).map(|(_, word)| stem(&word)).collect();
            // A short word by itself is said of many things: `the key is in my pocket`.
            let short = stems.len() == 1 && name.chars().count() < 4;
            if !stems.is_empty() && !short {
                known.entry(stems).or_default().insert(item);
            }
        };
        for part in library
            .parts
            .values()
            .filter(|part| part.superseded.is_none())
        {
            let item = Item::Part(&part.number.value);
            for name in part.also.iter().chain([&part.name.value]) {
                add(called(name), item);
            }
        }
        for tool in library.tools.values() {
            for name in tool.also.iter().chain([&tool.name.value]) {
                add(called(name), Item::Tool(&tool.id.value));
            }
        }
        for (name, item) in figure_names(library) {
            add(&name, item);
        }
        let mut phrases: BTreeMap<String, Vec<Called<'l>>> = BTreeMap::new();
        for (stems, items) in known {
            if let Some(first) = stems.first().filter(|_| items.len() <= MOST) {
                let own = phrases.entry(first.clone()).or_default();
                own.push((stems, items.into_iter().collect()));
            }
        }
        for own in phrases.values_mut() {
            own.sort_by_key(|(stems, _)| std::cmp::Reverse(stems.len()));
        }
        let numbers = library.parts.keys();
        let numbers = numbers
            .map(|number| (fold(number), number.as_str()))
            .collect();
        Names { phrases, numbers }
    }

    /// Everything that a text speaks of, in order; of names inside each other the longest.
    pub fn find(&self, text: &str) -> Vec<Find<'l>> {
        let mut stems: BTreeMap<String, String> = BTreeMap::new();
        let words: Vec<(Range<usize>, String)> = tokens(text).collect();
        for (_, word) in &words {
            if !stems.contains_key(word) {
                stems.insert(word.clone(), stem(word));
            }
        }
        let said: Vec<&str> = words
            .iter()
            .map(|(_, word)| stems.get(word).map_or("", String::as_str))
            .collect();
        let mut found = Vec::new();
        let mut index = 0;
        while let Some((span, word)) = words.get(index) {
            let number = self.number(word, words.get(index + 1).map(|(_, next)| next.as_str()));
            let (count, items) = match number {
                Some((count, number)) => (count, vec![Item::Part(number)]),
                None => self.named(&said[index..]),
            };
            let end = words
                .get(index + count.max(1) - 1)
                .map_or(span.end, |(last, _)| last.end);
            found.extend(items.into_iter().map(|item| Find {
                span: span.start..end,
                item,
            }));
            index += count.max(1);
        }
        found
    }

    /// A part's number in one word or two: `dc203`, `DC 203`.
    fn number(&self, word: &str, next: Option<&str>) -> Option<(usize, &'l str)> {
        let both = next.and_then(|next| self.numbers.get(&format!("{word}{next}")));
        let both = both.filter(|_| word.chars().all(char::is_alphabetic));
        match both {
            Some(number) => Some((2, number)),
            None => self.numbers.get(word).map(|number| (1, *number)),
        }
    }

    /// The longest name that these stems begin with: how many they are, and what is called so.
    fn named(&self, said: &[&str]) -> (usize, Vec<Item<'l>>) {
        let Some(own) = said.first().and_then(|first| self.phrases.get(*first)) else {
            return (0, Vec::new());
        };
        let fits = |stems: &[String]| {
            stems.len() <= said.len() && stems.iter().zip(said).all(|(own, said)| own == said)
        };
        let found = own.iter().find(|(stems, _)| fits(stems));
        found.map_or((0, Vec::new()), |(stems, items)| {
            (stems.len(), items.clone())
        })
    }
}

/// Names of figures: those that pages give them, what owners ask for, and each word of a name that no other figure has.
fn figure_names(library: &Library) -> Vec<(String, Item<'_>)> {
    let mut owners: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for (_, figure) in library.figures() {
        for (_, word) in tokens(&figure.name) {
            owners
                .entry(stem(&word))
                .or_default()
                .insert(figure.name.as_str());
        }
    }
    let mut names = Vec::new();
    for (page, figure) in library.figures() {
        let item = Item::Figure(&page.id, &figure.id.value);
        names.push((figure.name.clone(), item));
        names.extend(
            page.asked(&figure.id.value)
                .map(|asked| (asked.to_owned(), item)),
        );
        names.extend(own_words(figure, &owners).map(|word| (word, item)));
    }
    names
}

fn own_words<'f>(
    figure: &'f Figure,
    owners: &'f BTreeMap<String, BTreeSet<&str>>,
) -> impl Iterator<Item = String> + 'f {
    tokens(&figure.name).map(|(_, word)| word).filter(|word| {
        let alone = owners
            .get(&stem(word))
            .is_some_and(|names| names.len() == 1);
        alone && word.len() > 3 && !WEAK.contains(&word.as_str())
    })
}

/// What a thing is called when it is spoken of: its name up to the first size or remark.
pub fn called(name: &str) -> &str {
    let end = name.find(|c: char| c.is_numeric() || ",(;".contains(c));
    name.get(..end.unwrap_or(name.len())).unwrap_or(name).trim()
}

/// The words of a text in small letters with their places; hyphens part words.
pub fn tokens(text: &str) -> impl Iterator<Item = (Range<usize>, String)> {
    text.split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’')
        .filter(|word| !word.is_empty())
        .map(move |word| {
            let start = word.as_ptr() as usize - text.as_ptr() as usize;
            (start..start + word.len(), word.to_lowercase())
        })
}
