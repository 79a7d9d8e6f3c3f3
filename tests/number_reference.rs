//! Reading and rounding of numbers against the vectors that every implementation is held to.

use fettlebook::number::{Decimal, NumberErrorKind, Rounding, round};
use num_rational::BigRational;

fn ratio(text: &str) -> BigRational {
    let (numerator, denominator) = text.split_once('/').unwrap_or((text, "1"));
    let number = |text: &str| Decimal::parse(text).expect(text).to_ratio();
    number(numerator) / number(denominator)
}

#[test]
fn rounding_follows_the_vectors() {
    let text = include_str!("reference/rounding.tsv");
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split('\t').collect()).collect();
    assert_eq!(rows.len(), 207);
    for row in rows {
        let [value, places, rounding, shown, plain] = row[..] else {
            panic!("{row:?}")
        };
        let rounding = match rounding {
            "nearest" => Rounding::Nearest,
            "up" => Rounding::Up,
            "down" => Rounding::Down,
            other => panic!("{other}"),
        };
        let rounded = round(&ratio(value), places.parse().expect(places), rounding);
        assert_eq!(rounded.to_string(), shown, "{row:?}");
        assert_eq!(rounded.plain(), plain, "{row:?}");
        assert_eq!(Decimal::parse(shown).expect(shown), rounded, "{row:?}");
    }
}

#[test]
fn numbers_are_read_as_people_write_them() {
    let cases = [
        ("0.30", "0.30"),
        ("-0.30", "-0.30"),
        ("\u{2212}7", "-7"),
        ("+7", "7"),
        ("0,15", "0.15"),
        ("0,150", "0.150"),
        ("17,43", "17.43"),
        ("12345,678", "12345.678"),
        ("1 500", "1500"),
        ("1\u{2009}500", "1500"),
        ("1\u{A0}500", "1500"),
        ("1\u{202F}234\u{202F}567,5", "1234567.5"),
        ("1,500.25", "1500.25"),
        ("1,234,567", "1234567"),
        (".005", "0.005"),
        (" 3 ", "3"),
        ("-0", "0"),
        (
            "123456789012345678901234567890",
            "123456789012345678901234567890",
        ),
    ];
    for (text, plain) in cases {
        assert_eq!(
            Decimal::parse(text).map(|value| value.plain()).as_deref(),
            Ok(plain),
            "{text}"
        );
    }
}

#[test]
fn doubtful_numbers_are_refused_at_their_place() {
    let cases = [
        ("1,500", NumberErrorKind::AmbiguousComma, 0..5),
        ("-1,500", NumberErrorKind::AmbiguousComma, 0..6),
        ("1.500,25", NumberErrorKind::TwoDecimalSigns, 0..8),
        ("1.2.3", NumberErrorKind::TwoDecimalSigns, 0..5),
        ("1,23,456", NumberErrorKind::BadGrouping, 0..8),
        ("1e3", NumberErrorKind::Exponent, 0..3),
        ("2E\u{2212}3", NumberErrorKind::Exponent, 0..6),
        ("", NumberErrorKind::Empty, 0..0),
        ("  ", NumberErrorKind::Empty, 0..2),
        ("x", NumberErrorKind::NotANumber, 0..1),
        ("\u{2212}x", NumberErrorKind::NotANumber, 0..4),
        (".", NumberErrorKind::NotANumber, 0..1),
        ("٣", NumberErrorKind::NotANumber, 0..2),
        (" 3x", NumberErrorKind::TrailingText, 2..3),
        ("5.", NumberErrorKind::TrailingText, 1..2),
        ("12 34", NumberErrorKind::TrailingText, 2..5),
        (
            "0.0000000000000000000000000000001",
            NumberErrorKind::TooManyDigits,
            0..33,
        ),
    ];
    for (text, kind, span) in cases {
        let error = Decimal::parse(text).expect_err(text);
        assert_eq!((error.kind, error.span), (kind, span), "{text}");
    }
    let help = Decimal::parse("1,500").expect_err("ambiguous").help;
    assert_eq!(help.as_deref(), Some("1500 or 1.5"));
}
