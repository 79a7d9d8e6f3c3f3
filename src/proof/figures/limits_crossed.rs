//! limits-crossed: limits that do not agree with themselves: the lower above the upper, the value outside them, a
//! stage above the torque, a worn size that is still good.

use num_rational::BigRational;
use num_traits::Signed;

use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Figure, Member, Spanned, sums};
use crate::number::Decimal;
use crate::proof::false_fine::instrument::finest;
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet, words};
use crate::quantity::prose::{Body, Mention};
use crate::quantity::{Kind, Quantity, Unit, convert_exact, scale_exact};

/// Reports crossed limits of figures and of sentences; what cannot be read at all is reported by reading.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let page = sheet.page.as_ref();
    for figure in page.iter().flat_map(|page| &page.page.figures) {
        problems.extend(of_figure(figure));
    }
    for reading in sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past)
    {
        for mention in &reading.mentions {
            problems.extend(turned_range(reading, mention));
        }
        for pair in reading.mentions.windows(2) {
            if let [value, limits] = pair {
                problems.extend(outside_its_limits(reading, value, limits));
            }
        }
    }
}

fn of_figure(figure: &Figure) -> Vec<Diagnostic> {
    match &figure.detail {
        Detail::Torque { torque, stages, .. } => stages_above(torque, stages)
            .into_iter()
            .chain(below_nothing(torque))
            .collect(),
        Detail::Setting { value, renew_at } => renewed_when_good(value, renew_at.as_ref())
            .into_iter()
            .collect(),
        Detail::Fit {
            hole,
            shaft,
            clearance,
            interference,
            renew_at,
            ..
        } => {
            let sides = hole.iter().chain(shaft).filter_map(far_from_size);
            let good = clearance.as_ref();
            let good = good.and_then(|good| renewed_when_good(good, renew_at.as_ref()));
            let clear = clearance
                .iter()
                .filter_map(|own| not_the_sum(figure, own, false));
            let tight = interference
                .iter()
                .filter_map(|own| not_the_sum(figure, own, true));
            sides.chain(good).chain(clear).chain(tight).collect()
        }
    }
}

/// A clearance or interference that goes beyond what the two sides come to by the readers' calculator. A narrower one is
/// that of parts which are paired by size.
fn not_the_sum(figure: &Figure, declared: &Spanned<Quantity>, tight: bool) -> Option<Diagnostic> {
    let sum = sums::fit(figure)?.clearance?;
    let (low, high) = sum.limits();
    let (low, high) = match tight {
        true => (negative(high?)?, negative(low?)?),
        false => (low?, high?),
    };
    let (least, most) = declared.limits();
    let (least, most) = (least.or(declared.nominal()), most.or(declared.nominal()));
    let place = |value: Decimal, unit: &Unit| convert_exact(&value.to_ratio(), unit, sum.unit());
    // Honestly rounded is as good: half of the last place that is written.
    let half = finest(declared)? / BigRational::from_integer(2.into());
    let half = scale_exact(&half, declared.unit(), sum.unit())?;
    let reach = low.to_ratio() - &half..=high.to_ratio() + &half;
    let ends = [least, most].into_iter().flatten();
    let mut ends = ends.filter_map(|end| place(end, declared.unit()));
    if ends.all(|end| reach.contains(&end)) {
        return None;
    }
    let come_to = Quantity::range(low, high, sum.unit())?.written();
    let what = if tight { "interference" } else { "clearance" };
    let message = format!(
        "the {what} {} goes beyond what the two sides come to, {come_to}",
        declared.written()
    );
    let help = format!("look up both sides again; if they are right, write `{what}: {come_to}`");
    Some(rules::LIMITS_CROSSED.at(&declared.at, message).help(help))
}

fn negative(value: Decimal) -> Option<Decimal> {
    Decimal::from_ratio(&-value.to_ratio())
}

/// A stage above the torque, or below the stage before it.
fn stages_above(torque: &Spanned<Quantity>, stages: &[Spanned<Quantity>]) -> Option<Diagnostic> {
    let ratio = |quantity: &Quantity| in_unit(&quantity.nominal()?, quantity.unit(), torque.unit());
    let most = torque.limits().1.or(torque.nominal())?.to_ratio();
    let above = stages
        .iter()
        .find(|stage| ratio(stage).is_some_and(|stage| stage > most));
    if let Some(stage) = above {
        let message = format!(
            "the stage {} is above the torque it leads to, {}",
            stage.written(),
            torque.written()
        );
        return Some(
            rules::LIMITS_CROSSED
                .at(&stage.at, message)
                .other(&torque.at, "the torque to end at")
                .help("look up both again; the last stage is the torque itself"),
        );
    }
    let falls = stages.windows(2).find_map(|pair| match pair {
        [one, next] => (ratio(next)? < ratio(one)?).then_some((one, next)),
        _ => None,
    });
    falls.map(|(one, next)| {
        let message = format!("the stage {} comes after {}", next.written(), one.written());
        rules::LIMITS_CROSSED
            .at(&next.at, message)
            .other(&one.at, "the stage before it")
            .help("write the stages in the order of work, the lowest first")
    })
}

/// A torque whose tolerance reaches down to nothing.
fn below_nothing(torque: &Spanned<Quantity>) -> Option<Diagnostic> {
    let (lower, upper) = torque.limits();
    let (lower, _) = lower.zip(upper)?;
    let none = lower.is_negative() || lower.is_zero();
    none.then(|| {
        let message = format!(
            "the lower limit of {} is {} {}",
            torque.written(),
            lower.plain(),
            torque.unit().symbol()
        );
        rules::LIMITS_CROSSED
            .at(&torque.at, message)
            .help("look up the tolerance again: a point may be lost in it")
    })
}

/// A value at which to renew that lies inside what is good.
fn renewed_when_good(
    good: &Spanned<Quantity>,
    renew: Option<&Spanned<Quantity>>,
) -> Option<Diagnostic> {
    let renew = renew?;
    let at = in_unit(&renew.nominal()?, renew.unit(), good.unit())?;
    let (lower, upper) = good.limits();
    let (lower, upper) = (lower?.to_ratio(), upper?.to_ratio());
    (lower <= at && at < upper).then(|| {
        let message = format!(
            "it is to be renewed at {}, which lies inside the limits of a good one, {}",
            renew.written(),
            good.written()
        );
        rules::LIMITS_CROSSED
            .at(&renew.at, message)
            .other(&good.at, "the limits")
            .help("look up both again: wear begins where the limits end")
    })
}

/// Limits that lie nowhere near the size; with a class, that is a misread fit.
fn far_from_size(side: &Member) -> Option<Diagnostic> {
    let (size, limits) = (side.size.as_ref()?, side.limits.as_ref()?);
    if size.class().is_some() {
        return None;
    }
    let nominal = in_unit(&size.nominal()?, size.unit(), limits.unit())?;
    let allowed = in_unit(&Decimal::new(5, 1), Unit::find("mm")?, limits.unit())?
        + &nominal / BigRational::from_integer(50.into());
    let (lower, upper) = limits.limits();
    let mut ends = [lower, upper].into_iter().flatten();
    let far = ends.any(|end| (end.to_ratio() - &nominal).abs() > allowed);
    far.then(|| {
        let message = format!(
            "the limits {} do not lie about the size {}",
            limits.written(),
            size.written()
        );
        rules::LIMITS_CROSSED
            .at(&limits.at, message)
            .other(&size.at, "the size")
            .help("look up both again: one of them is another part's")
    })
}

fn in_unit(value: &Decimal, from: &'static Unit, to: &'static Unit) -> Option<BigRational> {
    convert_exact(&value.to_ratio(), from, to)
}

/// Words before a range that tell of a change, which may go down.
const CHANGES: [&str; 9] = [
    "from", "down", "drop", "drops", "fall", "falls", "fell", "tapers", "reduce",
];

/// Limits said with the upper one first.
fn turned_range(reading: &Reading<'_>, mention: &Mention) -> Option<Diagnostic> {
    let kind = mention.unit()?.kind();
    if !matches!(
        kind,
        Kind::Length | Kind::Torque | Kind::Pressure | Kind::Force
    ) {
        return None;
    }
    let (first, second, start) = larger_first(reading, mention)?;
    let before = reading.clause_before(start);
    let before: Vec<&str> = words(&before).collect();
    let mut near = before.iter().rev().take(4);
    if near.any(|word| CHANGES.contains(word)) {
        return None;
    }
    let span = start..mention.span.end;
    let shown = |value: &BigRational| {
        Decimal::from_ratio(value).map_or(String::new(), |value| value.plain())
    };
    let said = reading.words(&span);
    let message = format!(
        "`{said}` puts {} before {}: the lower limit is above the upper one",
        shown(&first),
        shown(&second)
    );
    Some(rules::LIMITS_CROSSED.at(&reading.at(&span), message).help(
        "write the lower limit first, after looking up both: a digit may be wrong in one of them",
    ))
}

/// Both limits of a range whose first one is the larger, and the byte at which it begins. A mark without spaces joins two
/// numbers to a range only if both have places, as nothing else does.
fn larger_first(
    reading: &Reading<'_>,
    mention: &Mention,
) -> Option<(BigRational, BigRational, usize)> {
    match &mention.body {
        Body::Range { lower, upper } => {
            let (first, _) = Decimal::scan(reading.words(&mention.span)).ok()?;
            let turned = first.to_ratio() == upper.value && lower.value < upper.value;
            turned.then(|| (upper.value.clone(), lower.value.clone(), mention.span.start))
        }
        Body::Single(second) => {
            let before = reading.passage.text.get(..mention.span.start)?;
            let joined = before.strip_suffix(['–', '-', '—'])?.trim_end();
            let head = joined.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
            let first = Decimal::parse(joined.get(head.len()..)?).ok()?;
            let sized = first.places() > 0 && Some(first.places()) == second.places();
            let free = !head.ends_with(|c: char| c.is_alphanumeric() || c == '-');
            let turned = sized && free && first.to_ratio() > second.value;
            turned.then(|| (first.to_ratio(), second.value.clone(), head.len()))
        }
        Body::PlusMinus { .. } | Body::Deviations { .. } => None,
    }
}

/// A value with limits in brackets behind it that are not its own: `180 ± 10 N·m (175 to 195 N·m)`.
fn outside_its_limits(
    reading: &Reading<'_>,
    value: &Mention,
    limits: &Mention,
) -> Option<Diagnostic> {
    let between = reading.words(&(value.span.end..limits.span.start)).trim();
    let closes = reading
        .passage
        .text
        .get(limits.span.end..)?
        .trim_start()
        .starts_with([')', ']']);
    let own = value.unit()? == limits.unit()?;
    let Body::Range { lower, upper } = &limits.body else {
        return None;
    };
    if !own || !closes || !matches!(between, "(" | "[") {
        return None;
    }
    let wrong = match &value.body {
        Body::PlusMinus { nominal, off } => {
            let half = lower.half_place().max(upper.half_place());
            let apart = |a: BigRational, b: &BigRational| (a - b).abs() > half;
            apart(&nominal.value - &off.value, &lower.value)
                || apart(&nominal.value + &off.value, &upper.value)
        }
        // Limits of a size may lie to one side of it: 28 mm (28.002 to 28.015 mm).
        Body::Single(only) if value.unit()?.kind() != Kind::Length => {
            only.value < lower.value || only.value > upper.value
        }
        _ => false,
    };
    wrong.then(|| {
        let (one, other) = (reading.words(&value.span), reading.words(&limits.span));
        let message = format!("`{other}` are not the limits of `{one}`");
        rules::LIMITS_CROSSED
            .at(&reading.at(&limits.span), message)
            .other(&reading.at(&value.span), "the value that they are said of")
            .help("work out the limits again, or leave them out: the tolerance says them")
    })
}
