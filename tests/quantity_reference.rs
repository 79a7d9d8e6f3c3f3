//! Units, readings and shown bands against published or separately computed values.

use std::collections::BTreeMap;

use fettlebook::number::Decimal;
use fettlebook::quantity::{
    Form, Kind, Quantity, System, Unit, convert, convert_exact, counterpart, scale_exact,
};
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};

/// The rows of a tab-separated file, without comments and header.
fn rows(text: &'static str) -> Vec<Vec<&'static str>> {
    let lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .skip(1);
    lines.map(|line| line.split('\t').collect()).collect()
}

fn ratio(text: &str) -> BigRational {
    let (numerator, denominator) = text.split_once('/').unwrap_or((text, "1"));
    let number = |text: &str| Decimal::parse(text).expect(text).to_ratio();
    number(numerator) / number(denominator)
}

fn unit(symbol: &str) -> &'static Unit {
    Unit::find(symbol).unwrap_or_else(|| panic!("no unit {symbol}"))
}

fn quantity(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// The table's name for a unit of the reference list.
fn table_symbol<'a>(quantity: &str, name: &'a str) -> &'a str {
    match (quantity, name) {
        ("temperature interval", "degF (interval)") => "Δ°F",
        ("temperature interval", "degC (interval)") => "Δ°C",
        ("temperature interval", "K (interval)") => "K",
        ("temperature", "K") => "K abs",
        ("temperature", "degR (Rankine)") => "°R",
        (_, "thou (mil)") => "thou",
        (_, "imp pint") => "imp pt",
        (_, "US pint") => "US pt",
        (_, "UK long ton") => "long ton",
        (_, "US short ton") => "short ton",
        (_, "kgf (kp)") => "kgf",
        (_, "dN.m (daN.cm x10)") => "dN·m",
        (_, "kgf/cm2 (at)") => "kgf/cm²",
        (_, "mmHg (conventional)") => "mmHg",
        (_, "inHg (conventional)") => "inHg",
        (_, "inH2O (conventional 4C)") => "inH₂O",
        (_, "UK tonf/in2") => "tonf/in²",
        (_, "Btu_IT") => "Btu",
        (_, "cal_IT") => "cal(IT)",
        (_, "cal_th") => "cal(th)",
        (_, "hp (mechanical, 550 ft.lbf/s)") => "hp",
        (_, "hp (mechanical)") => "hp",
        (_, "hp (metric, PS, cv)") => "PS",
        (_, "hp (electric)") => "hp(E)",
        (_, "ft/min (sfpm)") => "ft/min",
        (_, "cfm (ft3/min)") => "cfm",
        (_, "1e-6/degF") => "µin/(in·°F)",
        (_, "1e-6/K") => "µm/(m·K)",
        (_, "mpg (imp)") => "mpg(imp)",
        (_, "mpg (US)") => "mpg(US)",
        (_, "g_n") => "gₙ",
        (_, other) => other,
    }
}

/// The unit and what one of the reference file's unit is in it; small multiples that the table leaves out on purpose.
fn reference_unit(quantity: &str, name: &str) -> (&'static Unit, BigRational) {
    match name {
        "mN.m" => (unit("N·m"), ratio("0.001")),
        _ => (unit(table_symbol(quantity, name)), ratio("1")),
    }
}

/// Every factor and offset of the reference list (NIST SP 811 (2008) App. B and SI Brochure 9th ed., checked there
/// against pint 0.25.3): exactly where it gives an exact ratio, else to 1e-15.
#[test]
fn units_agree_with_the_reference_list() {
    let mut reader = csv::Reader::from_reader(include_str!("reference/units.csv").as_bytes());
    let mut exact_rows = 0;
    let mut all_rows = 0;
    for record in reader.records() {
        let record = record.expect("a row");
        let field = |index: usize| record.get(index).expect("a field");
        let (from, from_part) = reference_unit(field(0), field(1));
        let (to, to_part) = reference_unit(field(0), field(2));
        let one = scale_exact(&from_part, from, to).expect("one kind") / to_part;
        match field(5).contains("pi") {
            false => {
                assert_eq!(one, ratio(field(5)), "{record:?}");
                exact_rows += 1;
            }
            true => {
                let expected: f64 = field(3).parse().expect("a factor");
                let found = one.to_f64().expect("a double");
                assert!((found / expected - 1.0).abs() < 1e-15, "{record:?}");
            }
        }
        let zero = convert_exact(&BigRational::zero(), from, to).expect("one kind");
        let offset = ratio(field(4));
        let tolerance = ratio("0.0000000000000001") * offset.abs();
        assert!((zero - offset).abs() <= tolerance, "{record:?}");
        all_rows += 1;
    }
    assert_eq!((all_rows, exact_rows), (109, 107));
}

/// The doubles that formulas use agree with the exact ratios.
#[test]
fn doubles_agree_with_ratios() {
    let cases = [
        ("°F", 212.0, 373.15),
        ("lbf·ft", 1.0, 1.355_817_948_331_400_4),
        ("°", 180.0, std::f64::consts::PI),
        ("rev/min", 60.0, 2.0 * std::f64::consts::PI),
    ];
    for (symbol, value, si) in cases {
        assert!(
            (unit(symbol).to_si(value) / si - 1.0).abs() < 1e-15,
            "{symbol}"
        );
        assert!(
            (unit(symbol).from_si(si) / value - 1.0).abs() < 1e-15,
            "{symbol}"
        );
    }
}

#[test]
fn torque_bands_show_as_published() {
    let rows = rows(include_str!("reference/torque_bands.tsv"));
    assert_eq!(rows.len(), 31);
    for row in rows {
        let [id, declared, nominal, lower, upper, symbol] = row[..] else {
            panic!("{row:?}")
        };
        let shown = counterpart(&quantity(declared), System::Imperial, &BTreeMap::new()).expect(id);
        let expected = format!("{nominal}\u{A0}{symbol} ({lower}–{upper})");
        assert_eq!(shown.text(), expected, "{id} {declared}");
    }
}

/// What each declared text shows in another system; arithmetic from the factors of NIST SP 811 by the rule of ours.
#[test]
fn counterparts_show_as_published() {
    let rows = rows(include_str!("reference/counterparts.tsv"));
    assert!(rows.len() >= 40);
    for row in rows {
        let [declared, system, expected] = row[..] else {
            panic!("{row:?}")
        };
        let system = match system {
            "metric" => System::Metric,
            "imperial" => System::Imperial,
            "gravimetric" => System::Gravimetric,
            other => panic!("{other}"),
        };
        let shown = counterpart(&quantity(declared), system, &BTreeMap::new());
        let text = shown.map_or("none".to_owned(), |shown| {
            shown.text().replace('\u{A0}', " ")
        });
        assert_eq!(text, expected, "{declared} in {system:?}");
    }
}

#[test]
fn a_wished_unit_goes_before_the_usual_one() {
    let torque = quantity("180 N·m ± 10 N·m");
    let wishes = BTreeMap::from([
        (Kind::Torque, unit("lbf·in")),
        (Kind::Volume, unit("US pt")),
    ]);
    let shown = |text: &str, system| {
        counterpart(&quantity(text), system, &wishes).map(|shown| shown.text())
    };
    assert_eq!(
        shown("180 N·m ± 10 N·m", System::Imperial).as_deref(),
        Some("1590\u{A0}lbf·in (1510–1680)")
    );
    assert_eq!(
        shown("1.5 L", System::Imperial).as_deref(),
        Some("3.2\u{A0}US pt")
    );
    assert_eq!(
        shown("15 lbf·ft", System::Imperial).as_deref(),
        Some("180\u{A0}lbf·in")
    );
    // A wish for another system, or of another kind, is passed over.
    assert_eq!(
        shown("15 lbf·ft", System::Metric).as_deref(),
        Some("20\u{A0}N·m")
    );
    let wrong = BTreeMap::from([(Kind::Torque, unit("mm"))]);
    let passed =
        counterpart(&torque, System::Imperial, &wrong).map(|shown| shown.quantity().unit());
    assert_eq!(passed, Some(unit("lbf·ft")));
}

#[test]
fn conversion_keeps_the_form_and_refuses_another_kind() {
    let torque = quantity("180 N·m ± 10 N·m");
    let converted = convert(&torque, unit("lbf·ft")).expect("one kind");
    assert_eq!(converted, quantity("133 lbf·ft ± 7 lbf·ft"));
    assert_eq!(convert(&torque, unit("N·m")), Some(torque.clone()));
    // Torque and energy share their dimension, and are not the same.
    assert_eq!(unit("N·m").dimension(), unit("J").dimension());
    assert_eq!(convert(&torque, unit("J")), None);
    assert_eq!(convert(&quantity("30 K"), unit("°C")), None);
    assert_eq!(unit("MPa").kind(), unit("N/mm²").kind());
}

#[test]
fn limits_and_measured_values_compare_as_decimals() {
    let declared = quantity("23.0 mm +0/-5.6");
    let decimal = |text| Decimal::parse(text).expect(text);
    assert_eq!(
        declared.limits(),
        (Some(decimal("17.4")), Some(decimal("23")))
    );
    // 17.40 is on the limit, which in binary fractions 23.0 - 5.6 is not.
    assert_eq!(declared.admits(&decimal("17.40")), Some(true));
    assert_eq!(declared.admits(&decimal("17.39")), Some(false));
    assert_eq!(
        quantity("at most 0.05 mm").admits(&decimal("0.06")),
        Some(false)
    );
    assert_eq!(quantity("5 mm").admits(&decimal("5")), None);
}

#[test]
fn words_for_those_who_listen() {
    let cases = [
        ("180 N·m ± 10 N·m", "180 newton metres, plus or minus 10"),
        ("1 N·m", "1 newton metre"),
        ("18 mm +0.2/-0", "18 millimetres, plus 0.2, minus 0"),
        ("20..25 N·m", "20 to 25 newton metres"),
        ("-5 °C", "minus 5 degrees Celsius"),
        ("at most 0.05 mm", "at most 0.05 millimetres"),
        ("rise of 30 °C", "a difference of 30 degrees Celsius"),
        ("60 mm H7", "60 millimetres, tolerance class H7"),
        ("1 1/2 in", "1 and 1/2 inches"),
        ("3/4 turn", "3/4 turn"),
        ("12500 mm", "12500 millimetres"),
    ];
    for (text, spoken) in cases {
        assert_eq!(quantity(text).spoken(), spoken, "{text}");
    }
    let shown = counterpart(
        &quantity("180 N·m ± 10 N·m"),
        System::Imperial,
        &BTreeMap::new(),
    );
    assert_eq!(
        shown.map(|shown| shown.spoken()).as_deref(),
        Some("133 pound-feet, from 126 to 140")
    );
}

/// Every form of writing, what it is read as, and how it is set in a margin.
#[test]
fn texts_are_read_as_listed() {
    let rows = rows(include_str!("reference/quantity_texts.tsv"));
    assert!(rows.len() >= 90);
    for row in rows {
        let [text, form, kind, written, compact] = row[..] else {
            panic!("{row:?}")
        };
        let found = quantity(text);
        assert_eq!(format!("{:?}", found.form()), form, "{text}");
        assert_eq!(found.kind().words(), kind, "{text}");
        assert_eq!(
            found.written().replace(['\u{A0}', '\u{202F}'], " "),
            written,
            "{text}"
        );
        assert_eq!(
            found.compact().replace(['\u{A0}', '\u{202F}'], " "),
            compact,
            "{text}"
        );
        assert_eq!(
            Quantity::parse(&found.written()).as_ref(),
            Ok(&found),
            "{text}"
        );
    }
}

/// Every refusal: its kind, the words at fault, and the help.
#[test]
fn texts_are_refused_as_listed() {
    let rows = rows(include_str!("reference/quantity_refusals.tsv"));
    assert!(rows.len() >= 55);
    for row in rows {
        let [text, kind, fault, help] = row[..] else {
            panic!("{row:?}")
        };
        let error = Quantity::parse(text).expect_err(text);
        assert_eq!(format!("{:?}", error.kind), kind, "{text}");
        assert_eq!(&text[error.span.clone()], fault, "{text}");
        assert_eq!(error.help.as_deref().unwrap_or("-"), help, "{text}");
        assert!(!error.message.ends_with('.'), "{text}");
    }
    let long = "9".repeat(201);
    let error = Quantity::parse(&long).expect_err("too long");
    assert_eq!(
        (format!("{:?}", error.kind).as_str(), error.span),
        ("TooLong", 0..201)
    );
}

#[test]
fn a_unit_beside_the_box_may_be_left_out() {
    let read =
        |text: &str| Quantity::parse_with_unit(text, unit("mm")).map(|found| found.written());
    assert_eq!(read("17,43").as_deref(), Ok("17.43\u{A0}mm"));
    assert_eq!(read("18 +0.2/-0").as_deref(), Ok("18\u{A0}mm +0.2/−0"));
    assert_eq!(read("60 H7").as_deref(), Ok("60\u{A0}mm H7"));
    assert_eq!(read("6 thou").as_deref(), Ok("6\u{A0}thou"));
    let ratio = Quantity::parse_with_unit("0.15", unit("1")).expect("a plain number");
    assert_eq!(
        (ratio.form(), ratio.kind(), ratio.written()),
        (Form::Single, Kind::Ratio, "0.15".to_owned())
    );
}

/// What a workshop writes must be known under its usual symbol.
#[test]
fn the_units_of_the_trade_are_there() {
    let symbols = "µm|mm|cm|m|km|in|″|ft|yd|thou|mil|µin|mm²|in²|L|mL|US pt|US qt|US gal|US fl oz|imp pt|imp qt|\
        imp gal|imp fl oz|kg|g|lb|oz|t|N|kN|kgf|lbf|N·m|lbf·ft|lbf·in|kgf·m|kgf·cm|ozf·in|Pa|kPa|MPa|GPa|bar|\
        N/mm²|psi|rev/min|rad/s|m/s|km/h|mph|knot|W|kW|hp|PS|°C|°F|K|Δ°C|Δ°F|V|A|Ah|Ω|%|mm/m|µm/mm|°/m|turn|°|\
        arcmin|rad|h|min|s|day|month|year|L/min|mPa·s|mm²/s|cSt|dB(A)|Shore A|J|N/mm|kg/m³|1";
    for symbol in symbols.split('|') {
        assert!(Unit::find(symbol).is_some(), "{symbol}");
    }
}
