//! The check of formulas: types, and every clash at the right character with both sides named.

use std::collections::BTreeMap;

use fettlebook::formula::{Formula, FormulaError, Scope, Type};
use fettlebook::quantity::{Dimension, Unit};

#[path = "support/formula.rs"]
mod support;
use support::{dimension, tables};

fn names() -> BTreeMap<String, Type> {
    let numbers = [
        ("width", "mm"),
        ("hole", "m"),
        ("load", "N"),
        ("pressure", "MPa"),
        ("stress", "N/mm²"),
        ("torque", "N·m"),
        ("warm", "K"),
        ("friction", "1"),
    ];
    let mut names: BTreeMap<String, Type> = numbers
        .into_iter()
        .map(|(name, unit)| (name.to_owned(), Type::Number(dimension(unit))))
        .collect();
    names.insert("state".to_owned(), Type::Text);
    names
}

fn check(text: &str) -> Result<Type, Vec<FormulaError>> {
    let tables = tables();
    let scope = Scope {
        names: names(),
        tables: &tables,
    };
    Formula::parse(text).expect(text).check(&scope)
}

#[test]
fn types_follow_from_the_parts() {
    let unit = |symbol: &str| Type::Number(dimension(symbol));
    let cases = [
        ("width * hole", unit("m²")),
        ("load / width^2 + pressure + stress", unit("Pa")),
        ("sqrt(width * hole)", unit("m")),
        ("(width^3)^(1/3)", unit("m")),
        ("width^(-1)", unit("m⁻¹")),
        ("load * width", unit("N·m")),
        ("torque + 1 [J]", unit("J")),
        ("friction * load + 0", unit("N")),
        ("max(0, hole - width)", unit("m")),
        ("if(hole > 0, 0, width)", unit("m")),
        ("atan2(width, hole)", unit("1")),
        ("sin(width / hole) ^ friction", unit("1")),
        ("2 ^ friction", unit("1")),
        ("0", unit("1")),
        ("30 [K] - warm", unit("K")),
        ("max(warm, 120 [°C])", unit("K")),
        ("warm > 120 [°C]", Type::Truth),
        ("20 [°C] + warm", unit("K")),
        ("warm - 20 [°C]", unit("K")),
        ("120 [°C]", unit("K")),
        ("30 [°] + pi", unit("rad")),
        ("g_n * 1 [kg]", unit("N")),
        ("abs(-load)", unit("N")),
        ("0 * load", unit("N")),
        ("width > 3 [mm] and not (state = \"oiled\")", Type::Truth),
        ("(width > hole) = (load > 0)", Type::Truth),
        ("lookup(grades, tolerance, state, width)", unit("m")),
        ("lookup(grades, word, \"IT7\", 5 [mm])", Type::Text),
        ("if(state = \"oiled\", \"a\", state)", Type::Text),
        ("lookup(moduli, modulus, 1, warm)", unit("GPa")),
    ];
    for (text, expected) in cases {
        assert_eq!(check(text), Ok(expected), "{text}");
    }
}

/// The one error of a formula: its text at fault, its message, its labels and help.
fn clash(text: &str) -> (String, String, Vec<(String, String)>, Option<String>) {
    let errors = check(text).expect_err(text);
    assert_eq!(errors.len(), 1, "{text}: {errors:?}");
    let error = errors[0].clone();
    let labels = error
        .labels
        .iter()
        .map(|(span, words)| (text[span.clone()].to_owned(), words.clone()));
    (
        text[error.span.clone()].to_owned(),
        error.message.clone(),
        labels.collect(),
        error.help,
    )
}

#[test]
fn millimetres_do_not_add_to_newtons() {
    let (fault, message, labels, _) = clash("2 * (width + load) / 3");
    assert_eq!(fault, "width + load");
    assert_eq!(message, "cannot add a length (m) and a force (N)");
    let expected = [
        ("width", "`width` is a length (m)"),
        ("load", "`load` is a force (N)"),
    ];
    assert_eq!(
        labels,
        expected.map(|(place, words)| (place.to_owned(), words.to_owned()))
    );
}

#[test]
fn clashes_are_told_once_at_their_place() {
    let cases = [
        (
            "width - load",
            "width - load",
            "cannot subtract between a length (m) and a force (N)",
        ),
        (
            "width < 3",
            "width < 3",
            "cannot compare a length (m) and a plain number",
        ),
        (
            "width = load",
            "width = load",
            "cannot compare a length (m) and a force (N)",
        ),
        (
            "state = 3",
            "state = 3",
            "cannot compare a text and a plain number",
        ),
        (
            "state < \"b\"",
            "state < \"b\"",
            "cannot compare a text and a text",
        ),
        (
            "max(1, width)",
            "1, width",
            "`max` cannot take a plain number and a length (m)",
        ),
        (
            "max(0, width, load)",
            "width, load",
            "`max` cannot take a length (m) and a force (N)",
        ),
        (
            "atan2(width, load)",
            "width, load",
            "`atan2` cannot take a length (m) and a force (N)",
        ),
        (
            "if(width > 0, width, load)",
            "width, load",
            "`if` cannot be either of a length (m) and a force (N)",
        ),
        (
            "if(width, 1, 2)",
            "width",
            "the first value of `if` is a comparison",
        ),
        ("sin(width)", "width", "`sin` takes a plain number"),
        ("exp(torque)", "torque", "`exp` takes a plain number"),
        ("round(width)", "width", "`round` takes a plain number"),
        ("2 ^ width", "width", "an exponent is a plain number"),
        (
            "width ^ friction",
            "friction",
            "the exponent of a dimension must be fixed",
        ),
        (
            "width ^ sqrt(4)",
            "sqrt(4)",
            "the exponent of a dimension must be fixed",
        ),
        ("not width", "width", "`not` stands before a comparison"),
        (
            "width > 0 and load",
            "load",
            "`and` stands between comparisons",
        ),
        ("-state", "state", "a sign stands before numbers only"),
        ("state * 2", "state", "`*` stands between numbers"),
        ("sqrt(state)", "state", "`sqrt` takes a number"),
        (
            "wdth + 1 [mm]",
            "wdth",
            "nothing before this is called `wdth`",
        ),
        (
            "qqqqqq * 2",
            "qqqqqq",
            "nothing before this is called `qqqqqq`",
        ),
        (
            "lookup(grade, tolerance, state, width)",
            "grade",
            "no table is called `grade`",
        ),
        (
            "lookup(grades, tolerances, state, width)",
            "tolerances",
            "the table `grades` has no column `tolerances`",
        ),
        (
            "lookup(grades, tolerance, state)",
            "lookup(grades, tolerance, state)",
            "the table `grades` is read by 2 keys, and here are 1",
        ),
        (
            "lookup(grades, tolerance, state, load)",
            "load",
            "`size` of the table `grades` is a length (m)",
        ),
        (
            "lookup(grades, tolerance, width, width)",
            "width",
            "`grade` of the table `grades` is a text",
        ),
        (
            "(width + load) * (1 + 2) + sin((width + load))",
            "width + load",
            "cannot add a length (m) and a force (N)",
        ),
    ];
    for (text, fault, message) in cases {
        let errors = check(text).expect_err(text);
        let first = &errors[0];
        assert_eq!(
            (&text[first.span.clone()], first.message.as_str()),
            (fault, message),
            "{text}"
        );
        let wanted = if text.starts_with("(width + load)") {
            2
        } else {
            1
        };
        assert_eq!(errors.len(), wanted, "{text}: {errors:?}");
    }
    assert_eq!(
        clash("wdth * 2").3.as_deref(),
        Some("the nearest known name is `width`")
    );
    assert_eq!(
        clash("qqqqqq * 2").3.as_deref(),
        Some("add an input or a step of that name above")
    );
    let keys = clash("lookup(grades, tolerance, state)").3;
    assert_eq!(keys.as_deref(), Some("its keys are grade, size"));
}

#[test]
fn exponents_are_exact_ratios() {
    // 0.1 + 0.2 is three tenths, which in binary fractions it is not.
    let tenth = check("width ^ (0.1 + 0.2) / width ^ 0.3");
    assert_eq!(tenth, Ok(Type::Number(Dimension::NONE)));
    let beyond = clash("width ^ 999999999 ^ 1 * width").0;
    assert_eq!(beyond, "999999999 ^ 1");
    let product = "((((width ^ 999999999) ^ 999999999) ^ 999999999)) * 1";
    assert_eq!(
        clash(product).1,
        "the exponents of this dimension are too large"
    );
}

#[test]
fn points_and_differences_of_temperature_are_one_in_a_formula() {
    assert_eq!(
        Unit::find("°C").map(Unit::dimension),
        Unit::find("K").map(Unit::dimension)
    );
    assert_eq!(check("warm + 20 [K]"), check("20 [°C]"));
    for text in ["2 * 5 [°C]", "warm / 9 [°F]", "20 [°C] + 5 [°C]"] {
        let (fault, message, _, help) = clash(text);
        assert_eq!(
            message,
            format!("`{fault}` is a temperature and no difference"),
            "{text}"
        );
        assert_eq!(help.as_deref(), Some("write [K] for a difference"));
    }
}
