//! What holds for every quantity, tried on generated ones.

use std::collections::BTreeMap;

use fettlebook::number::{Decimal, Rounding, round};
use fettlebook::quantity::{
    Form, Kind, MAX_QUANTITY_DIGITS, Quantity, QuantityErrorKind, System, Unit, convert,
    convert_exact, counterpart, scale_exact,
};
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use proptest::prelude::*;

/// Units that can stand in a text; that of plain numbers has no symbol there.
fn unit() -> impl Strategy<Value = &'static Unit> {
    let typed: Vec<&'static Unit> = Unit::all()
        .iter()
        .filter(|unit| unit.symbol() != "1")
        .collect();
    prop::sample::select(typed)
}

/// A declared unit and another of its kind.
fn pair() -> impl Strategy<Value = (&'static Unit, &'static Unit)> {
    unit().prop_flat_map(|from| {
        let alike: Vec<&'static Unit> = Unit::all()
            .iter()
            .filter(|unit| unit.kind() == from.kind())
            .collect();
        (Just(from), prop::sample::select(alike))
    })
}

fn decimal() -> impl Strategy<Value = Decimal> {
    (-10_000_000_i64..10_000_000, 0_u32..6)
        .prop_map(|(mantissa, places)| Decimal::new(mantissa, places))
}

fn width() -> impl Strategy<Value = Decimal> {
    (0_i64..100_000, 0_u32..6).prop_map(|(mantissa, places)| Decimal::new(mantissa, places))
}

/// The text of a quantity in any form, and its unit.
fn declared(unit: &'static Unit) -> impl Strategy<Value = String> {
    let symbol = match unit.symbol().strip_prefix('Δ') {
        Some(shown) => (format!("Δ {{}} {shown}"), shown.to_owned()),
        None => (format!("{{}} {}", unit.symbol()), unit.symbol().to_owned()),
    };
    (decimal(), decimal(), width(), width(), 0..7_u8).prop_map(
        move |(one, two, above, below, form)| {
            let amount = |digits: String| symbol.0.replace("{}", &digits);
            let (low, high) = if one <= two {
                (&one, &two)
            } else {
                (&two, &one)
            };
            match form {
                0 => amount(one.plain()),
                1 => format!("{} ± {} {}", amount(one.plain()), above.plain(), symbol.1),
                2 => format!(
                    "{} +{}/-{}",
                    amount(one.plain()),
                    above.plain(),
                    below.plain()
                ),
                3 => amount(format!("{low}..{high}")),
                4 => format!("at most {}", amount(one.plain())),
                5 => format!("at least {}", amount(one.plain())),
                _ => format!("{} +- {}", amount(one.plain()), above),
            }
        },
    )
}

fn quantity() -> impl Strategy<Value = Quantity> {
    unit().prop_flat_map(declared).prop_map(|text| read(&text))
}

fn read(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Fractions and classes, which are typed rather than computed.
fn workshop_text() -> impl Strategy<Value = String> {
    let fraction = (0_u64..40, 1_u16..64, 0_u32..7).prop_map(|(whole, numerator, power)| {
        let denominator = 2_u16.pow(power);
        format!("{whole} {}/{denominator} in", numerator % denominator)
    });
    let classes = ["H7", "h6", "js6", "JS9", "zc11", "K01", "p0", "s6", "CD10"];
    let class = (
        1_i64..500_000,
        0_u32..4,
        prop::sample::select(classes.to_vec()),
    );
    prop_oneof![
        fraction,
        class
            .prop_map(|(size, places, class)| format!("{} mm {class}", Decimal::new(size, places))),
    ]
}

/// Limits of a converted quantity, converted back exactly, lie inside the declared ones.
fn lies_inside(declared: &Quantity, shown: &Quantity) -> bool {
    let back = |limit: Option<Decimal>| {
        let limit = limit?.to_ratio();
        Some(convert_exact(&limit, shown.unit(), declared.unit()).expect("one kind"))
    };
    let (lower, upper) = declared.limits();
    let (shown_lower, shown_upper) = shown.limits();
    let above = match (lower, back(shown_lower)) {
        (Some(declared), Some(shown)) => declared.to_ratio() <= shown,
        (declared, shown) => declared.is_none() && shown.is_none(),
    };
    let below = match (upper, back(shown_upper)) {
        (Some(declared), Some(shown)) => shown <= declared.to_ratio(),
        (declared, shown) => declared.is_none() && shown.is_none(),
    };
    above && below
}

fn band(quantity: &Quantity) -> Option<BigRational> {
    match quantity.limits() {
        (Some(lower), Some(upper)) => Some((&upper - &lower).to_ratio()),
        _ => None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_printed_reads_back(quantity in quantity()) {
        let again = Quantity::parse(&quantity.written())
            .map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(&again, &quantity);
        // Equality goes by value; the text shows that the places came back as well.
        prop_assert_eq!(again.written(), quantity.written());
    }

    #[test]
    fn what_the_workshop_types_reads_back(text in workshop_text()) {
        let quantity = read(&text);
        prop_assert_eq!(Quantity::parse(&quantity.written()), Ok(quantity));
    }

    #[test]
    fn conversion_there_and_back_is_exact(value in decimal(), (from, to) in pair()) {
        let value = value.to_ratio();
        let there = convert_exact(&value, from, to).expect("one kind");
        prop_assert_eq!(convert_exact(&there, to, from), Some(value.clone()));
        let scaled = scale_exact(&value, from, to).expect("one kind");
        prop_assert_eq!(scale_exact(&scaled, to, from), Some(value));
    }

    #[test]
    fn converted_limits_stay_inside((text, to) in pair().prop_flat_map(|(from, to)| {
        (declared(from), Just(to))
    })) {
        let quantity = read(&text);
        let converted = convert(&quantity, to).expect("one kind");
        let empty = band(&quantity).is_some_and(|band| band.is_zero());
        if converted.form() == Form::Single {
            prop_assert!(quantity.form() == Form::Single || empty, "{} lost its limits", quantity);
        } else {
            prop_assert!(lies_inside(&quantity, &converted), "{} became {}", quantity, converted);
        }
        if let (Some(declared), Some(shown)) = (band(&quantity), band(&converted)) {
            let whole = scale_exact(&declared, quantity.unit(), to).expect("one kind");
            let two = BigRational::from_integer(2.into());
            prop_assert!(shown * two >= whole, "{} keeps too little in {}", quantity, converted);
        }
        let (lower, upper) = converted.limits();
        if let (Some(nominal), Some(lower), Some(upper)) = (converted.nominal(), lower, upper) {
            prop_assert!(lower <= nominal && nominal <= upper);
        }
        // Converting to a tiny unit may give more digits than anyone may type.
        let digits = |value: &Decimal| value.digits().max(value.places() as usize);
        let (lower, upper) = converted.limits();
        let numbers = [converted.nominal(), lower, upper];
        if numbers.iter().flatten().all(|value| digits(value) < MAX_QUANTITY_DIGITS) {
            prop_assert_eq!(Quantity::parse_with_unit(&converted.written(), to).ok(), Some(converted));
        }
    }

    #[test]
    fn single_values_move_by_half_a_place_at_most(value in decimal(), (from, to) in pair()) {
        let declared = Quantity::single(value.clone(), from);
        let shown = convert(&declared, to).and_then(|shown| shown.nominal()).expect("one kind");
        let exact = convert_exact(&value.to_ratio(), from, to).expect("one kind");
        let place = Decimal::new(5, value.places() + 1).to_ratio();
        let half_place = scale_exact(&place, from, to).expect("one kind");
        let moved = (shown.to_ratio() - exact).abs();
        prop_assert!(moved <= half_place, "{} {} became {}", value, from, shown);
    }

    #[test]
    fn counterparts_are_of_the_asked_system(quantity in quantity()) {
        let none: BTreeMap<Kind, &'static Unit> = BTreeMap::new();
        for system in [System::Metric, System::Imperial, System::Gravimetric] {
            if let Some(shown) = counterpart(&quantity, system, &none) {
                prop_assert_eq!(shown.quantity().unit().system(), Some(system));
                prop_assert_ne!(quantity.unit().system(), Some(system));
                prop_assert!(!shown.text().is_empty() && !shown.compact().is_empty());
                let minus = shown.spoken().contains('−');
                prop_assert!(!minus);
            }
        }
    }

    #[test]
    fn any_text_ends_in_a_quantity_or_an_error(text in any::<String>()) {
        check(&text)?;
    }

    #[test]
    fn texts_of_the_right_letters_end_too(
        text in "[-+±≤≥–−.,/ 0-9NmfdinlbkgHhJjs·°CFKΔ%¾½µ\u{A0}\u{202F}\u{2044}e'\"²^²(to)]{0,40}",
    ) {
        check(&text)?;
    }

    #[test]
    fn mutated_quantities_end_too(
        quantity in quantity(),
        at in 0_usize..60,
        with in any::<char>(),
        how in 0_u8..4,
    ) {
        let mut letters: Vec<char> = quantity.written().chars().collect();
        let at = at % letters.len();
        match how {
            0 => letters[at] = with,
            1 => letters.insert(at, with),
            2 => drop(letters.remove(at)),
            _ => letters.truncate(at),
        }
        check(&letters.into_iter().collect::<String>())?;
    }

    #[test]
    fn decimals_add_and_order_like_ratios(one in decimal(), two in decimal()) {
        prop_assert_eq!((&one + &two).to_ratio(), one.to_ratio() + two.to_ratio());
        prop_assert_eq!((&one - &two).to_ratio(), one.to_ratio() - two.to_ratio());
        prop_assert_eq!(one.cmp(&two), one.to_ratio().cmp(&two.to_ratio()));
        prop_assert_eq!(Decimal::from_ratio(&one.to_ratio()), Some(one.clone()));
        prop_assert_eq!(Decimal::parse(&one.to_string()).map(|read| read.plain()), Ok(one.plain()));
        prop_assert_eq!(one.to_double(), one.plain().parse::<f64>().expect("digits"));
    }

    #[test]
    fn rounding_goes_its_way(value in (any::<i64>(), 1_i64..1_000_000), places in -6_i32..12) {
        let value = BigRational::new(value.0.into(), value.1.into());
        let (up, down) = (round(&value, places, Rounding::Up), round(&value, places, Rounding::Down));
        let nearest = round(&value, places, Rounding::Nearest);
        prop_assert!(down.to_ratio() <= value && value <= up.to_ratio());
        prop_assert!(nearest == up || nearest == down);
        let shift = (nearest.to_ratio() - &value).abs();
        prop_assert!(shift <= (up.to_ratio() - &value).abs() && shift <= (value - down.to_ratio()).abs());
        prop_assert!(!nearest.plain().starts_with("-0") || !nearest.is_zero());
    }
}

/// Reading ends, and an error points into the text, at whole characters, with words for a message.
fn check(text: &str) -> Result<(), TestCaseError> {
    match Quantity::parse(text) {
        Ok(quantity) => {
            let again = Quantity::parse(&quantity.written());
            prop_assert_eq!(
                again.as_ref(),
                Ok(&quantity),
                "{:?} printed as {:?}",
                text,
                quantity.written()
            );
            prop_assert!(!quantity.spoken().is_empty() && !quantity.compact().is_empty());
        }
        Err(error) => {
            prop_assert!(
                text.get(error.span.clone()).is_some(),
                "{:?}: {:?}",
                text,
                error
            );
            prop_assert!(!error.message.is_empty() && !error.message.ends_with('.'));
        }
    }
    Ok(())
}

/// A pasted page is refused by its length alone, so the time to read a text has a bound.
#[test]
fn long_texts_are_refused_for_their_length() {
    let page = "180 N·m ± 10 N·m ".repeat(10_000);
    for text in [page.replace(' ', ""), page, "9".repeat(201)] {
        let error = Quantity::parse(&text).expect_err("too long");
        assert_eq!(
            (error.kind, error.span),
            (QuantityErrorKind::TooLong, 0..text.len())
        );
    }
}
