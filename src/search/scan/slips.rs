//! Slips of the hand in part numbers.

/// A question with the slips put right that people make in part numbers: letters apart (`d c 203`, `d.c.203`) and the
/// letter O for a nought. Only single letters before digits are drawn together.
pub fn mended(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut mended = String::with_capacity(text.len());
    let mut place = 0;
    while place < letters.len() {
        match apart(&letters, place) {
            Some((joined, end)) => {
                mended.push_str(&joined);
                place = end;
            }
            None => {
                mended.push(noughted(&letters, place));
                place += 1;
            }
        }
    }
    mended
}

/// Two single letters and digits with blanks or points between them, drawn together, and where they end. Behind a number
/// they are a unit: `180 N m 4 bolts`.
fn apart(letters: &[char], from: usize) -> Option<(String, usize)> {
    let starts = from == 0 || !letters[from - 1].is_alphanumeric();
    let behind_number =
        from > 1 && letters[from - 1] == ' ' && noughted(letters, from - 2).is_ascii_digit();
    let &[first, joint, second, next, ..] = letters.get(from..)? else {
        return None;
    };
    let is_joint = |c: char| c == ' ' || c == '.';
    let fits = first.is_alphabetic() && is_joint(joint) && second.is_alphabetic();
    if !starts || behind_number || !fits {
        return None;
    }
    let digit = letters.get(from + 4).is_some_and(char::is_ascii_digit);
    match (next.is_ascii_digit(), is_joint(next) && digit) {
        (true, _) => Some((format!("{first}{second}"), from + 3)),
        (_, true) => Some((format!("{first}{second}"), from + 4)),
        _ => None,
    }
}

/// The character at a place, a nought for an O that stands among digits.
fn noughted(letters: &[char], place: usize) -> char {
    let digit = |place: Option<usize>| {
        place
            .and_then(|place| letters.get(place))
            .is_some_and(char::is_ascii_digit)
    };
    match letters[place] {
        'o' | 'O'
            if digit(place.checked_sub(1))
                && (digit(Some(place + 1)) || digit(place.checked_sub(2))) =>
        {
            '0'
        }
        other => other,
    }
}
