//! Dates and times of a film as people read them, and as machines do.

use jiff::civil::Date;
use serde::Serialize;

use super::theme::Words;

/// A date in both forms.
#[derive(Clone, Debug, Serialize)]
pub struct Day {
    /// `2026-11-02`, for machines and for the feet of printed sheets.
    pub iso: String,
    /// `2 Nov 2026`, for sentences.
    pub words: String,
}

impl Day {
    /// A date in both forms.
    pub fn new(date: Date, words: &Words) -> Day {
        let month = usize::try_from(date.month() - 1)
            .ok()
            .and_then(|index| words.months.get(index));
        let month = month.map_or("", String::as_str);
        Day {
            iso: date.to_string(),
            words: format!("{} {month} {}", date.day(), date.year()),
        }
    }
}

/// Seconds from the start of a film as `6:40`, or `1:06:40` from an hour on.
pub fn clock(seconds: u32) -> String {
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match hours {
        0 => format!("{minutes}:{seconds:02}"),
        hours => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

/// Seconds as a duration (ISO 8601-1:2019, 5.5.2): `PT1H6M40S`.
pub fn duration(seconds: u64) -> String {
    let parts = [
        (seconds / 3600, 'H'),
        (seconds / 60 % 60, 'M'),
        (seconds % 60, 'S'),
    ];
    let given = parts.iter().filter(|(count, _)| *count > 0);
    let text: String = given
        .map(|(count, letter)| format!("{count}{letter}"))
        .collect();
    match text.is_empty() {
        true => "PT0S".to_owned(),
        false => format!("PT{text}"),
    }
}

#[cfg(test)]
mod tests {
    use super::{clock, duration};

    #[test]
    fn film_times_carry_hours_only_when_there_are_any() {
        assert_eq!(clock(0), "0:00");
        assert_eq!(clock(400), "6:40");
        assert_eq!(clock(3600), "1:00:00");
        assert_eq!(clock(4_000), "1:06:40");
    }

    #[test]
    fn a_duration_names_what_it_has() {
        let said = [0, 45, 120, 7_200, 4_000, 90_000].map(duration);
        assert_eq!(
            said,
            ["PT0S", "PT45S", "PT2M", "PT2H", "PT1H6M40S", "PT25H"]
        );
    }
}
