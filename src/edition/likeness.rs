//! Whether two texts of a row say the same: spelling put right is no change, and neither are pictures and films.
//!
//! References must be the same, and so must every number. Of the words, one may be put right where it was a slip: the
//! old word stands nowhere else in the old edition, has four letters or more, and keeps the first of them; one letter is
//! changed, missing, too many, or changed places with its neighbour. `open` for `oven` and `ever` for `never` are
//! changes, whatever they look like; where it is in doubt it is a change. Case, signs and joined words do not count.

use std::collections::BTreeMap;

use crate::library::edition::Published;

/// What may lie between two spellings of a word.
const SLIPS: usize = 1;
/// A shorter word is too easily another.
const SHORTEST: usize = 4;

/// How often each word stands in an edition: a word that it uses elsewhere was no slip.
pub struct Vocabulary(BTreeMap<String, usize>);

impl Vocabulary {
    /// The words of an edition's rows and notices.
    pub fn new(published: &Published) -> Vocabulary {
        let rows = published.pages.values().flat_map(|page| &page.rows);
        let rows = rows.map(|row| row.text.as_str());
        let notices = published.notices.values();
        let notices = notices.map(|notice| notice.words.as_str());
        let mut counted = BTreeMap::new();
        for word in rows.chain(notices).flat_map(|text| Said::new(text).words) {
            *counted.entry(word).or_default() += 1;
        }
        Vocabulary(counted)
    }

    /// Whether two texts say the same.
    pub fn alike(&self, was: &str, now: &str) -> bool {
        if was == now {
            return true;
        }
        let (was, now) = (Said::new(was), Said::new(now));
        let words = was.words.len() == now.words.len()
            && was
                .words
                .iter()
                .zip(&now.words)
                .all(|(was, now)| self.meant(was, now));
        was.targets == now.targets && (words || was.words.concat() == now.words.concat())
    }

    /// Whether a word is the other, or was a slip for it.
    fn meant(&self, was: &str, now: &str) -> bool {
        let plain = |word: &str| word.chars().all(char::is_alphabetic);
        let slip = || {
            let once = self.0.get(was).is_none_or(|count| *count <= 1);
            once && plain(was)
                && plain(now)
                && was.chars().count() >= SHORTEST
                && was.chars().next() == now.chars().next()
                && strsim::damerau_levenshtein(was, now) <= SLIPS
        };
        was == now || slip()
    }
}

/// A text taken apart.
struct Said {
    /// Its words in lower case, those of links too; numbers with their points and signs.
    words: Vec<String>,
    /// Where its links lead, in order.
    targets: Vec<String>,
}

impl Said {
    fn new(markdown: &str) -> Said {
        let mut said = Said {
            words: Vec::new(),
            targets: Vec::new(),
        };
        let mut rest = markdown;
        while let Some((before, after)) = rest.split_once("](") {
            let (target, later) = after.split_once(')').unwrap_or((after, ""));
            said.say(before);
            said.targets.push(target.trim().to_owned());
            rest = later;
        }
        said.say(rest);
        said.targets.sort();
        said
    }

    fn say(&mut self, text: &str) {
        let has_digit = |word: &str| word.contains(|c: char| c.is_ascii_digit());
        for word in text.split_whitespace() {
            let parts: Vec<&str> = match has_digit(word) {
                true => vec![word.trim_matches(|c: char| ".,;:!?()[]*_\"'".contains(c))],
                false => word.split(|c: char| !c.is_alphanumeric()).collect(),
            };
            let parts = parts.into_iter().filter(|part| !part.is_empty());
            self.words.extend(parts.map(str::to_lowercase));
        }
    }
}

/// A row's Markdown on one line, without pictures and without moments of films: adding one changes nothing to do.
pub fn without_shown(markdown: &str) -> String {
    let mut text = String::new();
    let mut rest = markdown;
    while let Some(start) = rest.find('[') {
        let picture = rest[..start].ends_with('!');
        let link = rest[start..].find("](").and_then(|middle| {
            let target = start + middle + 2;
            let end = rest[target..].find(')')? + target;
            Some((&rest[target..end], end + 1))
        });
        let Some((target, end)) = link else { break };
        text.push_str(match (picture, target.starts_with("video:")) {
            (true, _) => &rest[..start - 1],
            (false, true) => &rest[..start],
            (false, false) => &rest[..end],
        });
        rest = &rest[end..];
    }
    text.push_str(rest);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    // The number of the list is not part of the row.
    let number = words.trim_start_matches(|c: char| c.is_ascii_digit());
    let inside = number
        .strip_prefix(['.', ')'])
        .filter(|_| number.len() < words.len());
    inside.map_or(words.clone(), |inside| inside.trim_start().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::edition::{PageRecord, RowRecord};

    fn vocabulary(rows: &[&str]) -> Vocabulary {
        let rows = rows.iter().map(|text| RowRecord {
            address: "step-1".to_owned(),
            text: (*text).to_owned(),
        });
        let page = PageRecord {
            number: "T-01".to_owned(),
            issue: 1,
            title: String::new(),
            figures: Vec::new(),
            parts: Vec::new(),
            notices: Vec::new(),
            rows: rows.collect(),
        };
        let mut published = Published::default();
        published.pages.insert("one".to_owned(), page);
        Vocabulary::new(&published)
    }

    #[test]
    fn spelling_that_is_put_right_is_no_change() {
        let was = "Tigthen the nut, [](torque:nut), then bend the tab over.";
        let words = vocabulary(&[was, "Never hammer the hub."]);
        for now in [
            "Tighten the nut, [](torque:nut), then bend the tab over.",
            "Tigthen the nut [](torque:nut) then bend the tab over",
            "tigthen the Nut, [](torque:nut), then bend the tab-over.",
        ] {
            assert!(words.alike(was, now), "{now}");
        }
    }

    #[test]
    fn another_number_reference_or_word_is_a_change() {
        let was = "Never turn it 2.5 times before the nut is open, [](torque:nut).";
        let words = vocabulary(&[was, "Keep it open."]);
        for now in [
            "Ever turn it 2.5 times before the nut is open, [](torque:nut).",
            "Never turn it 25 times before the nut is open, [](torque:nut).",
            "Never turn it 2.5 times after the nut is open, [](torque:nut).",
            "Never turn it 2.5 times before the nut is oven, [](torque:nut).",
            "Never turn it 2.5 times before the nut is open, [](torque:bolt).",
            "Never turn it 2.5 times before the nut is open.",
            "Never turn it 2.5 times before the nut is in, [](torque:nut).",
        ] {
            assert!(!words.alike(was, now), "{now}");
        }
    }

    #[test]
    fn pictures_and_films_are_left_out() {
        let row = "12. Seat the [ring](part:SL-1).\n\n   ![A nut.](../media/a.svg \"A nut\")\n   [](video:film#t=1:35) Go on (as told).";
        assert_eq!(
            without_shown(row),
            "Seat the [ring](part:SL-1). Go on (as told)."
        );
        assert_eq!(without_shown("a. Lash it. [open"), "a. Lash it. [open");
    }
}
