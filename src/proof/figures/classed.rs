//! Limits that are typed for a tolerance class, held against ISO 286 as the readers' calculator has it.

use num_rational::BigRational;
use num_traits::{Signed, Zero};

use crate::library::sums::class_limits;
use crate::number::{Decimal, ten_to};
use crate::quantity::prose::{Body, Mention};
use crate::quantity::{Quantity, ToleranceClass, Unit, convert_exact};

/// Two limits in millimetres, and half of the last place that they are typed to.
#[derive(Clone, Debug, PartialEq)]
pub struct Ends {
    /// The lower limit.
    pub lower: BigRational,
    /// The upper limit.
    pub upper: BigRational,
    /// Half of the last place.
    pub half: BigRational,
}

/// Sizes at which the rows of ISO 286-1 tables 1 to 5 end, in millimetres: every row of grades or deviations.
const ROW_ENDS: [u32; 25] = [
    3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315,
    355, 400, 450, 500,
];

/// Grades that a fitter takes one for another.
const GRADES: [&str; 8] = ["5", "6", "7", "8", "9", "10", "11", "12"];

impl Ends {
    /// The limits that a quantity has on both sides.
    pub fn of(mention: &Mention) -> Option<Ends> {
        let Body::Range { lower, upper } = &mention.body else {
            return None;
        };
        let (unit, mm) = (mention.unit()?, Unit::find("mm")?);
        let half = lower.half_place().max(upper.half_place());
        Some(Ends {
            lower: convert_exact(&lower.value, unit, mm)?,
            upper: convert_exact(&upper.value, unit, mm)?,
            half: convert_exact(&half, unit, mm)?,
        })
    }

    fn meet(&self, other: &Ends) -> bool {
        let near =
            |a: &BigRational, b: &BigRational| (a - b).abs() <= self.half.clone() + rounding();
        near(&self.lower, &other.lower) && near(&self.upper, &other.upper)
    }

    fn moved(&self, by: &BigRational) -> Ends {
        Ends {
            lower: &self.lower + by,
            upper: &self.upper + by,
            half: self.half.clone(),
        }
    }

    /// As text: `30.000 to 30.021 mm`.
    pub fn text(&self) -> String {
        let shown = |value: &BigRational| {
            let exact = Decimal::from_ratio(value);
            exact.map_or(String::new(), |exact| match exact.places() {
                0..=2 => crate::number::round(value, 3, crate::number::Rounding::Nearest).plain(),
                _ => exact.plain(),
            })
        };
        format!("{} to {} mm", shown(&self.lower), shown(&self.upper))
    }
}

/// Half of the place that the calculator rounds sizes to: 0.0001 mm.
fn rounding() -> BigRational {
    ten_to(-4) / BigRational::from_integer(2.into())
}

/// What is wrong with limits that are typed for a size with a class: what they should be, and what they are instead.
pub struct Slip {
    /// The limits of the class.
    pub right: Ends,
    /// Where the typed ones seem to come from; empty if that cannot be told.
    pub from: String,
}

/// Holds typed limits against the class; `None` if they meet, or the tables do not know the class.
pub fn slip(size: &Quantity, typed: &Ends) -> Option<Slip> {
    let right = limits(size)?;
    if typed.meet(&right) {
        return None;
    }
    let from = of_another_row(size, typed)
        .or_else(|| of_another_grade(size, typed))
        .or_else(|| without_sign(size, typed))
        .unwrap_or_default();
    Some(Slip { right, from })
}

/// The limits of a size with a class, in millimetres.
fn limits(size: &Quantity) -> Option<Ends> {
    let found = class_limits(size)?;
    let (unit, mm) = (found.unit(), Unit::find("mm")?);
    let end = |end: Option<Decimal>| convert_exact(&end?.to_ratio(), unit, mm);
    let (lower, upper) = found.limits();
    Some(Ends {
        lower: end(lower)?,
        upper: end(upper)?,
        half: BigRational::zero(),
    })
}

fn nominal(size: &Quantity) -> Option<BigRational> {
    convert_exact(&size.nominal()?.to_ratio(), size.unit(), Unit::find("mm")?)
}

/// Whether the limits are those of the same class in another row of the tables, the nearest first.
fn of_another_row(size: &Quantity, typed: &Ends) -> Option<String> {
    let (own, class) = (nominal(size)?, size.class()?);
    let whole = |size: u32| BigRational::from_integer(size.into());
    let at = ROW_ENDS.partition_point(|end| whole(*end) < own);
    let mut rows: Vec<usize> = (0..ROW_ENDS.len()).filter(|row| *row != at).collect();
    rows.sort_by_key(|row| row.abs_diff(at));
    rows.into_iter().find_map(|row| {
        let end = *ROW_ENDS.get(row)?;
        let other = limits(&sized(&end.to_string(), class)?)?;
        let moved = other.moved(&(&own - whole(end)));
        let start = row
            .checked_sub(1)
            .and_then(|row| ROW_ENDS.get(row))
            .unwrap_or(&0);
        typed
            .meet(&moved)
            .then(|| format!("they are those of the row over {start} to {end} mm"))
    })
}

/// Whether the limits are those of another grade or of the other side with the same letter.
fn of_another_grade(size: &Quantity, typed: &Ends) -> Option<String> {
    let class = size.class()?;
    let plain = size.nominal()?.plain();
    let letters = [class.letters().to_owned(), class.letters().to_uppercase()];
    letters.iter().find_map(|letters| {
        GRADES.iter().find_map(|grade| {
            let other = ToleranceClass::parse(&format!("{letters}{grade}"))?;
            let found = limits(
                &Quantity::parse(&format!("{plain} {} {other}", size.unit().symbol())).ok()?,
            )?;
            (other != class && typed.meet(&found)).then(|| format!("they are those of {other}"))
        })
    })
}

/// Whether the limits lie as far from the size as they should, to the wrong side.
fn without_sign(size: &Quantity, typed: &Ends) -> Option<String> {
    let (own, right) = (nominal(size)?, limits(size)?);
    let twice = BigRational::from_integer(2.into()) * &own;
    let turned = Ends {
        lower: &twice - &right.upper,
        upper: &twice - &right.lower,
        half: right.half.clone(),
    };
    typed
        .meet(&turned)
        .then(|| "their signs are turned round".to_owned())
}

/// A size in millimetres with a class.
fn sized(digits: &str, class: ToleranceClass) -> Option<Quantity> {
    Quantity::parse(&format!("{digits} mm {class}")).ok()
}

/// A size with a class in a text, and the limits that are typed behind it.
pub struct Typed {
    /// The size with its class.
    pub size: Quantity,
    /// The limits.
    pub ends: Ends,
    /// The bytes of the limits.
    pub span: std::ops::Range<usize>,
}

/// Every `30 H7 = 30.000–30.021` of a text: sizes with a class whose limits, or deviations, follow at once.
pub fn typed(text: &str) -> Vec<Typed> {
    let words = text.split(|c: char| !c.is_ascii_alphanumeric());
    let classes = words.filter(|word| !word.is_empty() && ToleranceClass::parse(word).is_some());
    classes
        .filter_map(|word| {
            let start = word.as_ptr() as usize - text.as_ptr() as usize;
            typed_at(text, start, start + word.len())
        })
        .collect()
}

fn typed_at(text: &str, start: usize, end: usize) -> Option<Typed> {
    let class = ToleranceClass::parse(text.get(start..end)?)?;
    let before = text.get(..start)?.trim_end();
    let before = before.strip_suffix("mm").unwrap_or(before).trim_end();
    let head = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    let digits = before.get(head.len()..)?;
    if digits.is_empty() || head.ends_with(|c: char| c.is_alphanumeric() || "-/×".contains(c)) {
        return None;
    }
    let size = sized(digits, class)?;
    let mut at = end;
    while let Some(length) = skipped(text.get(at..)?) {
        at += length;
    }
    let (first, second, stop) = two_numbers(text, at)?;
    let own = nominal(&size)?;
    let ends = ends_of(&own, &first, &second, text.get(stop..)?)?;
    let near = |value: &BigRational| {
        (value - &own).abs()
            <= BigRational::new(6.into(), 10.into()) + &own / BigRational::from_integer(50.into())
    };
    (near(&ends.lower) && near(&ends.upper)).then_some(Typed {
        size,
        ends,
        span: at..stop,
    })
}

/// How much of a text only leads over to the limits.
fn skipped(text: &str) -> Option<usize> {
    const OVER: [&str; 24] = [
        " ", "\u{A0}", "=", ":", "(", ",", "|", "is ", "are ", "limits ", "from ", "means ",
        "gives ", "runs ", "mm ", "of ", "that ", "bore ", "hole ", "shaft ", "seat ", "land ",
        "pin ", "journal ",
    ];
    let known = OVER.iter().find(|known| text.starts_with(**known))?;
    Some(known.len())
}

/// A number with its sign.
struct SignedNumber {
    value: Decimal,
    signed: bool,
}

/// Two numbers with a mark or word of a range between them, and where the second ends.
fn two_numbers(text: &str, at: usize) -> Option<(SignedNumber, SignedNumber, usize)> {
    let (first, end) = number(text, at)?;
    let rest = text.get(end..)?;
    let trimmed = rest.trim_start();
    let trimmed = trimmed.strip_prefix("mm").unwrap_or(trimmed).trim_start();
    const MARKS: [&str; 8] = ["to ", "and ", "–", "..", "/", "—", "-", "…"];
    let mark = MARKS.iter().find(|mark| trimmed.starts_with(**mark))?;
    let after = trimmed
        .get(mark.len()..)?
        .trim_start_matches([' ', '\u{A0}', '.']);
    let (second, stop) = number(text, text.len() - after.len())?;
    Some((first, second, stop))
}

fn number(text: &str, at: usize) -> Option<(SignedNumber, usize)> {
    let rest = text.get(at..)?;
    let bare = rest.trim_start_matches(['+', '-', '\u{2212}']);
    let negative = rest.starts_with(['-', '\u{2212}']);
    let signed = bare.len() < rest.len();
    let (value, length) = Decimal::scan(bare).ok()?;
    let value = if negative {
        Decimal::from_ratio(&-value.to_ratio())?
    } else {
        value
    };
    Some((
        SignedNumber { value, signed },
        at + rest.len() - bare.len() + length,
    ))
}

/// The limits in millimetres, of sizes or of deviations (in micrometres unless they have places or say so).
fn ends_of(
    own: &BigRational,
    first: &SignedNumber,
    second: &SignedNumber,
    behind: &str,
) -> Option<Ends> {
    let places = first.value.places().max(second.value.places());
    let half = ten_to(-i32::try_from(places).ok()?) / BigRational::from_integer(2.into());
    let (a, b) = (first.value.to_ratio(), second.value.to_ratio());
    let sorted = |a: BigRational, b: BigRational| if a <= b { (a, b) } else { (b, a) };
    if !(first.signed || second.signed) {
        let (lower, upper) = sorted(a, b);
        return Some(Ends { lower, upper, half });
    }
    let micro = behind.trim_start().starts_with(['µ', 'μ'])
        || (places == 0 && !behind.trim_start().starts_with("mm"));
    let scale = if micro { ten_to(-3) } else { ten_to(0) };
    let (lower, upper) = sorted(a * &scale + own, b * &scale + own);
    Some(Ends {
        lower,
        upper,
        half: half * scale,
    })
}

#[cfg(test)]
mod tests {
    use super::{slip, typed};

    #[test]
    fn limits_behind_a_class_are_read_and_held_against_it() {
        for (text, right) in [
            ("30 H7 = 30.000–30.021", true),
            ("30 H7 = 30.000–30.025", false),
            ("a 60 mm H7 bore (60.000 to 60.030 mm)", true),
            ("60 H7 0/+30", true),
            ("60 H7 0/+25", false),
            ("28 k6: +2/+15 µm", true),
            ("28 k6 28.002–28.015", true),
            ("25 h6 is 24.987 to 25.000 mm", true),
            ("25 h6 is 25.000 to 25.013 mm", false),
        ] {
            let found = typed(text);
            assert_eq!(found.len(), 1, "{text}");
            let slips = found
                .iter()
                .any(|typed| slip(&typed.size, &typed.ends).is_some());
            assert_eq!(slips, !right, "{text}");
        }
        for text in [
            "use 8 M6 bolts, 20 to 25 mm",
            "H7",
            "page 30 H7",
            "30 H7 fits 20 to 25 of them",
        ] {
            assert!(typed(text).is_empty(), "{text}");
        }
    }
}
