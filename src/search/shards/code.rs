//! Numbers as text: whatever stands in a shard is made of characters that neither JSON nor HTML has to escape.

use super::super::posting::{Held, Posting};

/// How many digits there are.
pub const DIGITS: usize = 90;
/// A number below this is one digit; from here on a digit says that more follow.
const SHORT: usize = 60;

/// A digit: `#` and the visible characters after it, without `<` and `\`.
pub fn digit(value: usize) -> char {
    let code = b'#' + (value % DIGITS) as u8;
    let code = if code >= b'<' { code + 1 } else { code };
    let code = if code >= b'\\' { code + 1 } else { code };
    char::from(code)
}

/// Writes a number; small ones are one character.
pub fn number(mut value: usize, text: &mut String) {
    while value >= SHORT {
        let more = DIGITS - SHORT;
        text.push(digit(SHORT + (value - SHORT) % more));
        value = (value - SHORT) / more;
    }
    text.push(digit(value));
}

/// What is known of a term: its rarity, then for each class of entries that hold it the class (doubled, and one more if
/// its postings tell of titles and withdrawn values), how many they are, and each as the entries since the last, the
/// step of its weight, and the step of its part of the title with 16 more if it is withdrawn.
pub fn held(held: &Held) -> String {
    let mut text = String::new();
    number(held.rarity as usize, &mut text);
    let mut postings = held.postings.clone();
    let told = |posting: &Posting| posting.title > 0 || posting.withdrawn;
    postings.sort_by_key(|posting| (posting.class, told(posting), posting.entry));
    let groups =
        postings.chunk_by(|one, other| (one.class, told(one)) == (other.class, told(other)));
    for group in groups {
        let told = told(&group[0]);
        number(group[0].class as usize * 2 + usize::from(told), &mut text);
        number(group.len(), &mut text);
        let mut next = 0;
        for posting in group {
            number((posting.entry - next) as usize, &mut text);
            text.push(digit(usize::from(posting.level)));
            if told {
                text.push(digit(
                    usize::from(posting.title) + 16 * usize::from(posting.withdrawn),
                ));
            }
            next = posting.entry + 1;
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_need_no_escape_and_differ() {
        let all: Vec<char> = (0..DIGITS).map(digit).collect();
        assert!(all.is_sorted() && all.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(
            all.iter()
                .all(|c| c.is_ascii_graphic() && !"\"<\\".contains(*c))
        );
    }

    #[test]
    fn numbers_are_short() {
        let coded = |value: usize| {
            let mut text = String::new();
            number(value, &mut text);
            text
        };
        assert_eq!(coded(0), "#");
        assert_eq!(coded(59).len(), 1);
        assert_eq!(coded(60).len(), 2);
        assert_eq!(coded(1_859).len(), 2);
        assert_eq!(coded(1_860).len(), 3);
        assert!(coded(u32::MAX as usize).len() < 8);
    }
}
