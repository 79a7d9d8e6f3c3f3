//! Calculators: definitions, runs, sheets, runs backwards, sweeps, pictures.

#[path = "support/calculators.rs"]
mod calculators;

use std::collections::BTreeMap;

use calculators::{given, plain, read, reference, run, shown, sound};
use fettlebook::calculator::{
    self, Definition, GivenErrorKind, GivenValue, Outcome, Range, State, Worst, builtin,
};
use fettlebook::diagnostic::Diagnostic;
use fettlebook::standards;
use proptest::prelude::*;

fn built_in(id: &str) -> &'static Definition {
    builtin().get(id).unwrap_or_else(|| panic!("no {id}"))
}

#[test]
fn built_in_calculators_have_no_problem_and_give_their_published_results() {
    let (definitions, problems) = calculator::read_builtin();
    let mut found: Vec<String> = problems.iter().map(describe).collect();
    for definition in definitions.values() {
        assert!(
            !definition.cases.is_empty(),
            "{} has no case",
            definition.id.value
        );
        let failures = calculator::prove(definition, standards::tables());
        found.extend(failures.iter().map(describe));
    }
    assert!(found.is_empty(), "{found:#?}");
    let ids: Vec<&str> = definitions.keys().map(String::as_str).collect();
    assert_eq!(
        ids,
        [
            "assembly-temperature",
            "backlash",
            "bearing-fit",
            "belt-length",
            "bolt-circle",
            "bolt-tightening",
            "chain-drive",
            "comparator-reading",
            "drilling-and-tapping",
            "end-float-shims",
            "gear-train",
            "interference-joint",
            "limits-and-fits",
            "lip-seal",
            "measured-fit",
            "mixed-metal-service",
            "nut-draw-on",
            "o-ring-gland",
            "pin-and-key-torque",
            "seat-check",
            "shrink-fit-reuse",
            "size-at-20",
            "sling-loads",
            "spline-torque",
            "taper-pin-depth",
            "thread-engagement",
            "through-nut-joint",
            "torque-and-angle",
            "unit-conversion",
            "wrench-adaptor",
        ]
    );
}

fn describe(problem: &Diagnostic) -> String {
    let sources = calculator::builtin_sources();
    let source = sources
        .iter()
        .find(|source| *source.path() == *problem.at.file);
    let place = source.map(|source| source.place(problem.at.span.start));
    let line = place.map_or(0, |place| place.line);
    let help = problem.help.as_deref().unwrap_or("");
    format!(
        "{}:{line}: {} [{}] {help}",
        problem.at.file, problem.message, problem.rule.name
    )
}

#[test]
fn built_in_examples_run_and_their_plots_have_a_curve() {
    for definition in builtin().values() {
        let values = calculator::example(definition);
        let sheet = calculator::run(definition, standards::tables(), &values)
            .expect("examples can be read");
        assert_eq!(sheet.refused, None, "{}", definition.id.value);
        for plot in &definition.plots {
            let curve = calculator::curve(definition, standards::tables(), &values, plot, 21)
                .expect("examples");
            let curve = curve.unwrap_or_else(|| panic!("{}: {plot:?}", definition.id.value));
            assert!(
                curve.points.iter().any(|point| point.y.is_some()),
                "{}: {}",
                definition.id.value,
                curve.name
            );
        }
    }
}

/// Every figure of a sheet, `id text`.
fn figures(definition: &Definition, values: &str) -> Vec<String> {
    let sheet = run(definition, values);
    assert_eq!(sheet.refused, None);
    sheet
        .outputs
        .iter()
        .map(|output| format!("{} {}", output.id, plain(&output.text())))
        .collect()
}

#[test]
fn the_sheet_of_a_fit_says_what_the_standard_says() {
    // ISO 286-2:2010: 60 H7 is 0/+30 µm, 60 s6 is +53/+72 µm; the fit by the definitions of ISO 286-1:2010.
    assert_eq!(
        figures(
            built_in("limits-and-fits"),
            "nominal=60; hole_class=H7; shaft_class=s6"
        ),
        [
            "kind interference fit",
            "clearance_most −23.00 µm",
            "clearance_least −72.00 µm",
            "tight_most 72.00 µm",
            "tight_least 23.00 µm",
            "hole_most 60.0300 mm",
            "hole_least 60.0000 mm",
            "shaft_most 60.0720 mm",
            "shaft_least 60.0530 mm",
        ]
    );
}

#[test]
fn the_sheet_of_a_shrink_fit_agrees_with_the_sum_by_hand() {
    let sheet = run(
        built_in("interference-joint"),
        "hole=60.000 mm; shaft=60.072 mm; shaft_bore=28 mm; hub_outer=100 mm; length=40 mm; hub_modulus=205 GPa; \
         shaft_modulus=205 GPa; friction=0.12; drop_clearance=58 µm; oven_limit=250 °C",
    );
    // By hand: 72 µm; 130 µm / (11.5 µm/(m·K) × 60 mm) = 188.4 K over 20 °C; Lamé worked again with a separate program.
    let expected = [
        ("tight", "72.0 µm"),
        ("pressure", "66.8 MPa"),
        ("hub_hoop", "142 MPa"),
        ("bore_closing", "23.3 µm"),
        ("rise", "188.4 K"),
        ("oven", "208.4 °C"),
        ("oven_set", "210 °C"),
    ];
    for (id, text) in expected {
        assert_eq!(shown(&sheet, id), text, "{id}");
    }
    let oven = sheet
        .outputs
        .iter()
        .find(|output| output.id == "oven")
        .expect("an answer");
    assert_eq!(plain(&oven.text()), "210 °C");
    assert_eq!(
        oven.rounding.as_deref().map(plain).as_deref(),
        Some("rounded up to the next 5 °C")
    );
}

#[test]
fn the_sheet_of_a_comparison_agrees_with_the_sum_by_hand() {
    let sheet = run(
        built_in("comparator-reading"),
        "setting=25.002 mm ± 0.001 mm; reading_setting=0 mm ± 0.0023 mm; reading=0.014 mm ± 0.0023 mm; warmer=0 K ± 1 K; \
         least=25.000 mm; most=25.021 mm",
    );
    // By hand: 25.002 + 0.014; √(1² + 2.3² + 2.3² + (25.002 × 11.5e-6 × 1 K = 0.29 µm)²) = 3.41 µm.
    assert_eq!(shown(&sheet, "size"), "25.0160 mm ± 0.0034 mm");
    assert_eq!(shown(&sheet, "verdict"), "inside the limits");
}

const RING: &str = include_str!("reference/calculators/ring-heat.yaml");

#[test]
fn every_printed_figure_of_a_whole_sheet() {
    let definition = sound(RING);
    let sheet = run(
        &definition,
        "hole=60.012 mm ± 0.004 mm; shaft=60.061 mm ± 0.004 mm; shop=12 °C; expansion=11..12 µm/(m·K)",
    );
    // By hand: 49 µm, U = √(4² + 4²) = 5.657 µm; 107 µm / (11.5e-6 × 60.012 mm) = 155.04 K, U = 5.657 µm / 0.69014 µm/K =
    // 8.20 K (the ring's own size adds 0.01); 12 + 155.04, up to 170; at the limits 107 / 0.720144 = 148.58 K and
    // 107 / 0.660132 = 162.09 K.
    let expected = "\
Heat a ring until it drops on

Given
  D_h     Bore of the ring       60.012 mm ± 0.004 mm (± read as expanded uncertainty, k = 2)
  d_s     Seat of the hub        60.061 mm ± 0.004 mm (± read as expanded uncertainty, k = 2)
          Room to drop on        58 µm (assumed)
  T_0     Shop temperature       12 °C
  α       Expansion of the ring  11–12 µm/(m·K) (its middle taken, its ends read as limits)

Worked out
  U       Interference         49.0 µm ± 5.7 µm
          tight = shaft - hole [geometry]
  ΔT      Rise of temperature  155.0 K ± 8.2 K
          rise = (tight + room) / (expansion * hole) [expansion]
  T       Oven temperature     167.0 °C ± 8.2 °C
          oven = shop + rise

Where the formulas come from
  - geometry: Definition
  - expansion: Linear thermal expansion

Taken for granted
  - The ring is one temperature throughout.

What can hurt
  WARNING  The hot ring burns at a touch. Wear gloves.

Checks
  2 made, nothing to say

Answers
  T       Oven temperature     170 °C (167.0 °C ± 8.2 °C, rounded up to the next 5 °C)
            worst case at the limits: 160.5–174.1 °C
            its uncertainty comes from hole 50 %, shaft 50 %
  ΔT      Rise of temperature  155.0 K ± 8.2 K
            worst case at the limits: 148.5–162.1 K
            its uncertainty comes from hole 50 %, shaft 50 %
  U       Interference         49.0 µm ± 5.7 µm
            its uncertainty comes from hole 50 %, shaft 50 %
  ± is an expanded uncertainty, k = 2: about 95 % of results lie within it.
";
    assert_eq!(calculator::sheet_text(&definition, &sheet), expected);
}

#[test]
fn json_has_its_promised_shape() {
    let definition = sound(RING);
    let sheet = run(
        &definition,
        "hole=60.012 mm ± 0.004 mm; shaft=60.061 mm ± 0.004 mm; room=200 µm",
    );
    // By hand: 249 µm / 0.690138 µm/K = 360.80 K over 20 °C, above the 250 °C that raise the warning.
    let expected = serde_json::json!({
        "calculator": "ring-heat",
        "results": {
            "tight": {"value": 49.0, "unit": "µm", "text": "49.0 µm", "uncertainty": 5.656_854_249_49},
            "rise": {"value": 360.797_405_736, "unit": "K", "text": "360.8 K", "uncertainty": 8.213_722_506_22},
            "oven": {"value": 380.797_405_736, "unit": "°C", "text": "385 °C", "uncertainty": 8.213_722_506_22},
        },
        "checks": [{"signal": "warning", "text": "The oven at 385 °C is above the 250 °C that the ring bears."}],
        "refused": null,
    });
    let found = calculator::sheet_json(&sheet);
    for (id, result) in expected["results"].as_object().expect("an object") {
        for (field, wanted) in result.as_object().expect("an object") {
            let got = &found["results"][id][field];
            match (wanted.as_f64(), got.as_f64()) {
                (Some(wanted), Some(got)) => {
                    assert!((wanted - got).abs() < 1e-6, "{id} {field}: {got}")
                }
                _ => assert_eq!(wanted, got, "{id} {field}"),
            }
        }
    }
    for field in ["calculator", "checks", "refused"] {
        assert_eq!(found[field], expected[field]);
    }
    assert_eq!(found.as_object().map(serde_json::Map::len), Some(4));
}

#[test]
fn what_cannot_be_done_is_refused_in_plain_words() {
    let definition = sound(RING);
    let refused = |values: &str| {
        run(&definition, values)
            .refused
            .map(|reason| plain(&reason))
    };
    assert_eq!(
        refused("hole=60.061; shaft=60.012").as_deref(),
        Some(
            "The hub of 60.012 mm is smaller than the ring of 60.061 mm: there is nothing to shrink."
        )
    );
    assert_eq!(
        refused("hole=600; shaft=60.012").as_deref(),
        Some("Bore of the ring: 600 mm lies outside what can be worked out here, 3 mm to 500 mm")
    );
    let sheet = run(&definition, "hole=60.061; shaft=60.012");
    assert!(sheet.steps.is_empty() && sheet.outputs.is_empty() && sheet.checks.is_empty());
    let json = calculator::sheet_json(&sheet);
    assert_eq!(json["results"], serde_json::json!({}));
    assert!(
        json["refused"]
            .as_str()
            .is_some_and(|reason| reason.contains("nothing to shrink"))
    );
}

#[test]
fn the_ends_of_a_range_are_inside_whatever_the_unit() {
    let definition = sound(RING);
    let refused = |values: &str| run(&definition, values).refused.is_some();
    assert!(!refused("hole=499.9 mm; shaft=500 mm"));
    assert!(!refused("hole=0.499 m; shaft=0.5 m"));
    assert!(refused("hole=499.9 mm; shaft=500.0001 mm"));
    assert!(!refused("hole=499.9 mm; shaft=19.6850393 in"));
    assert!(refused("hole=499.9 mm; shaft=19.6850394 in"));
}

#[test]
fn mistakes_in_what_is_given_are_told_all_at_once_with_what_to_do() {
    let definition = sound(RING);
    let told = |values: &str| -> Vec<(GivenErrorKind, String)> {
        let errors = calculator::run(&definition, standards::tables(), &given(values))
            .expect_err("mistakes");
        let text = |error: &calculator::GivenError| {
            format!(
                "{}: {}",
                plain(&error.message),
                plain(error.help.as_deref().unwrap_or(""))
            )
        };
        errors
            .iter()
            .map(|error| (error.kind, text(error)))
            .collect()
    };
    use GivenErrorKind::{Missing, Unknown, Unreadable};
    let cases: [(&str, &[(GivenErrorKind, &str)]); 7] = [
        (
            "shaft=60 mm",
            &[(
                Missing,
                "`hole` is missing: Bore of the ring: Bore gauge at three depths; write it as `hole=60.012 mm`",
            )],
        ),
        (
            "hole=; shaft=60 mm",
            &[(
                Missing,
                "`hole` is missing: Bore of the ring: Bore gauge at three depths; write it as `hole=60.012 mm`",
            )],
        ),
        (
            "hol=60; shaft=60",
            &[(
                Unknown,
                "`ring-heat` has no input `hol`: the nearest known name is `hole`",
            )],
        ),
        (
            "hole=60 N; shaft=sixty",
            &[
                (
                    Unreadable,
                    "`60 N` is a force, but Bore of the ring is a length: write it in mm, such as `60.012 mm`",
                ),
                (
                    Unreadable,
                    "`shaft`: a number is expected here: write it as `60.061 mm`",
                ),
            ],
        ),
        (
            "hole=900,012; shaft=60.1",
            &[(
                Unreadable,
                "`hole`: a comma before three digits may mean a thousand or a decimal: write 900012 or 900.012",
            )],
        ),
        (
            "hole=at most 60 mm; shaft=60.1",
            &[(
                Unreadable,
                "`at most 60 mm` is no single value: write the size as measured, or its limits, such as `60.012 mm`",
            )],
        ),
        (
            "hole=60; shaft=60.1; shop=20 K",
            &[(
                Unreadable,
                "`20 K` is a temperature difference, but Shop temperature is a temperature: write it in °C, such as `12 °C`",
            )],
        ),
    ];
    for (values, expected) in cases {
        let expected: Vec<(GivenErrorKind, String)> = expected
            .iter()
            .map(|(kind, text)| (*kind, (*text).to_owned()))
            .collect();
        assert_eq!(told(values), expected, "{values}");
    }
}

const CHOICES: &str = "
id: choices
title: Choices
purpose: For choices.
inputs:
  - {id: taper, name: Taper, unit: '1', choices: {1/50: '1:50 (ISO 2339)', 1/48: '1:48 (ASME B18.8.2)'}, example: 1/50}
  - {id: metal, name: Metal, choices: {steel: carbon steel, Al: aluminium}, default: steel}
  - {id: other, name: Other metal, choices: metal, optional: true, example: Al}
  - {id: limit, name: Limit, unit: mm, from: 0 mm, to: 9 mm, optional: true, example: 1 mm}
steps:
  - {id: gain, name: Gain, unit: µm/mm, formula: taper}
  - {id: kind, name: Kind, formula: 'if(metal = \"steel\", \"hard\", \"soft\")'}
  - {id: alike, name: Alike, formula: metal = other}
  - {id: room, name: Room, unit: mm, formula: 'limit - taper * 10 [mm]'}
outputs: [gain, kind, alike, room]
checks:
  - {when: room < 0, signal: danger, say: 'Room is {room} of {limit}.'}
cases:
  - {source: 'ISO 2339: a taper of 1:50', given: {taper: 1/50}, expect: {gain: 20 µm/mm, kind: hard}}
";

#[test]
fn choices_are_named_by_value_by_words_or_by_number() {
    let definition = sound(CHOICES);
    // By definition: 1/48 of a millimetre a millimetre is 20.83 µm.
    for typed in [
        "1/48",
        "1:48 (asme b18.8.2)",
        "0.0208333333",
        "2.08333333 %",
    ] {
        assert_eq!(
            shown(&run(&definition, &format!("taper={typed}")), "gain"),
            "20.83 µm/mm",
            "{typed}"
        );
    }
    for typed in ["al", "Al", "ALUMINIUM"] {
        assert_eq!(
            shown(
                &run(&definition, &format!("taper=1/50; metal={typed}")),
                "kind"
            ),
            "soft",
            "{typed}"
        );
    }
    for wrong in [
        "taper=1/49",
        "taper=1/0",
        "taper=1/50; metal=tin",
        "taper=1/50; metal=5 mm",
    ] {
        assert!(
            calculator::run(&definition, standards::tables(), &given(wrong)).is_err(),
            "{wrong}"
        );
    }
}

#[test]
fn what_needs_an_input_left_out_is_left_out_without_fuss() {
    let definition = sound(CHOICES);
    let ids = |values: &str| -> Vec<String> {
        run(&definition, values)
            .outputs
            .into_iter()
            .map(|output| output.id)
            .collect()
    };
    assert_eq!(ids("taper=1/50"), ["gain", "kind"]);
    assert_eq!(ids("taper=1/50; other=Al"), ["gain", "kind", "alike"]);
    assert_eq!(ids("taper=1/50; limit=0.1 mm"), ["gain", "kind", "room"]);
    assert_eq!(run(&definition, "taper=1/50").checks[0].state, State::Clear);
    let sheet = run(&definition, "taper=1/50; limit=0.1 mm");
    assert_eq!(
        (sheet.checks[0].state.clone(), plain(&sheet.checks[0].text)),
        (State::Raised, "Room is −0.1000 mm of 0.1 mm.".to_owned())
    );
    assert_eq!(
        shown(&run(&definition, "taper=1/50; other=steel"), "alike"),
        "yes"
    );
}

#[test]
fn a_step_that_cannot_be_worked_out_says_why_and_the_others_stay() {
    let definition = sound(
        "id: roots\ntitle: Roots\npurpose: For refusals.\n\
         inputs: [{id: x, name: X, unit: '1', from: '-10', to: '10', example: '1'}]\n\
         steps: [{id: root, name: Root, unit: '1', formula: sqrt(x)}, {id: twice, name: Twice, unit: '1', formula: x * 2},\n\
         \x20 {id: more, name: More, unit: '1', formula: root + 1}, {id: share, name: Share, unit: '1', formula: 1 / x}]\n\
         outputs: [more, twice, share]\n\
         checks: [{when: root > 2, signal: notice, say: 'Root {root}.'}]\n\
         cases: [{source: definition, given: {x: '4'}, expect: {root: '2', more: '3'}}]\n",
    );
    let sheet = run(&definition, "x=-4");
    assert_eq!(sheet.refused, None);
    assert!(sheet.outputs[0].value.is_err() && sheet.outputs[1].value.is_ok());
    assert!(
        sheet.outputs[0].text().starts_with("not worked out: "),
        "{}",
        sheet.outputs[0].text()
    );
    assert!(matches!(sheet.checks[0].state, State::Unknown(_)));
    assert_eq!(
        calculator::sheet_json(&sheet)["results"]["more"]["value"],
        serde_json::Value::Null
    );
    // At the foot of the root the slope is endless, so nothing is claimed of the uncertainty.
    let edge = run(&definition, "x=0 ± 0.1");
    assert_eq!(shown(&edge, "root"), "0");
    assert!(run(&definition, "x=0").outputs[2].value.is_err());
}

fn solutions(
    definition: &Definition,
    values: &str,
    unknown: &str,
    wanted: (&str, &str),
) -> calculator::Solutions {
    calculator::backwards(
        definition,
        standards::tables(),
        &given(values),
        unknown,
        wanted,
    )
    .expect("a question")
}

#[test]
fn backwards_finds_the_input_that_gives_the_wanted_result() {
    let definition = sound(RING);
    let found = solutions(&definition, "hole=60.012", "shaft", ("oven", "200 °C"));
    // By hand: 180 K × 11.5e-6 × 60.012 mm − 58 µm = 66.22 µm over the bore.
    assert_eq!(found.found.len(), 1);
    assert!(
        (found.found[0].value - 0.060_078_224_84).abs() < 1e-12,
        "{found:?}"
    );
    assert_eq!(
        (
            plain(&found.found[0].shown.written()),
            found.found[0].typed.as_str()
        ),
        ("60.0782 mm".to_owned(), "60.0782 mm")
    );
    // Both roots of a parabola, by hand: x² = 6.25.
    let parabola = sound(
        "id: parabola\ntitle: Parabola\npurpose: For roots.\n\
         inputs: [{id: x, name: X, unit: mm, from: -10 mm, to: 10 mm, example: 1 mm}, {id: s, name: Sort, choices: {a: a, b: b}, default: a}]\n\
         steps: [{id: area, name: Area, unit: mm², formula: x^2}, {id: sort, name: Sort, formula: s}]\noutputs: [area]\n\
         cases: [{source: definition, given: {x: 2 mm}, expect: {area: 4 mm²}}]\n",
    );
    let both = solutions(&parabola, "", "x", ("area", "6.25 mm²"));
    let values: Vec<String> = both
        .found
        .iter()
        .map(|solution| plain(&solution.shown.written()))
        .collect();
    assert_eq!(values, ["−2.50 mm", "2.50 mm"]);
    let none = solutions(&parabola, "", "x", ("area", "-4 mm²"));
    assert!(none.found.is_empty());
    assert!(
        none.nearest
            .is_some_and(|near| near.value.abs() < 1e-9 && near.reached.abs() < 1e-15)
    );
    let high = solutions(&parabola, "", "x", ("area", "400 mm²"));
    assert!(
        high.nearest
            .is_some_and(|near| (near.value.abs() - 0.01).abs() < 1e-12)
    );
    for (unknown, wanted) in [
        ("y", ("area", "4 mm²")),
        ("s", ("area", "4 mm²")),
        ("x", ("sort", "a")),
        ("x", ("area", "4 mm")),
        ("x", ("area", "four")),
    ] {
        let refused = calculator::backwards(
            &parabola,
            standards::tables(),
            &BTreeMap::new(),
            unknown,
            wanted,
        );
        assert!(
            refused.is_err_and(|errors| errors.iter().all(|error| error.help.is_some())),
            "{unknown} {wanted:?}"
        );
    }
}

#[test]
fn backwards_finds_a_narrow_window_and_the_right_choice() {
    let joint = built_in("interference-joint");
    let values = "hole=60.000 mm; shaft_bore=28 mm; hub_outer=100 mm; length=40 mm; hub_modulus=205 GPa; shaft_modulus=205 GPa";
    let found = solutions(joint, values, "shaft", ("pressure", "66.8 MPa"));
    // The sum the other way round: 72 µm give 66.8 MPa (see the sheet above).
    assert!(
        found.found.len() == 1 && (found.found[0].value - 0.060_072).abs() < 5e-8,
        "{found:?}"
    );
    let choices = sound(CHOICES);
    let found = solutions(&choices, "", "taper", ("gain", "20 µm/mm"));
    assert_eq!(
        found
            .found
            .iter()
            .map(|solution| solution.typed.as_str())
            .collect::<Vec<_>>(),
        ["1/50"]
    );
}

#[test]
fn a_sweep_includes_both_ends_and_has_gaps_where_it_refuses() {
    let definition = sound(RING);
    let range = Range {
        x: "shaft",
        y: "oven",
        from: 0.06,
        to: 0.0602,
        points: 21,
    };
    let curve = calculator::sweep(
        &definition,
        standards::tables(),
        &given("hole=60.1"),
        &range,
    )
    .expect("values")
    .expect("a curve");
    assert_eq!(curve.points.len(), 21);
    assert!((curve.points[0].x - 60.0).abs() < 1e-9 && (curve.points[20].x - 60.2).abs() < 1e-9);
    assert_eq!(curve.points[5].y, None);
    // By hand: (100 + 58) µm / (11.5e-6 × 60.1 mm) + 20 °C.
    assert!((curve.points[20].y.expect("a value") - (158.0 / 0.69115 + 20.0)).abs() < 1e-6);
    assert_eq!(curve.working, None);
    let rows = curve.rows(5);
    assert_eq!(
        (rows.len(), plain(&rows[0].0), plain(&rows[4].0)),
        (5, "60 mm".to_owned(), "60.2 mm".to_owned())
    );
    for (from, to) in [
        (0.07, 0.06),
        (f64::NAN, 1.0),
        (0.06, 0.06),
        (0.0, f64::INFINITY),
    ] {
        let range = Range {
            x: "shaft",
            y: "oven",
            from,
            to,
            points: 3,
        };
        assert_eq!(
            calculator::sweep(&definition, standards::tables(), &given("hole=60"), &range),
            Ok(None)
        );
    }
}

#[test]
fn a_plot_is_well_formed_and_carries_no_style() {
    let definition = sound(RING);
    let odd = definition.plots.first().expect("a plot");
    let values = given("hole=60.012; shaft=60.061; room=58 µm");
    let curve = calculator::curve(&definition, standards::tables(), &values, odd, 41)
        .expect("values")
        .expect("a curve");
    let svg = calculator::plot_svg(&curve);
    let document = roxmltree::Document::parse(&svg).expect("well-formed");
    let root = document.root_element();
    let first: Vec<&str> = root
        .children()
        .take(2)
        .map(|node| node.tag_name().name())
        .collect();
    assert_eq!(first, ["title", "desc"]);
    assert_eq!(
        root.first_element_child().and_then(|title| title.text()),
        Some("Oven over room <&> \"quotes\"")
    );
    for node in document.descendants() {
        assert!(
            !["script", "style", "image", "use", "foreignObject"].contains(&node.tag_name().name())
        );
        for attribute in node.attributes() {
            assert!(
                attribute.name() != "style" && !attribute.name().starts_with("on"),
                "{attribute:?}"
            );
            assert!(
                !attribute.value().contains("NaN") && !attribute.value().contains("inf"),
                "{attribute:?}"
            );
        }
    }
    let lines = |class: &str| {
        document
            .descendants()
            .filter(|node| node.attribute("class") == Some(class))
            .count()
    };
    assert_eq!(
        (
            lines("plot-curve"),
            lines("plot-point"),
            lines("plot-level")
        ),
        (1, 1, 1)
    );
    let description = document
        .descendants()
        .find(|node| node.tag_name().name() == "desc")
        .and_then(|node| node.text())
        .unwrap_or("");
    // By hand: 49 + 10 and 49 + 100 µm over 0.690138 µm/K, and 20 °C.
    assert_eq!(
        plain(description),
        "Oven temperature goes from 105.49 °C at 10 µm to 235.899 °C at 100 µm. With the values given, 58 µm gives \
         175.041 °C. Level line: limit of the ring, 250 °C."
    );
    let nothing = calculator::curve(
        &definition,
        standards::tables(),
        &given("hole=60.1; shaft=60"),
        odd,
        5,
    )
    .expect("values")
    .expect("a curve");
    assert!(roxmltree::Document::parse(&calculator::plot_svg(&nothing)).is_ok());
}

#[test]
fn a_broken_calculator_is_no_calculator() {
    for text in [
        "",
        "[]",
        "id: x",
        "inputs: 5",
        "id: x\ninputs: {}\nsteps: []\n",
        "id: [a]\nid: b\n",
        "\u{0}",
        "id: *a",
    ] {
        let (definition, problems) = read(text);
        assert!(definition.is_none() && !problems.is_empty(), "{text}");
        assert!(
            problems.iter().all(|problem| problem.help.is_some()),
            "{text}: {problems:#?}"
        );
    }
}

#[test]
fn one_mistake_is_reported_once() {
    let wrong = RING.replace(
        "name: Bore of the ring, symbol: D_h, unit: mm",
        "name: Bore of the ring, symbol: D_h, unit: mmm",
    );
    let (definition, problems) = read(&wrong);
    assert!(definition.is_none());
    assert_eq!(
        problems
            .iter()
            .map(|problem| problem.rule.name)
            .collect::<Vec<_>>(),
        ["unknown-word"],
        "{problems:#?}"
    );
    let wrong = RING.replace("{id: tight,", "{id: tigt,");
    let found: Vec<&str> = read(&wrong)
        .1
        .iter()
        .map(|problem| problem.rule.name)
        .collect();
    assert!(
        found.iter().all(|name| *name == "calculator-unknown-name"),
        "{found:?}"
    );
}

/// What a hurried or hostile person might type.
fn anything() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\PC{0,40}",
        "[-+0-9.,/ ±°µA-Za-z·²]{0,24}",
        (
            any::<f64>(),
            prop::sample::select(vec![
                "mm",
                "",
                " in",
                " MPa",
                " °C",
                " %",
                " K",
                " µm/(m·K)",
                " rev/min",
                " ± 5 %"
            ])
        )
            .prop_map(|(number, unit)| format!("{number:e}{unit}").replace('e', "")),
        (
            -1000..100_000_i64,
            prop::sample::select(vec![
                "mm",
                "thou",
                " N·m",
                " GPa",
                "°",
                " µm",
                "",
                " mm ± 1 mm",
                " mm +5/-3"
            ])
        )
            .prop_map(|(number, unit)| format!(
                "{}.{}{unit}",
                number / 100,
                (number % 100).abs()
            )),
    ]
}

fn numbers_are_finite(sheet: &calculator::Sheet) {
    for line in &sheet.steps {
        if let Ok(Outcome::Number(amount)) = &line.value {
            assert!(
                amount.value.is_finite() && amount.in_unit().is_finite(),
                "{line:?}"
            );
            assert!(amount.expanded.is_none_or(f64::is_finite), "{line:?}");
            if let Some(Worst::Between { low, high, .. }) = &amount.worst {
                assert!(low <= &amount.value && &amount.value <= high, "{line:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn nothing_that_is_typed_does_harm(
        which in 0..5_usize,
        typed in prop::collection::vec(prop::option::weighted(0.4, anything()), 0..12),
        start in 0..30_usize,
    ) {
        let ring = sound(RING);
        let definition = builtin().values().nth(which).unwrap_or(&ring);
        let mut values = calculator::example(definition);
        for (offset, text) in typed.into_iter().enumerate() {
            let input = &definition.inputs[(start + offset) % definition.inputs.len()];
            if let Some(text) = text {
                values.insert(input.id.value.clone(), GivenValue::typed(text));
            }
        }
        if let Ok(sheet) = calculator::run(definition, standards::tables(), &values) {
            numbers_are_finite(&sheet);
            let _ = (calculator::sheet_text(definition, &sheet), calculator::sheet_json(&sheet).to_string());
            if let Some(Ok(Some(curve))) = definition.plots.first().map(|plot| calculator::curve(definition, standards::tables(), &values, plot, 7)) {
                prop_assert!(roxmltree::Document::parse(&calculator::plot_svg(&curve)).is_ok());
            }
        }
    }

    #[test]
    fn no_text_of_a_calculator_does_harm(text in "[a-z:{}\\[\\]\\n \"'0-9/*+^()-]{0,300}", at in 0..2000_usize) {
        let _ = read(&text);
        let mut whole = RING.to_owned();
        let mut at = at.min(whole.len());
        while !whole.is_char_boundary(at) {
            at -= 1;
        }
        whole.insert_str(at, &text[..text.len().min(12)]);
        if let (Some(definition), _) = read(&whole) {
            let _ = calculator::prove(&definition, standards::tables());
        }
    }

    #[test]
    fn backwards_undoes_forwards(micrometres in 5..150_u32, bore in 20..250_u32) {
        let ring = sound(RING);
        let hole = f64::from(bore);
        let shaft = hole + f64::from(micrometres) / 1000.0;
        let sheet = run(&ring, &format!("hole={hole}; shaft={shaft:.3}"));
        let rise = sheet.step("rise").and_then(|line| line.amount()).expect("a number").value;
        let found = solutions(&ring, &format!("hole={hole}"), "shaft", ("rise", &format!("{rise:.9} K")));
        prop_assert!(found.found.iter().any(|solution| (solution.value * 1e3 - shaft).abs() < 1e-7 * shaft), "{found:?}");
    }

    #[test]
    fn a_plot_of_any_range_is_well_formed(from in -1e9..1e9_f64, width in 1e-12..1e9_f64, points in 0..40_usize) {
        let plain = reference("spread-plain");
        let range = Range { x: "a", y: "area", from, to: from + width, points };
        if let Ok(Some(curve)) = calculator::sweep(&plain, standards::tables(), &given("b=3 mm; n=1"), &range) {
            prop_assert_eq!(curve.points.len(), points.max(2));
            prop_assert!(roxmltree::Document::parse(&calculator::plot_svg(&curve)).is_ok());
        }
    }
}
