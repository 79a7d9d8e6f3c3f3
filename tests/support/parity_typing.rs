//! Digits and typed texts: the script beside the program. A part of the parity tests.

use fettlebook::formula::significant;
use fettlebook::number::Rounding;
use fettlebook::quantity::{Form, Quantity, Unit};
use serde_json::{Value as Json, json};

use crate::random_formula::Random;
use crate::script::Script;
use crate::{close, held};

/// The rows of a tab-separated file, without comments and header.
fn rows(text: &'static str) -> Vec<Vec<&'static str>> {
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split('\t').collect()).collect()
}

#[test]
fn rounding_follows_the_vectors() {
    let rows = rows(include_str!("../reference/rounding.tsv"));
    assert_eq!(rows.len(), 207);
    let exact = |text: &str| {
        let (top, bottom) = text.split_once('/').unwrap_or((text, "1"));
        let top = fettlebook::number::Decimal::parse(top)
            .expect(text)
            .to_ratio();
        let bottom = fettlebook::number::Decimal::parse(bottom)
            .expect(text)
            .to_ratio();
        let ratio = top / bottom;
        (ratio.numer().to_string(), ratio.denom().to_string())
    };
    let asked: Vec<Json> = rows
        .iter()
        .map(|row| {
            let (top, bottom) = exact(row[0]);
            json!([top, bottom, row[1].parse::<i32>().expect("places"), row[2]])
        })
        .collect();
    let found = Script::load().ask("round", &Json::Array(asked));
    for (row, found) in rows.iter().zip(found.as_array().expect("answers")) {
        assert_eq!(
            (found["shown"].as_str(), found["plain"].as_str()),
            (Some(row[3]), Some(row[4])),
            "{row:?}"
        );
    }
}

#[test]
fn significant_digits_agree() {
    let mut random = Random::new();
    let mut asked = vec![
        json!([0.0, 3, "nearest"]),
        json!([1e23, 4, "up"]),
        json!([99_995.0, 4, "nearest"]),
    ];
    let mut expected = vec![];
    for _ in 0..2000 {
        let value = random.one(-1.0..1.0_f64) * 10_f64.powi(random.one(-20..20));
        let how = random.pick(&["nearest", "up", "down"]);
        asked.push(json!([value, random.one(1..9_u32), how]));
    }
    for row in &asked {
        let rounding = match row[2].as_str() {
            Some("up") => Rounding::Up,
            Some("down") => Rounding::Down,
            _ => Rounding::Nearest,
        };
        let digits = u32::try_from(row[1].as_u64().expect("digits")).expect("few");
        expected.push(significant(
            row[0].as_f64().expect("a number"),
            digits,
            rounding,
        ));
    }
    let found = Script::load().ask("significant", &Json::Array(asked.clone()));
    for ((asked, expected), found) in asked
        .iter()
        .zip(expected)
        .zip(found.as_array().expect("answers"))
    {
        assert_eq!(
            found["shown"].as_str(),
            Some(expected.to_string().as_str()),
            "{asked}"
        );
        assert_eq!(
            found["plain"].as_str(),
            Some(expected.plain().as_str()),
            "{asked}"
        );
    }
}

#[test]
fn texts_are_read_alike() {
    let listed = rows(include_str!("../reference/quantity_texts.tsv"));
    let refused = rows(include_str!("../reference/quantity_refusals.tsv"));
    let mut asked: Vec<(String, &str)> = listed
        .iter()
        .chain(&refused)
        .map(|row| (row[0].to_owned(), ""))
        .collect();
    let mut random = Random::new();
    for unit in Unit::all()
        .iter()
        .filter(|unit| unit.symbol() != "1" && !unit.symbol().starts_with('Δ'))
    {
        for spelling in unit.spellings().iter().chain([&unit.symbol()]) {
            let (whole, part) = (random.one(0..5000_u32), random.one(0..1000_u32));
            let number = match random.one(0..5) {
                0 => format!("{whole}.{part}"),
                1 => format!("{whole},{part:02}"),
                2 => format!("{} 3/8", whole % 100),
                3 => format!("{:}\u{2009}{part:03}", 1 + whole % 99),
                _ => format!("\u{2212}{whole}"),
            };
            let text = match random.one(0..4) {
                0 => format!("{number} {spelling} ± 0.5 {spelling}"),
                1 => format!("-{whole} to {whole} {spelling}"),
                _ => format!("{number} {spelling}"),
            };
            asked.push((text, ""));
        }
    }
    for text in [
        "60,012",
        "60,12",
        "2.438 in",
        "5 thou",
        "60 ± 0.005",
        "1½",
        ".5",
        "3",
        "1,234.5",
        "60 N",
        "12..13",
        "0.5 %",
        "1 500",
        "1 500,5",
        "0,150",
        "1,23,456",
        "1234,567,890",
        "5 ± 1 %",
        "5 ± 1/8",
        "3 /4",
        "1e-3",
        "5. 3",
    ] {
        asked.push((text.to_owned(), "mm"));
    }
    let found = Script::load().ask("read", &json!(asked));
    let mut compared = 0;
    for ((text, stand_in), found) in asked.iter().zip(found.as_array().expect("answers")) {
        let expected = match Unit::find(stand_in) {
            Some(unit) => Quantity::parse_with_unit(text, unit),
            None => Quantity::parse(text),
        };
        let form = expected.as_ref().ok().map(Quantity::form);
        match (&expected, form) {
            (Ok(quantity), Some(Form::Single | Form::PlusMinus | Form::Range)) => {
                alike(text, found, quantity);
                compared += 1;
            }
            // Only the program knows that a conversion between units has no end of digits; the reckoning needs none.
            (Err(error), _) if format!("{:?}", error.kind) == "EndlessConversion" => {}
            _ => assert!(
                found["reason"].is_string(),
                "{text}: {found} instead of {expected:?}"
            ),
        }
    }
    assert!(compared > 600, "{compared}");
}

fn alike(text: &str, found: &Json, quantity: &Quantity) {
    let form = match quantity.form() {
        Form::Single => "single",
        Form::PlusMinus => "plus-minus",
        _ => "range",
    };
    assert_eq!(found["form"], json!(form), "{text}: {found}");
    assert_eq!(found["unit"], json!(quantity.unit().symbol()), "{text}");
    assert_eq!(found["kind"], json!(quantity.kind().words()), "{text}");
    let si = |decimal: Option<fettlebook::number::Decimal>| {
        decimal.map(|value| quantity.unit().to_si(value.to_double()))
    };
    let (low, high) = quantity.limits();
    for (field, expected) in [
        ("value", si(quantity.nominal())),
        ("low", si(low)),
        ("high", si(high)),
    ] {
        let scale = si(quantity.nominal()).map_or(0.0, f64::abs);
        match expected {
            None => assert!(found[field].is_null(), "{text}: {found}"),
            Some(expected) => {
                assert!(
                    close(held(&found[field]), expected, 1e-14, scale),
                    "{text}: {found} {field} {expected}"
                );
            }
        }
    }
}
