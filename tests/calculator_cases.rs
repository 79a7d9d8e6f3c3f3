//! Published cases through the calculators: every value of `reference/cases.json` is met, with the tolerance given there.
//!
//! `reference/case_map.csv` tells which step of which calculator answers a value. Most are steps of the built-in
//! calculators; what those do not work out (degrees of freedom, a radial interference, a bolt's turn) is answered by small
//! calculators in `reference/calculators`, which show the formulas to be right and are not shipped. The given values
//! stand in the calculators' own cases, because the published ones have other names, units, or a radius for a diameter.

use std::collections::BTreeMap;
use std::path::Path;

use fettlebook::calculator::{self, Definition, GivenValue, Outcome, Sheet};
use fettlebook::quantity::Unit;
use fettlebook::standards::tables;
use fettlebook::text::{SitePath, Source};
use serde_json::Value;

/// Where a published value is answered.
struct Answer {
    case: String,
    symbol: String,
    calculator: String,
    /// How the name of the calculator's own case begins.
    starts: String,
    step: String,
    /// The value, or which measure of its uncertainty.
    what: String,
}

fn answers() -> Vec<Answer> {
    let mut reader =
        csv::ReaderBuilder::new().from_reader(include_bytes!("reference/case_map.csv").as_slice());
    let answer = |record: csv::StringRecord| {
        let mut fields = record.iter().map(str::to_owned);
        let mut field = || fields.next().expect("six fields");
        Answer {
            case: field(),
            symbol: field(),
            calculator: field(),
            starts: field(),
            step: field(),
            what: field(),
        }
    };
    reader
        .records()
        .map(|record| answer(record.expect("a row")))
        .collect()
}

/// The published cases by id.
fn published() -> BTreeMap<String, Value> {
    let cases: Vec<Value> =
        serde_json::from_str(include_str!("reference/cases.json")).expect("cases");
    cases
        .into_iter()
        .map(|case| (case["id"].as_str().expect("an id").to_owned(), case))
        .collect()
}

/// The calculators of `reference/calculators`, by id.
fn reference_calculators() -> BTreeMap<String, Definition> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/calculators");
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let text = std::fs::read_to_string(&path).expect("a text");
        let source = Source::new(SitePath::parse(&name).expect("a path"), text);
        let mut problems = Vec::new();
        let definition = calculator::read(&source, tables(), &mut problems);
        assert!(problems.is_empty(), "{name}: {problems:#?}");
        let definition = definition.unwrap_or_else(|| panic!("{name} cannot be read"));
        assert_eq!(name, format!("{}.yaml", definition.id.value));
        found.insert(definition.id.value.clone(), definition);
    }
    found
}

/// The calculator's own case whose name begins so, run.
fn run_case(definition: &Definition, starts: &str) -> Sheet {
    let case = definition.cases.iter().find(|case| {
        case.name
            .as_ref()
            .is_some_and(|name| name.starts_with(starts))
    });
    let case = case.unwrap_or_else(|| panic!("{} has no case {starts}", definition.id.value));
    let given: BTreeMap<String, GivenValue> = case
        .given
        .iter()
        .map(|(id, value)| (id.clone(), GivenValue::typed(&value.value)))
        .collect();
    let sheet = calculator::run(definition, tables(), &given);
    let sheet = sheet.unwrap_or_else(|errors| panic!("{starts}: {errors:#?}"));
    assert_eq!(sheet.refused, None, "{starts}");
    sheet
}

/// A published value with its tolerance, in the coherent SI unit; units are written as in the file. Of a list, the value
/// at `place`.
fn wanted(expected: &Value, place: usize) -> (f64, f64) {
    let number = |field: &str| {
        let of_list = expected[field].get(place).and_then(Value::as_f64);
        of_list.or(expected[field].as_f64()).unwrap_or(0.0)
    };
    let written = expected["unit"].as_str().expect("a unit");
    let (value, size, zero) = match written {
        "nm" => (number("value") * 1e-9, 1e-9, 0.0),
        _ => {
            let unit =
                Unit::find(&spelling(written)).unwrap_or_else(|| panic!("no unit {written}"));
            (
                unit.to_si(number("value")),
                unit.to_si(1.0) - unit.to_si(0.0),
                unit.to_si(0.0),
            )
        }
    };
    (
        value,
        f64::max(
            number("rel_tol") * (value - zero).abs(),
            number("abs_tol") * size,
        ),
    )
}

/// A unit of the file in the words of this program.
fn spelling(written: &str) -> String {
    match written {
        "um" => "µm".to_owned(),
        "degree" => "°".to_owned(),
        "delta_degC" => "K".to_owned(),
        "mm^2" => "mm²".to_owned(),
        other => other.replace('*', "·").replace("inch", "in"),
    }
}

#[test]
fn published_values_are_met() {
    let (published, own) = (published(), reference_calculators());
    let mut failures = Vec::new();
    let mut places: BTreeMap<(String, String), usize> = BTreeMap::new();
    for answer in answers() {
        // The rows of a list stand in its order.
        let place = places
            .entry((answer.case.clone(), answer.symbol.clone()))
            .or_default();
        *place += 1;
        let place = *place - 1;
        let definition = calculator::builtin()
            .get(&answer.calculator)
            .or_else(|| own.get(&answer.calculator));
        let definition =
            definition.unwrap_or_else(|| panic!("no calculator {}", answer.calculator));
        let sheet = run_case(definition, &answer.starts);
        let line = sheet
            .step(&answer.step)
            .unwrap_or_else(|| panic!("{} lacks {}", answer.case, answer.step));
        let expected = &published[&answer.case]["expect"][&answer.symbol];
        let amount = match &line.value {
            Ok(Outcome::Number(amount)) => amount,
            Ok(Outcome::Text(text)) if answer.what.starts_with("says ") => {
                assert_eq!(expected["value"], true, "{}", answer.case);
                assert_eq!(format!("says {text}"), answer.what, "{}", answer.case);
                continue;
            }
            Ok(Outcome::Text(text)) => {
                assert_eq!(
                    Some(text.as_str()),
                    expected["value"]
                        .as_str()
                        .map(|kind| format!("{kind} fit"))
                        .as_deref()
                );
                continue;
            }
            other => panic!("{} {}: {other:?}", answer.case, answer.symbol),
        };
        let expanded = || amount.expanded.unwrap_or(0.0);
        let got = match answer.what.as_str() {
            "value" => amount.value,
            "expanded" => expanded(),
            "standard" => expanded() / 2.0,
            "relative" => expanded() / amount.value,
            other => panic!("{other} is nothing to compare"),
        };
        let (value, within) = wanted(expected, place);
        // The last places of doubles are no difference.
        if (got - value).abs() > within + 1e-12 * value.abs() {
            failures.push(format!(
                "{} {}: {got} and not {value}, {}",
                answer.case,
                answer.symbol,
                got / value - 1.0
            ));
        }
    }
    assert!(failures.is_empty(), "{failures:#?}");
}

/// Every published value has its row, every value of a list its own; the orders of tightening (l-03) are met in
/// `drawings.rs`.
#[test]
fn no_published_value_is_left_out() {
    let mut answered: BTreeMap<(String, String), usize> = BTreeMap::new();
    for answer in answers() {
        *answered.entry((answer.case, answer.symbol)).or_default() += 1;
    }
    let mut wanted = BTreeMap::new();
    for (id, case) in published()
        .into_iter()
        .filter(|(id, _)| !id.starts_with("l-03"))
    {
        for (symbol, expected) in case["expect"].as_object().expect("expected values") {
            let count = expected["value"].as_array().map_or(1, Vec::len);
            wanted.insert((id.clone(), symbol.clone()), count);
        }
    }
    let missing: Vec<_> = wanted
        .iter()
        .filter(|(value, count)| answered.get(*value) != Some(count))
        .collect();
    let unknown: Vec<_> = answered
        .keys()
        .filter(|value| !wanted.contains_key(*value))
        .collect();
    assert!(
        missing.is_empty() && unknown.is_empty(),
        "missing {missing:?}, unknown {unknown:?}"
    );
    let count: usize = wanted.values().sum();
    println!("{} published cases, {count} values", published().len());
    assert_eq!((published().len(), count), (97, 317));
}

#[test]
fn reference_calculators_give_their_own_cases() {
    for definition in reference_calculators().values() {
        let failures = calculator::prove(definition, tables());
        assert!(
            failures.is_empty(),
            "{}: {failures:#?}",
            definition.id.value
        );
    }
}

/// JCGM 100:2008: a bore gauge set on a 25.002 mm ring. Ring 0.5 µm, repeat and step 1.15 µm on each reading, warmth
/// 0.14 µm, all standard: 3.4 µm expanded.
#[test]
fn a_comparator_reading_has_its_uncertainty() {
    let sheet = run_case(&calculator::builtin()["comparator-reading"], "Ring 25.002");
    let size = sheet
        .step("size")
        .and_then(|line| line.amount())
        .expect("a size");
    assert!((size.expanded.expect("an uncertainty") - 3.415e-6).abs() < 1e-9);
    assert!(size.shares[0].0.starts_with("reading"), "{:?}", size.shares);
}

/// The worst case of a declared torque is at the end of its band: 190 N·m at K = 0.12 on 20 mm is 48.6 % of proof.
#[test]
fn the_band_of_a_torque_reaches_the_worst_case() {
    let sheet = run_case(
        &calculator::builtin()["bolt-tightening"],
        "Coupling nut, oiled",
    );
    let share = sheet
        .step("share_most")
        .and_then(|line| line.amount())
        .expect("a share");
    let Some(calculator::Worst::Between { high, .. }) = share.worst else {
        panic!("{:?}", share.worst)
    };
    assert!((high - 0.486).abs() < 0.001, "{high}");
}

/// Every built-in calculator has three cases of its own at least, and further ones that it refuses and warns of.
#[test]
fn built_in_calculators_have_cases() {
    for definition in calculator::builtin().values() {
        let answered = definition
            .cases
            .iter()
            .filter(|case| !case.expect.is_empty());
        assert!(answered.count() >= 3, "{}", definition.id.value);
        assert!(
            definition.cases.iter().any(|case| case.refuses.is_some()),
            "{}: no case is refused",
            definition.id.value
        );
        assert!(
            definition.cases.iter().any(|case| case.raises.is_some()),
            "{}: no case raises a check",
            definition.id.value
        );
        assert!(
            definition.hazards.is_sorted_by_key(|hazard| hazard.signal),
            "{}: hazards, gravest first",
            definition.id.value
        );
    }
}

/// A torque with its band by nut factor.
fn by_nut_factor(thread: &str, class: &str, condition: &str, torque: String) -> Sheet {
    let given = [
        ("torque", torque),
        ("thread", thread.to_owned()),
        ("class", class.to_owned()),
        ("condition", condition.to_owned()),
        ("method", "factor".to_owned()),
    ];
    let given = given.map(|(id, text)| (id.to_owned(), GivenValue::typed(text)));
    calculator::run(
        &calculator::builtin()["bolt-tightening"],
        tables(),
        &given.into(),
    )
    .expect("a sheet")
}

/// Torques by nut factor, worked out apart: clamp = torque / (K d), share = clamp / (stress area × proof stress); the
/// worst case takes the upper end of the band and the least K. The K are common practice, no source.
#[test]
fn torques_use_the_share_of_proof_that_was_worked_out_apart() {
    let text = include_bytes!("reference/torque_shares.csv");
    let mut seen = 0;
    for record in csv::ReaderBuilder::new()
        .from_reader(text.as_slice())
        .records()
    {
        let record = record.expect("a row");
        let fields: Vec<&str> = record.iter().collect();
        let [
            thread,
            class,
            condition,
            torque,
            band,
            preload,
            share,
            worst,
        ] = fields[..]
        else {
            panic!("{record:?}")
        };
        let sheet = by_nut_factor(
            thread,
            class,
            condition,
            format!("{torque} N·m ± {band} N·m"),
        );
        let amount = |step: &str| {
            sheet
                .step(step)
                .and_then(|line| line.amount())
                .expect("a number")
        };
        assert_eq!(
            format!("{:.1}", amount("preload").value / 1e3),
            preload,
            "{record:?}"
        );
        assert_eq!(
            format!("{:.0}", amount("share").value * 100.0),
            share,
            "{record:?}"
        );
        let Some(calculator::Worst::Between { high, .. }) = amount("share_most").worst else {
            panic!("{record:?}")
        };
        assert_eq!(format!("{:.0}", high * 100.0), worst, "{record:?}");
        seen += 1;
    }
    assert_eq!(seen, 31);
}
