//! Reading of formulas: what trees texts become, and every mistake at its place.

use fettlebook::formula::{Formula, FormulaError, MAX_DEPTH, MAX_FORMULA_LENGTH};

fn tree(text: &str) -> String {
    match Formula::parse(text) {
        Ok(formula) => formula.tree().to_string(),
        Err(errors) => panic!("{text}: {errors:?}"),
    }
}

fn mistakes(text: &str) -> Vec<FormulaError> {
    Formula::parse(text).expect_err(text)
}

#[test]
fn operators_hold_as_told() {
    let cases = [
        ("-a^2", "-a ^ 2"),
        ("(-a)^2", "(-a) ^ 2"),
        ("a^b^c", "a ^ b ^ c"),
        ("(a^b)^c", "(a ^ b) ^ c"),
        ("a^-b", "a ^ (-b)"),
        ("a-b-c", "a - b - c"),
        ("a-(b-c)", "a - (b - c)"),
        ("a/b*c", "a / b * c"),
        ("a/(b*c)", "a / (b * c)"),
        ("a + b*c^d", "a + b * c ^ d"),
        (
            "not a < b and c >= d or e != f",
            "not a < b and c >= d or e != f",
        ),
        ("not (a and b)", "not (a and b)"),
        ("(a or b) and c", "(a or b) and c"),
        ("((a))", "a"),
        ("if(a=\"steel\",1,2e5)", "if(a = \"steel\", 1, 2e5)"),
        (
            "lookup( it , tolerance , d/2 )",
            "lookup(it, tolerance, d / 2)",
        ),
        ("2 * pi * 0.03[mm]", "2 * pi * 0.03 [mm]"),
        ("120 [degC] + g_n", "120 [°C] + g_n"),
        ("--a", "-(-a)"),
    ];
    for (text, printed) in cases {
        assert_eq!(tree(text), printed, "{text}");
        assert_eq!(tree(printed), printed, "{text}");
    }
}

#[test]
fn spans_are_the_bytes_of_the_text() {
    let formula = Formula::parse("  hole + (shaft_2 / 2 [µm])").expect("a formula");
    let text = |node: &fettlebook::formula::Node| formula.text()[node.span()].to_owned();
    let sum = formula.tree();
    let parts: Vec<String> = sum.children().into_iter().map(text).collect();
    assert_eq!(parts, ["hole", "shaft_2 / 2 [µm]"]);
    let quotient = sum.children()[1];
    assert_eq!(
        quotient
            .children()
            .into_iter()
            .map(text)
            .collect::<Vec<_>>(),
        ["shaft_2", "2 [µm]"]
    );
}

#[test]
fn each_mistake_is_told_once_at_its_place() {
    let rows: Vec<&str> = include_str!("reference/formula_mistakes.tsv")
        .lines()
        .skip(3)
        .collect();
    assert!(rows.len() >= 44);
    for row in rows {
        let [text, fault, at, message, help] = row.split('\t').collect::<Vec<_>>()[..] else {
            panic!("{row}")
        };
        let found = mistakes(text);
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        let error = &found[0];
        assert_eq!(
            (&text[error.span.clone()], error.message.as_str()),
            (fault, message),
            "{text}"
        );
        if !fault.is_empty() {
            assert_eq!(error.span.start.to_string(), at, "{text}");
        }
        assert_eq!(error.help.as_deref().unwrap_or("-"), help, "{text}");
    }
}

#[test]
fn all_mistakes_are_told_in_one_go() {
    let found = mistakes("(a + * b) && minn(1, 2) + σ + sqrt(2");
    let told: Vec<(usize, &str)> = found
        .iter()
        .map(|error| (error.span.start, error.message.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (5, "a value is missing before `*`"),
            (10, "`&&` is not a sign of formulas"),
            (13, "no function is called `minn`"),
            (26, "`σ` cannot be a name"),
            (35, "this bracket is not closed"),
        ]
    );
    assert_eq!(
        found[4].labels,
        [(37..37, "a `)` is missing before here".to_owned())]
    );
}

#[test]
fn prose_is_one_mistake() {
    let prose =
        "the hole is measured with a micrometer and the shaft as well".replace(" and ", " ");
    assert_eq!(mistakes(&prose).len(), 1);
}

#[test]
fn long_and_deep_texts_are_refused_at_once() {
    let long = format!("1{}", " + 1".repeat(MAX_FORMULA_LENGTH / 4));
    assert_eq!(
        mistakes(&long)[0].message,
        "a formula has at most 2000 characters"
    );
    let spaces = format!("1{}", " ".repeat(MAX_FORMULA_LENGTH - 1));
    assert_eq!(tree(&spaces), "1");
    let deep = "the formula is more than 64 operations deep";
    for (open, close) in [
        ("(", ")"),
        ("sqrt(", ")"),
        ("-", ""),
        ("not ", ""),
        ("+", ""),
        ("a^", ""),
        ("a+(", ")"),
        ("min(1,", ")"),
        ("σ(", ")"),
    ] {
        let times = MAX_FORMULA_LENGTH / (open.chars().count() + close.len()) - 1;
        let text = format!("{}1{}", open.repeat(times), close.repeat(times));
        let found = mistakes(&text);
        assert!(
            found.iter().any(|error| error.message == deep),
            "{text}: {found:?}"
        );
    }
    let row = |terms: usize| format!("1{}", " + 1".repeat(terms - 1));
    assert_eq!(tree(&row(MAX_DEPTH)), row(MAX_DEPTH));
    assert_eq!(mistakes(&row(MAX_DEPTH + 1))[0].message, deep);
    // Brackets alone are not deep, as far as anyone would set them.
    assert_eq!(
        tree(&format!("{}a{}", "(".repeat(100), ")".repeat(100))),
        "a"
    );
}

#[test]
fn what_a_formula_names() {
    let formula = Formula::parse("if(\"oil\" = state, lookup(friction, low, state), b + b)")
        .expect("a formula");
    assert_eq!(
        formula.names().into_iter().collect::<Vec<_>>(),
        ["b", "state"]
    );
    assert_eq!(
        formula.tables().into_iter().collect::<Vec<_>>(),
        ["friction"]
    );
    assert_eq!(formula.compared_texts(), [("state", "oil", 3..8)]);
}
