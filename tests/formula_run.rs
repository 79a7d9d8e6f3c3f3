//! Running programs: values, derivatives against closed forms, look-ups, and every refusal with its reason.

use fettlebook::formula::{Answer, Formula, Input, Program, Tables, Type, UnknownName, Value};

#[path = "support/formula_run.rs"]
mod support;
use support::{PLAIN, number, run};

fn with_x(x: f64, text: &str) -> Answer {
    run(
        &[("x", Input::Number(x)), ("y", Input::Number(3.0))],
        &[text],
        &[],
    )
    .0
    .remove(0)
}

fn near(found: f64, expected: f64, text: &str) {
    assert!(
        (found - expected).abs() <= 1e-12 * expected.abs().max(1.0),
        "{text}: {found} is not {expected}"
    );
}

/// Derivatives by the rules of any textbook of calculus, written out by hand.
#[test]
fn values_and_derivatives_match_closed_forms() {
    let x: f64 = 0.4;
    let cases: [(&str, f64, f64); 24] = [
        ("x + 2", x + 2.0, 1.0),
        ("2 - x", 2.0 - x, -1.0),
        ("x * x", x * x, 2.0 * x),
        ("1 / x", 1.0 / x, -1.0 / (x * x)),
        ("x / (1 + x)", x / (1.0 + x), 1.0 / (1.0 + x).powi(2)),
        ("x^3", x.powi(3), 3.0 * x * x),
        ("x^(-2)", x.powi(-2), -2.0 * x.powi(-3)),
        ("x^2.5", x.powf(2.5), 2.5 * x.powf(1.5)),
        ("2^x", 2.0_f64.powf(x), 2.0_f64.powf(x) * 2.0_f64.ln()),
        ("x^x", x.powf(x), x.powf(x) * (x.ln() + 1.0)),
        ("sqrt(x)", x.sqrt(), 0.5 / x.sqrt()),
        ("exp(2 * x)", (2.0 * x).exp(), 2.0 * (2.0 * x).exp()),
        ("ln(x)", x.ln(), 1.0 / x),
        ("log10(x)", x.log10(), 1.0 / (x * 10.0_f64.ln())),
        ("sin(x)", x.sin(), x.cos()),
        ("cos(x)", x.cos(), -x.sin()),
        ("tan(x)", x.tan(), 1.0 / x.cos().powi(2)),
        ("asin(x)", x.asin(), 1.0 / (1.0 - x * x).sqrt()),
        ("acos(x)", x.acos(), -1.0 / (1.0 - x * x).sqrt()),
        ("atan(x)", x.atan(), 1.0 / (1.0 + x * x)),
        ("atan2(x, 2)", (x / 2.0).atan(), 0.5 / (1.0 + x * x / 4.0)),
        ("abs(-x)", x, 1.0),
        ("min(x, 3) + max(x, -1)", 2.0 * x, 2.0),
        ("floor(x) + ceil(x) + round(10 * x)", 5.0, 0.0),
    ];
    for (text, value, slope) in cases {
        let (found, by) = number(&with_x(x, text));
        near(found, value, text);
        near(by[0], slope, text);
        near(by[1], 0.0, text);
    }
}

/// The contact pressure of a press fit of a ring on a solid shaft of the same steel, worked by hand: with Q = d/D the
/// pressure is U·E·(1 − Q²)/(2·d) (S. Timoshenko, Strength of Materials, part II, thick cylinders).
#[test]
fn a_press_fit_by_hand() {
    let inputs = [
        ("u", Input::Number(40e-6)),
        ("d", Input::Number(0.06)),
        ("outer", Input::Number(0.1)),
        ("e", Input::Number(210e9)),
    ];
    let steps = [
        "d / outer",
        "(1 + s1^2) / (1 - s1^2) + 0.3",
        "1 - 0.3",
        "u / (d / e * (s2 + s3))",
    ];
    let (value, by) = number(&run(&inputs, &steps, &[]).0[3]);
    let expected = 40e-6 * 210e9 * (1.0 - 0.36) / (2.0 * 0.06);
    assert!((value / expected - 1.0).abs() < 1e-14);
    assert!((by[0] / (expected / 40e-6) - 1.0).abs() < 1e-12);
    assert!((by[3] / (expected / 210e9) - 1.0).abs() < 1e-12);
    // dp/dD = U·E/(2·d)·2·d²/D³, and dp/dd = −U·E/2·(1/d² + 1/D²).
    let (u, d, outer, e) = (40e-6, 0.06_f64, 0.1_f64, 210e9);
    assert!((by[2] / (u * e * d / outer.powi(3)) - 1.0).abs() < 1e-12);
    assert!((by[1] / (-u * e / 2.0 * (1.0 / (d * d) + 1.0 / (outer * outer))) - 1.0).abs() < 1e-12);
}

#[test]
fn constants_and_literals_are_in_si_units() {
    let cases = [
        ("g_n", 9.80665),
        ("pi", std::f64::consts::PI),
        ("5 [thou]", 0.000_127),
        ("20 [°C]", 293.15),
        ("30 [K]", 30.0),
        ("2.5e-3", 0.0025),
        ("1 [rev/min]", std::f64::consts::PI / 30.0),
        ("-2^2", -4.0),
        ("2^3^2", 512.0),
        ("round(2.5) + round(-2.5) + round(0.49999999999999994)", 0.0),
        ("0^0", 1.0),
        ("(-2)^3", -8.0),
        ("8^(1/3)", 2.0),
    ];
    for (text, value) in cases {
        near(number(&with_x(1.0, text)).0, value, text);
    }
}

#[test]
fn refusals_say_why() {
    let cases = [
        ("1 / (x - x)", "a division by zero"),
        ("sqrt(-x)", "the root of a negative number"),
        ("(-x)^0.5", "the root of a negative number"),
        (
            "(-x)^y",
            "a power that is measured, of a number that is not above zero",
        ),
        (
            "(x - 1)^(x - 1)",
            "a power that is measured, of a number that is not above zero",
        ),
        ("0^(-x)", "zero to a negative power"),
        (
            "ln(0 * x)",
            "the logarithm of a number that is not above zero",
        ),
        (
            "log10(-x)",
            "the logarithm of a number that is not above zero",
        ),
        ("asin(x + 1)", "the arc of a number outside \u{2212}1 to 1"),
        ("acos(-x - 1)", "the arc of a number outside \u{2212}1 to 1"),
        ("atan2(0, x - x)", "the angle of two zeros"),
        ("exp(1000 * x)", "a number too large to reckon with"),
        ("(1e200 * x)^2", "a number too large to reckon with"),
        ("1e300 * x * 1e300", "a number too large to reckon with"),
        ("x / 1e-320", "a number too large to reckon with"),
        (
            "if(ln(-x) > 0, 1, 2)",
            "the logarithm of a number that is not above zero",
        ),
        ("min(1, sqrt(-x))", "the root of a negative number"),
    ];
    for (text, reason) in cases {
        let refusal = with_x(1.0, text).expect_err(text);
        assert_eq!(
            (refusal.step.as_str(), refusal.reason.as_str()),
            ("s1", reason),
            "{text}"
        );
    }
    let refusal = with_x(1.0, "sqrt(-x)").expect_err("a root");
    assert_eq!(refusal.to_string(), "the root of a negative number in `s1`");
}

#[test]
fn a_refusal_travels_with_the_step_where_it_began() {
    let inputs = [
        ("x", Input::Number(-1.0)),
        ("z", Input::Missing),
        ("t", Input::Number(f64::NAN)),
    ];
    let (steps, checks) = run(
        &inputs,
        &[
            "sqrt(x)",
            "2 * s1 + 1",
            "if(x < 0, 5, s2)",
            "if(x < 0, s2, 5)",
            "z + 1",
            "t",
        ],
        &[
            "s2 > 3",
            "x < 0 or s2 > 3",
            "x > 0 and s2 > 3",
            "x < 0 and s2 > 3",
            "ln(x) > 1",
        ],
    );
    let refused = |answer: &Answer| {
        answer
            .as_ref()
            .err()
            .map(|refusal| (refusal.step.clone(), refusal.reason.clone()))
    };
    let root = Some(("s1".to_owned(), "the root of a negative number".to_owned()));
    assert_eq!(
        [
            refused(&steps[1]),
            refused(&steps[3]),
            refused(&checks[0]),
            refused(&checks[3])
        ],
        [root.clone(), root.clone(), root.clone(), root]
    );
    assert_eq!(number(&steps[2]).0, 5.0);
    assert_eq!(
        refused(&steps[4]),
        Some(("z".to_owned(), "a missing value".to_owned()))
    );
    assert_eq!(
        refused(&steps[5]),
        Some(("t".to_owned(), "a value that cannot be used".to_owned()))
    );
    assert_eq!(
        (checks[1].clone(), checks[2].clone()),
        (Ok(Value::Truth(true)), Ok(Value::Truth(false)))
    );
    assert_eq!(
        refused(&checks[4]).map(|(step, _)| step).as_deref(),
        Some("check 5")
    );
}

#[test]
fn derivatives_without_a_limit_are_infinite_and_never_nan() {
    let slope = |x: f64, text: &str| number(&with_x(x, text)).1[0];
    assert_eq!(slope(0.0, "sqrt(x)"), f64::INFINITY);
    assert_eq!(slope(0.0, "-sqrt(x)"), f64::INFINITY);
    assert_eq!(slope(0.0, "sqrt(x) - sqrt(x)"), f64::INFINITY);
    assert_eq!(slope(1.0, "asin(x)"), f64::INFINITY);
    assert_eq!(slope(0.0, "x^0.5 * x"), f64::INFINITY);
    // What does not change stays unchanged under a steep root.
    assert_eq!(slope(5.0, "sqrt(y - y) + sqrt(0 * x)"), 0.0);
    // The length of two zero sides.
    assert_eq!(slope(0.0, "sqrt(x^2 + 0 * y)"), 0.0);
    assert_eq!(slope(0.0, "abs(x)"), 1.0);
}

#[test]
fn negative_zero_is_zero() {
    let (value, _) = number(&with_x(0.0, "-x"));
    assert!(value.is_sign_positive());
    let (value, _) = number(&with_x(-1.0, "atan2(0 * x, x)"));
    near(value, std::f64::consts::PI, "atan2");
}

#[test]
fn unknown_names_are_told_when_compiling() {
    let formula = Formula::parse("later + 1").expect("a formula");
    let unknown = Program::compile(&[], &[("first", &formula)], &[]).expect_err("unknown");
    let expected = UnknownName {
        step: "first".to_owned(),
        name: "later".to_owned(),
    };
    assert_eq!(unknown, expected);
    assert_eq!(
        Program::compile(&[], &[], &[&formula])
            .expect_err("unknown")
            .step,
        "check 1"
    );
}

#[test]
fn what_the_check_would_refuse_is_refused_when_run() {
    let inputs = [
        ("x", Input::Number(1.0)),
        ("state", Input::Text("dry".to_owned())),
    ];
    for text in [
        "x + state",
        "not x",
        "sqrt(state)",
        "if(x, 1, 2)",
        "x and x",
        "x = state",
        "lookup(grades, tolerance, x > 0, x)",
        "lookup(grades, tolerance, state)",
        "state < state",
    ] {
        let answer = run(&inputs, &[text], &[]).0.remove(0);
        assert_eq!(
            answer.expect_err(text).reason,
            "values that do not fit together",
            "{text}"
        );
    }
    let (steps, _) = run(
        &inputs,
        &["lookup(gone, c, x)", "lookup(grades, gone, state, x)"],
        &[],
    );
    let reasons: Vec<String> = steps
        .into_iter()
        .map(|answer| answer.expect_err("gone").reason)
        .collect();
    assert_eq!(
        reasons,
        [
            "the table gone is missing",
            "the table “tolerance grades” has no column gone"
        ]
    );
    let empty = Tables::new();
    let formula = Formula::parse("1").expect("a formula");
    let program =
        Program::compile(&[("t".to_owned(), Type::Text)], &[("s", &formula)], &[]).expect("known");
    assert!(program.run(&[], &empty).steps[0].is_ok());
}

/// The plan of a small program, whole: the browser depends on every word of it.
#[test]
fn the_plan_is_as_told() {
    let inputs = vec![("x".to_owned(), PLAIN), ("state".to_owned(), Type::Text)];
    let step = Formula::parse("-x + lookup(grades, tolerance, state, 2 [mm])").expect("a formula");
    let check = Formula::parse("s > 0 and state != \"dry\"").expect("a formula");
    let program = Program::compile(&inputs, &[("s", &step)], &[&check]).expect("known names");
    let expected = serde_json::json!({
        "plan": 1,
        "inputs": [["x", "number"], ["state", "text"]],
        "operations": [
            ["input", 0],
            ["input", 1],
            ["neg", 0],
            ["number", 0.002],
            ["lookup", "grades", "tolerance", 1, 3],
            ["+", 2, 4],
            ["number", 0.0],
            [">", 5, 6],
            ["text", "dry"],
            ["!=", 1, 8],
            ["and", 7, 9]
        ],
        "steps": [["s", 5, 6]],
        "checks": [["check 1", 10, 11]]
    });
    assert_eq!(program.to_json(), expected);
    assert_eq!(program.numeric_inputs(), ["x"]);
    assert_eq!(program.tables().into_keys().collect::<Vec<_>>(), ["grades"]);
}
