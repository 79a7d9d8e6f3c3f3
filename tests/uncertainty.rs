//! The propagation of uncertainty against a published library and against random draws, and the worst case at limits.

#[path = "support/calculators.rs"]
mod calculators;

use std::collections::BTreeMap;

use calculators::{given, plain, reference, run, shown, sound};
use fettlebook::calculator::{self, Definition, GivenValue, MOST_TOLERANCED, Sheet, State, Worst};
use fettlebook::formula::{Input, Value};
use fettlebook::quantity::{Quantity, Unit};
use fettlebook::standards;

/// How near to the library's doubles the results must be, in proportion.
const SAME: f64 = 1e-9;

#[test]
fn values_and_uncertainties_agree_with_the_published_library() {
    let text = include_str!("reference/uncertainty.tsv");
    let mut definitions: BTreeMap<String, Definition> = BTreeMap::new();
    let mut checked = 0;
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let [name, values, step, value, standard] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("{line}");
        };
        let definition = definitions
            .entry(name.to_owned())
            .or_insert_with(|| reference(name));
        let sheet = run(definition, values);
        let amount = sheet
            .step(step)
            .and_then(|line| line.amount())
            .unwrap_or_else(|| panic!("{line}"));
        let (value, standard): (f64, f64) =
            (value.parse().expect(line), standard.parse().expect(line));
        // A small difference of two sizes carries the noise of both.
        let noise = 1e-15 * if value.abs() < 1e-3 { 1.0 } else { value.abs() };
        assert!(
            (amount.value - value).abs() <= SAME * value.abs() + noise,
            "{line}: {}",
            amount.value
        );
        let expanded = amount.expanded.unwrap_or(0.0);
        assert!(
            (expanded - 2.0 * standard).abs() <= SAME * standard + 1e-18,
            "{line}: {expanded}"
        );
        checked += 1;
    }
    assert!(checked >= 30, "{checked} rows");
}

/// A small generator of even and normal random numbers (xorshift64*, Vigna 2016; Box and Muller 1958), with a fixed seed.
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let bits = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        bits as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (2.0 * std::f64::consts::PI * self.even()).cos()
    }
}

/// Mean and standard deviation of each step over draws of normal inputs.
fn draw(definition: &Definition, values: &str, draws: usize) -> Vec<(f64, f64)> {
    let inputs: Vec<(f64, f64)> = definition
        .inputs
        .iter()
        .map(|input| {
            let pair = values
                .split(';')
                .map(str::trim)
                .find(|pair| pair.starts_with(&format!("{}=", input.id.value)));
            let text = pair
                .and_then(|pair| pair.split_once('='))
                .expect("a value")
                .1;
            let quantity = Quantity::parse_with_unit(text, input.unit().expect("a number"))
                .expect("a quantity");
            let si = |value: f64| quantity.unit().to_si(value);
            let nominal = quantity.nominal().expect("a nominal").to_double();
            let half = quantity
                .limits()
                .1
                .map_or(0.0, |high| high.to_double() - nominal);
            (si(nominal), (si(nominal + half) - si(nominal)) / 2.0)
        })
        .collect();
    let mut dice = Dice(20_261_102);
    let mut sums = vec![(0.0, 0.0); definition.steps.len()];
    let mut first: Vec<f64> = Vec::new();
    for _ in 0..draws {
        let arguments: Vec<Input> = inputs
            .iter()
            .map(|(value, standard)| Input::Number(value + standard * dice.normal()))
            .collect();
        let result = definition.program.run(&arguments, standards::tables());
        let values: Vec<f64> = result
            .steps
            .iter()
            .map(|step| match step {
                Ok(Value::Number { value, .. }) => *value,
                other => panic!("{other:?}"),
            })
            .collect();
        if first.is_empty() {
            first.clone_from(&values);
        }
        for ((sum, squares), (value, origin)) in sums.iter_mut().zip(values.iter().zip(&first)) {
            *sum += value - origin;
            *squares += (value - origin) * (value - origin);
        }
    }
    let count = draws as f64;
    let finish = |((sum, squares), origin): (&(f64, f64), &f64)| {
        let mean = sum / count;
        (
            origin + mean,
            ((squares / count - mean * mean) * count / (count - 1.0))
                .max(0.0)
                .sqrt(),
        )
    };
    sums.iter().zip(&first).map(finish).collect()
}

/// The propagated value and standard uncertainty of each step against random draws: within four standard errors (of the
/// mean: s/√n; of the deviation: s/√(2n), normal), and what a curved formula may add at second order, 0.2 % of s.
fn agree_with_draws(name: &str, values: &str) {
    const DRAWS: usize = 60_000;
    let definition = reference(name);
    let sheet = run(&definition, values);
    for (line, (mean, deviation)) in sheet.steps.iter().zip(draw(&definition, values, DRAWS)) {
        let amount = line.amount().expect("a number");
        let standard = amount.expanded.unwrap_or(0.0) / 2.0;
        let error = standard / (2.0 * DRAWS as f64).sqrt();
        let allowed = 4.0 * error + 0.002 * standard + 1e-14 * amount.value.abs();
        assert!(
            (deviation - standard).abs() <= allowed,
            "{name} {}: {standard} but drawn {deviation}",
            line.id
        );
        let allowed =
            4.0 * standard / (DRAWS as f64).sqrt() + 0.02 * standard + 1e-14 * amount.value.abs();
        assert!(
            (mean - amount.value).abs() <= allowed,
            "{name} {}: {} but drawn {mean}",
            line.id,
            amount.value
        );
    }
}

#[test]
fn plain_arithmetic_agrees_with_random_draws() {
    agree_with_draws(
        "spread-plain",
        "a=60.061 mm ± 0.004 mm; b=60.012 mm ± 0.003 mm; n=1.5 ± 0.02",
    );
}

#[test]
fn functions_agree_with_random_draws() {
    agree_with_draws(
        "spread-curved",
        "x=0.8 ± 0.01; y=2.5 ± 0.03; t=30 ° ± 0.5 °",
    );
}

#[test]
fn a_whole_joint_agrees_with_random_draws() {
    agree_with_draws(
        "spread-ring",
        "hole=60.012 mm ± 0.0004 mm; shaft=60.061 mm ± 0.0004 mm; outer=100 mm ± 0.1 mm; bore=28 mm ± 0.05 mm; \
         length=40 mm ± 0.2 mm; modulus=205 GPa ± 2 GPa; poisson=0.3 ± 0.005; friction=0.14 ± 0.002; shop=18 °C ± 1 °C; \
         expansion=11.5 µm/(m·K) ± 0.1 µm/(m·K)",
    );
}

const SIDES: &str = "
id: sides
title: Two sides
purpose: For limits.
inputs:
  - {id: a, name: One side, unit: mm, from: 0 mm, to: 100 mm, example: 10 mm, spread: tolerance}
  - {id: b, name: Other side, unit: mm, from: 0 mm, to: 100 mm, example: 20 mm, spread: tolerance}
  - {id: m, name: Measured, unit: mm, from: 0 mm, to: 100 mm, default: 1 mm}
steps:
  - {id: gap, name: Gap, unit: mm, formula: b - a + m}
  - {id: area, name: Area, unit: mm², formula: a * b}
  - {id: root, name: Root, unit: mm, formula: 'sqrt(a^2 - 81 [mm²])'}
  - {id: only, name: Measured alone, unit: mm, formula: m}
outputs: [gap, {id: area, unit: cm²}, root, only]
checks:
  - {when: 'gap < 10.9 [mm]', signal: warning, say: 'The gap of {gap} between {a} and {b} is too small.'}
  - {when: 'gap > 50 [mm]', signal: danger, say: 'The gap of {gap} is far too large.'}
cases:
  - {source: worked with pen and paper, given: {a: 10 mm, b: 20 mm}, expect: {gap: 11 mm, area: 200 mm²}}
";

fn worst(sheet: &Sheet, id: &str) -> String {
    match sheet
        .step(id)
        .and_then(|line| line.amount())
        .and_then(|amount| amount.worst.clone())
    {
        None => "none".to_owned(),
        Some(Worst::Between { shown, .. }) => plain(&shown.written()),
        Some(Worst::Unknown(reason)) => reason,
    }
}

#[test]
fn limits_give_the_worst_case_and_no_uncertainty() {
    let sheet = run(&sound(SIDES), "a=10 mm +0.2/-0; b=20 mm ± 0.1 mm");
    // By hand: 20 − 10 + 1; least 19.9 − 10.2 + 1, most 20.1 − 10 + 1.
    assert_eq!(shown(&sheet, "gap"), "11.00 mm");
    assert_eq!(worst(&sheet, "gap"), "10.70–11.10 mm");
    // By hand: 10 × 19.9 and 10.2 × 20.1, outwards.
    assert_eq!(worst(&sheet, "area"), "199.0–205.1 mm²");
    assert_eq!(worst(&sheet, "only"), "none");
    assert!(
        sheet
            .steps
            .iter()
            .all(|line| line.amount().is_none_or(|amount| amount.expanded.is_none()))
    );
    let area = &sheet.outputs[1];
    assert_eq!(plain(&area.text()), "2.000 cm²");
}

#[test]
fn a_check_that_is_raised_only_at_the_limits_says_so_with_the_values_there() {
    let sheet = run(&sound(SIDES), "a=10 mm +0.2/-0; b=20 mm ± 0.1 mm");
    let verdict = &sheet.checks[0];
    assert_eq!(verdict.state, State::AtLimits);
    assert_eq!(
        plain(&verdict.text),
        "The gap of 10.70 mm between 10.2 mm and 19.9 mm is too small."
    );
    assert_eq!(sheet.checks[1].state, State::Clear);
    assert_eq!(sheet.gravest(), Some(calculator::Signal::Warning));
}

#[test]
fn a_limit_where_nothing_can_be_worked_out_is_told() {
    let sheet = run(&sound(SIDES), "a=9.05 mm ± 0.1 mm; b=20 mm");
    let reason = worst(&sheet, "root");
    assert!(reason.starts_with("at one end of the limits: "), "{reason}");
}

#[test]
fn a_range_stands_for_its_middle_and_a_measured_one_for_its_half_width() {
    let sheet = run(&sound(SIDES), "a=9.8..10.2 mm; b=20 mm; m=1.0..1.2 mm");
    // By hand: 20 − 10 + 1.1 with U = 0.1; at the limits 10.9 and 11.3.
    assert_eq!(shown(&sheet, "gap"), "11.10 mm ± 0.10 mm");
    assert_eq!(worst(&sheet, "gap"), "10.90–11.30 mm");
    let reading = |id: &str| {
        sheet
            .given
            .iter()
            .find(|given| given.id == id)
            .and_then(|given| given.reading.clone())
    };
    assert_eq!(
        reading("a").as_deref(),
        Some("its middle taken, its ends read as limits")
    );
    assert_eq!(
        reading("m").as_deref(),
        Some("its middle taken, half its width read as expanded uncertainty, k = 2")
    );
}

#[test]
fn too_many_limits_are_refused_with_the_reason() {
    let ids: Vec<String> = (0..=MOST_TOLERANCED)
        .map(|index| format!("x{index}"))
        .collect();
    let inputs: Vec<String> = ids
        .iter()
        .map(|id| format!("  - {{id: {id}, name: Value, unit: mm, from: 0 mm, to: 9 mm, example: 1 mm, spread: tolerance}}\n"))
        .collect();
    let text = format!(
        "id: many\ntitle: Many\npurpose: For limits.\ninputs:\n{}steps:\n  - {{id: sum, name: Sum, unit: mm, formula: {}}}\n\
         outputs: [sum]\ncases: [{{source: by hand, given: {{{}}}, expect: {{sum: 13 mm}}}}]\n",
        inputs.concat(),
        ids.join(" + "),
        ids.iter()
            .map(|id| format!("{id}: 1 mm"))
            .collect::<Vec<_>>()
            .join(", ")
    );
    let definition = sound(&text);
    let all: Vec<String> = ids.iter().map(|id| format!("{id}=1 mm ± 0.1 mm")).collect();
    let reason = worst(&run(&definition, &all.join(";")), "sum");
    assert_eq!(
        reason,
        "13 inputs have limits; the worst case tries every combination of at most 12"
    );
    let twelve = format!("{}; x12=1 mm", all[..MOST_TOLERANCED].join(";"));
    // By hand: 13 ± 1.2.
    assert_eq!(worst(&run(&definition, &twelve), "sum"), "11.80–14.20 mm");
}

#[test]
fn the_value_ends_at_the_place_of_its_uncertainty() {
    let definition = reference("spread-plain");
    // Written values and U; shown by JCGM 100:2008, 7.2.6: U to two digits, the value to the same place.
    let cases = [
        (
            "a=60.061 mm ± 0.004 mm; b=60.012 mm ± 0.003 mm; n=1.5",
            "49.0 µm ± 5.0 µm",
        ),
        (
            "a=60.061 mm ± 0.000996 mm; b=60.012 mm; n=1.5",
            "49.0 µm ± 1.0 µm",
        ),
        ("a=60.061 mm ± 1 mm; b=60.012 mm; n=1.5", "0 µm ± 1000 µm"),
        (
            "a=900 mm ± 123.456 mm; b=0 mm; n=1.5",
            "900 000 µm ± 120 000 µm",
        ),
        (
            "a=60.061 mm ± 0.0000123 mm; b=60.012 mm; n=1.5",
            "49.000 µm ± 0.012 µm",
        ),
        ("a=60.061 mm; b=60.012 mm; n=1.5 ± 0.1", "49.00 µm"),
    ];
    for (values, expected) in cases {
        assert_eq!(
            shown(&run(&definition, values), "difference"),
            expected,
            "{values}"
        );
    }
}

#[test]
fn shares_add_up_and_name_the_input_that_matters() {
    let definition = reference("spread-ring");
    let sheet = run(
        &definition,
        "hole=60.012 mm ± 0.004 mm; shaft=60.061 mm ± 0.002 mm; outer=100 mm; bore=28 mm; length=40 mm; modulus=205 GPa; \
         poisson=0.3; friction=0.14 ± 0.02; shop=18 °C; expansion=11.5 µm/(m·K)",
    );
    let shares = |id: &str| {
        sheet
            .step(id)
            .and_then(|line| line.amount())
            .expect("a number")
            .shares
            .clone()
    };
    for id in ["tight", "pressure", "torque", "oven"] {
        let sum: f64 = shares(id).iter().map(|(_, share)| share).sum();
        assert!((sum - 1.0).abs() < 1e-12, "{id}: {sum}");
        assert!(
            shares(id).is_sorted_by(|one, other| one.1 >= other.1),
            "{id}"
        );
    }
    // By hand: 4² and 2² of 20.
    assert!((shares("tight")[0].1 - 0.8).abs() < 1e-9 && shares("tight")[0].0 == "hole");
    assert_eq!(shares("torque")[0].0, "friction");
}

#[test]
fn a_figure_declared_elsewhere_is_given_with_its_source() {
    let definition = sound(SIDES);
    let mut values = given("a=10 mm");
    let declared = Quantity::parse("20 mm ± 0.1 mm").expect("a quantity");
    values.insert(
        "b".to_owned(),
        GivenValue::declared(declared).from_source("fit 3 of J-02"),
    );
    let sheet = calculator::run(&definition, standards::tables(), &values).expect("values");
    assert_eq!(sheet.given[1].source.as_deref(), Some("fit 3 of J-02"));
    assert_eq!(worst(&sheet, "gap"), "10.90–11.10 mm");
    assert!(sheet.given[2].assumed && !sheet.given[1].assumed);
    assert_eq!(sheet.outputs[0].id, "gap");
    assert!(
        Unit::find("mm")
            .is_some_and(|unit| sheet.outputs[0].value.is_ok() && unit.symbol() == "mm")
    );
}
