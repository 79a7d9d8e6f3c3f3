//! Values that only a library has: part numbers, and times in a recording.

use crate::diagnostic::rules;
use crate::yaml::{Node, Problems, Spanned, text};

/// A part's number: capital letters, digits, hyphens, dots and slashes; no space, no other script.
pub fn part_number(node: &Node, problems: &mut Problems) -> Option<Spanned<String>> {
    let found = text(node, problems)?;
    let fits = (1..=32).contains(&found.len())
        && found
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "-./".contains(c))
        && found.starts_with(|c: char| c.is_ascii_alphanumeric());
    if !fits {
        let message = format!("`{}` is not a part number", found.value.escape_debug());
        let help = "use letters A to Z, digits, hyphen, dot and slash, at most 32 of them";
        problems.push(rules::BAD_ID.at(&node.at, message).help(help));
        return None;
    }
    Some(found)
}

/// Seconds from a time in a recording: `4:50` or `1:04:50`.
pub fn film_time(node: &Node, problems: &mut Problems) -> Option<Spanned<u32>> {
    let found = text(node, problems)?;
    match seconds(&found) {
        Some(value) => Some(found.map(|_| value)),
        None => {
            let message = format!("`{}` is not a time in a recording", found.value);
            let help = "write minutes and seconds in quotes, such as \"4:50\" or \"1:04:50\"";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            None
        }
    }
}

/// Seconds from `4:50` or `1:04:50`; `None` if it is neither, or minutes or seconds pass 59 after the first part.
pub fn seconds(text: &str) -> Option<u32> {
    let parts: Vec<&str> = text.split(':').collect();
    let digits =
        |part: &&str| (1..=3).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    if !(2..=3).contains(&parts.len()) || !parts.iter().all(digits) {
        return None;
    }
    let numbers: Vec<u32> = parts.iter().filter_map(|part| part.parse().ok()).collect();
    let later_fit = numbers[1..].iter().all(|number| *number < 60);
    later_fit.then(|| numbers.iter().fold(0, |total, number| total * 60 + number))
}
