//! Times of cues: reading a line of them, and the clock as people write it.

/// What a line with an arrow says.
pub enum Times {
    /// From when to when, in thousandths of a second, and whether it is written otherwise than the standard has it.
    Read { start: u64, end: u64, odd: bool },
    /// It cannot be read, from this byte on.
    Broken(usize),
}

/// Arrows that programs make of the standard's own, which comes first.
const ARROWS: [&str; 6] = ["-->", "\u{2013}>", "\u{2014}>", "\u{2192}", "- ->", "->"];

/// The times of a line, of which the format has this decimal sign; `None` if it is no line of times. The standard's arrow makes it one wherever it stands; other
/// arrows only between two times.
pub fn times(line: &str, sign: char) -> Option<Times> {
    let (index, arrow) = match line.find("-->") {
        Some(index) => (index, "-->"),
        None => {
            let begins = line.trim_start().starts_with(|c: char| c.is_ascii_digit());
            let reach = begins.then(|| head(line))?;
            let found = ARROWS.iter().skip(1);
            found
                .filter_map(|arrow| Some((reach.find(arrow)?, *arrow)))
                .next()?
        }
    };
    let strict = arrow == "-->";
    let read = both(line, index, arrow, sign);
    match read {
        Err(place) => strict.then_some(Times::Broken(place)),
        Ok(Times::Read { start, end, odd }) => Some(Times::Read {
            start,
            end,
            odd: odd || !strict,
        }),
        Ok(broken) => Some(broken),
    }
}

/// The beginning of a line, where an arrow must stand.
fn head(line: &str) -> &str {
    const REACH: usize = 40;
    let end = line.char_indices().nth(REACH).map(|(index, _)| index);
    line.get(..end.unwrap_or(line.len())).unwrap_or(line)
}

fn both(line: &str, index: usize, arrow: &str, sign: char) -> Result<Times, usize> {
    let before = line.get(..index).unwrap_or("");
    let first = before.len() - before.trim_start_matches(BLANKS).len();
    let (start, length, odd) = stamp(before.get(first..).unwrap_or(""), sign).ok_or(first)?;
    let behind = first + length;
    if !before
        .get(behind..)
        .unwrap_or("")
        .trim_matches(BLANKS)
        .is_empty()
    {
        return Err(behind);
    }
    let after = line.get(index + arrow.len()..).unwrap_or("");
    let second = line.len() - after.trim_start_matches(BLANKS).len();
    let (end, _, also_odd) = stamp(line.get(second..).unwrap_or(""), sign).ok_or(second)?;
    Ok(Times::Read {
        start,
        end,
        odd: odd || also_odd,
    })
}

const BLANKS: [char; 4] = [' ', '\t', '\u{c}', '\u{a0}'];

/// A time at the beginning of a text, how long it is, and whether it is written otherwise than the standard has it:
/// `00:04.250`, `1:00:04.250`; besides `00:00:04,25`, `4:50`.
fn stamp(text: &str, sign: char) -> Option<(u64, usize, bool)> {
    let first = digits(text);
    let (second, end) = group(text, first.len(), ':')?;
    let third = group(text, end, ':');
    let (hours, minutes, seconds, mut end) = match third {
        Some((third, end)) => (first, second, third, end),
        None => ("", first, second, end),
    };
    let mut odd = minutes.len() != 2 || seconds.len() != 2;
    let rest = text.get(end..).unwrap_or("");
    let mut thousandths = 0;
    match rest.starts_with(['.', ',']).then(|| digits(&rest[1..])) {
        Some(digits) if !digits.is_empty() => {
            odd |= !rest.starts_with(sign) || digits.len() != 3;
            thousandths = three_places(digits);
            end += 1 + digits.len();
        }
        _ => odd = true,
    }
    let number = |digits: &str| match digits {
        "" => Some(0),
        digits => digits.parse::<u64>().ok(),
    };
    let (hours, minutes, seconds) = (number(hours)?, number(minutes)?, number(seconds)?);
    let whole = third.is_some();
    odd |= !whole && minutes > 59;
    let fits = seconds < 60 && (minutes < 60 || !whole) && hours < MOST && minutes < MOST;
    let all = ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths;
    fits.then_some((all, end, odd))
}

/// More hours are no time of a recording, and would not fit.
const MOST: u64 = 1_000_000_000;

/// Digits as thousandths: `5` is five tenths.
fn three_places(digits: &str) -> u64 {
    let padded = digits.bytes().chain(std::iter::repeat(b'0')).take(3);
    padded.fold(0, |sum, digit| sum * 10 + u64::from(digit - b'0'))
}

fn digits(text: &str) -> &str {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    text.get(..end).unwrap_or("")
}

/// One or two digits behind a sign at `at`, and where they end.
fn group(text: &str, at: usize, sign: char) -> Option<(&str, usize)> {
    let rest = text.get(at..)?.strip_prefix(sign)?;
    let found = digits(rest);
    let fits = at > 0 && (1..=2).contains(&found.len());
    fits.then(|| (found, at + 1 + found.len()))
}

/// Seconds as a clock: `4:50`, `1:04:50`.
pub fn clock(seconds: u64) -> String {
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match hours {
        0 => format!("{minutes}:{seconds:02}"),
        _ => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::{Times, clock, times};

    fn read(line: &str) -> Option<(u64, u64, bool)> {
        match times(line, '.')? {
            Times::Read { start, end, odd } => Some((start, end, odd)),
            Times::Broken(place) => Some((u64::MAX, place as u64, false)),
        }
    }

    #[test]
    fn times_are_read_as_the_standard_has_them_and_as_programs_write_them() {
        for (line, start, end, odd) in [
            ("00:04.250 --> 00:09.000", 4250, 9000, false),
            (
                "01:00:04.250 --> 01:00:09.000 align:start",
                3_604_250,
                3_609_000,
                false,
            ),
            (
                "100:00:00.000-->100:00:01.000",
                360_000_000,
                360_001_000,
                false,
            ),
            ("00:00:04,250 --> 00:00:09,000", 4250, 9000, true),
            ("0:00:04.25 --> 0:00:09", 4250, 9000, true),
            ("4:50 --> 4:53", 290_000, 293_000, true),
            ("75:00.000 --> 75:01.000", 4_500_000, 4_501_000, true),
            ("00:00:01,000 \u{2192} 00:00:02,000", 1000, 2000, true),
        ] {
            assert_eq!(read(line), Some((start, end, odd)), "{line}");
        }
        for (line, place) in [
            ("soon --> 00:09.000", 0),
            ("00:04.250 --> later", 14),
            ("00:61.000 --> 00:62.000", 0),
            ("00:04.250 x --> 00:09.000", 9),
            ("-->", 0),
        ] {
            assert_eq!(read(line), Some((u64::MAX, place, false)), "{line}");
        }
        for line in ["turn it -> then", "3 -> 4 turns", "", "12"] {
            assert_eq!(read(line), None, "{line}");
        }
    }

    #[test]
    fn a_clock_has_hours_if_there_are_any() {
        assert_eq!([clock(290), clock(3890)], ["4:50", "1:04:50"]);
    }
}
