//! What holds for every formula, tried on generated ones.

use std::collections::BTreeMap;

use fettlebook::formula::{
    Body, Constant, Formula, Function, Input, Literal, Lookup, MAX_DEPTH, Node, Operator, Program,
    Scope, Tables, Type, Value, Word,
};
use fettlebook::quantity::{Dimension, Unit};
use num_traits::Zero;
use proptest::prelude::*;

#[path = "support/formula.rs"]
mod support;
use support::{dimension, tables};

fn node(body: Body) -> Node {
    Node::new(0..0, body)
}

fn word(name: &str) -> Word {
    Word {
        name: name.to_owned(),
        span: 0..0,
    }
}

fn leaf() -> impl Strategy<Value = Node> {
    let digits = prop_oneof![
        (0_u32..1000).prop_map(|whole| whole.to_string()),
        (0_u32..1000, 0_u32..1000).prop_map(|(whole, part)| format!("{whole}.{part:03}")),
        (1_u32..10, -30_i32..30).prop_map(|(digit, power)| format!("{digit}e{power}")),
    ];
    let units: Vec<&'static Unit> = Unit::all().iter().collect();
    let unit = proptest::option::weighted(0.2, prop::sample::select(units));
    prop_oneof![
        (digits, unit)
            .prop_map(|(digits, unit)| Body::Number(Literal::new(&digits, unit).expect("digits"))),
        prop::sample::select(vec![
            "length", "width_2", "force", "stress", "state", "ratio", "heat"
        ])
        .prop_map(|name| Body::Name(name.to_owned())),
        prop::sample::select(Constant::ALL.to_vec()).prop_map(Body::Constant),
        prop::sample::select(vec!["dry", "oiled", "A4-70"])
            .prop_map(|text| Body::Text(text.to_owned())),
    ]
    .prop_map(node)
}

/// A value with a sign before it; a temperature such as `180 [°C]` stays without, because the parser refuses a sign there.
fn negative(value: Node) -> Body {
    match value.body() {
        Body::Number(literal) if literal.unit().is_some_and(|unit| !unit.offset().is_zero()) => {
            value.body().clone()
        }
        _ => Body::Negative(Box::new(value)),
    }
}

/// Trees of every kind of node, most of them nonsense to the check.
fn tree() -> impl Strategy<Value = Node> {
    leaf().prop_recursive(6, 48, 3, |inner| {
        let operator = prop::sample::select(Operator::ALL.map(|(operator, _)| operator).to_vec());
        let function = prop::sample::select(Function::ALL.map(|(function, ..)| function).to_vec());
        let boxed = |node: Node| Box::new(node);
        prop_oneof![
            4 => (operator, inner.clone(), inner.clone())
                .prop_map(move |(operator, left, right)| Body::Binary(operator, boxed(left), boxed(right))),
            1 => inner.clone().prop_map(negative),
            1 => inner.clone().prop_map(move |value| Body::Not(boxed(value))),
            2 => (function, prop::collection::vec(inner.clone(), 3)).prop_map(|(function, mut values)| {
                values.truncate(function.arity().0.max(if function.arity().1 > 2 { 3 } else { 1 }));
                Body::Call(function, values)
            }),
            1 => (inner.clone(), inner.clone(), inner.clone())
                .prop_map(move |(a, b, c)| Body::If(boxed(a), boxed(b), boxed(c))),
            1 => (inner.clone(), inner).prop_map(|(grade, size)| Body::Lookup(Lookup {
                table: word("grades"),
                column: word("tolerance"),
                keys: vec![grade, size],
            })),
        ]
        .prop_map(node)
    })
}

fn inputs() -> Vec<(String, Type)> {
    let number = |name: &str, unit: &str| (name.to_owned(), Type::Number(dimension(unit)));
    vec![
        number("length", "m"),
        number("width_2", "mm"),
        number("force", "N"),
        number("stress", "MPa"),
        ("state".to_owned(), Type::Text),
        number("ratio", "1"),
        number("heat", "K"),
    ]
}

fn check(
    formula: &Formula,
    tables: &Tables,
) -> Result<Type, Vec<fettlebook::formula::FormulaError>> {
    let names: BTreeMap<String, Type> = inputs().into_iter().collect();
    formula.check(&Scope { names, tables })
}

/// Trees that the check accepts: a wanted dimension is built out of parts that have it.
fn typed(dimension: Dimension, depth: u32) -> BoxedStrategy<Node> {
    let length = support::dimension("m");
    let named = |names: &[&'static str]| {
        prop::sample::select(names.to_vec())
            .prop_map(|name| node(Body::Name(name.to_owned())))
            .boxed()
    };
    let leaf = if dimension == length {
        let tolerance = Body::Lookup(Lookup {
            table: word("grades"),
            column: word("tolerance"),
            keys: vec![
                node(Body::Name("state".to_owned())),
                node(Body::Name("width_2".to_owned())),
            ],
        });
        prop_oneof![4 => named(&["length", "width_2"]), 1 => Just(node(tolerance))].boxed()
    } else if dimension.is_none() {
        let number = (-9_i32..40).prop_map(|tenths| {
            let literal = Literal::new(
                &format!(
                    "{}.{}",
                    tenths.unsigned_abs() / 10,
                    tenths.unsigned_abs() % 10
                ),
                None,
            );
            node(Body::Number(literal.expect("digits")))
        });
        prop_oneof![named(&["ratio"]), number].boxed()
    } else {
        named(&["force"])
    };
    if depth == 0 {
        return leaf;
    }
    let same = typed(dimension, depth - 1);
    let plain = typed(Dimension::NONE, depth - 1);
    let pair = (same.clone(), same.clone());
    let binary = |operator: Operator| {
        move |(left, right): (Node, Node)| {
            node(Body::Binary(operator, Box::new(left), Box::new(right)))
        }
    };
    let condition = pair.clone().prop_map(binary(Operator::Less));
    let choice = (condition, same.clone(), same.clone())
        .prop_map(|(a, b, c)| node(Body::If(Box::new(a), Box::new(b), Box::new(c))));
    let function = |function: Function| move |value: Node| node(Body::Call(function, vec![value]));
    let several =
        |function: Function| move |(a, b): (Node, Node)| node(Body::Call(function, vec![a, b]));
    let common = prop_oneof![
        2 => leaf,
        2 => pair.clone().prop_map(binary(Operator::Plus)),
        2 => pair.clone().prop_map(binary(Operator::Minus)),
        2 => (same.clone(), plain.clone()).prop_map(binary(Operator::Times)),
        2 => (same.clone(), plain.clone()).prop_map(binary(Operator::Over)),
        1 => pair.clone().prop_map(several(Function::Max)),
        1 => pair.clone().prop_map(several(Function::Min)),
        1 => same.clone().prop_map(function(Function::Abs)),
        1 => same.clone().prop_map(|value| node(Body::Negative(Box::new(value)))),
        1 => pair.clone().prop_map(move |pair| function(Function::Sqrt)(binary(Operator::Times)(pair))),
        1 => choice,
    ];
    if !dimension.is_none() {
        return common.boxed();
    }
    let plain_functions = [
        Function::Sin,
        Function::Cos,
        Function::Tan,
        Function::Exp,
        Function::Ln,
        Function::Log10,
        Function::Asin,
        Function::Acos,
        Function::Atan,
        Function::Sqrt,
    ];
    let of_plain = (
        prop::sample::select(plain_functions.to_vec()),
        plain.clone(),
    )
        .prop_map(move |(named, value)| function(named)(value));
    prop_oneof![
        4 => common,
        2 => of_plain,
        1 => pair.clone().prop_map(binary(Operator::Power)),
        1 => (typed(length, depth - 1), typed(length, depth - 1)).prop_map(binary(Operator::Over)),
        1 => pair.prop_map(several(Function::Atan2)),
    ]
    .boxed()
}

fn given(numbers: &[f64; 6]) -> Vec<Input> {
    let mut inputs: Vec<Input> = numbers.iter().copied().map(Input::Number).collect();
    inputs.insert(4, Input::Text("IT7".to_owned()));
    inputs
}

fn answer(
    formula: &Formula,
    numbers: &[f64; 6],
    tables: &Tables,
) -> Result<Value, fettlebook::formula::Refusal> {
    let program = Program::compile(&inputs(), &[("step", formula)], &[]).expect("known names");
    program.run(&given(numbers), tables).steps.remove(0)
}

fn reading(node: &Node) -> Formula {
    let text = node.to_string();
    Formula::parse(&text).unwrap_or_else(|errors| panic!("{text}: {errors:?}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn a_printed_tree_reads_back_as_itself(tree in tree()) {
        let formula = reading(&tree);
        prop_assert_eq!(formula.tree(), &tree);
        prop_assert!(formula.tree().height() <= MAX_DEPTH);
    }

    /// Nothing panics on any tree: the check, running although unchecked, and setting in type.
    #[test]
    fn whatever_is_checked_runs_without_a_clash(tree in tree(), numbers in prop::array::uniform6(-3.0..3.0_f64)) {
        let tables = tables();
        let formula = reading(&tree);
        let checked = check(&formula, &tables);
        let found = answer(&formula, &numbers, &tables);
        if let Ok(typ) = &checked {
            match (&found, typ) {
                (Ok(Value::Number { value, by }), Type::Number(_)) => {
                    prop_assert!(value.is_finite() && by.iter().all(|part| !part.is_nan()));
                }
                (Ok(Value::Text(_)), Type::Text) | (Ok(Value::Truth(_)), Type::Truth) => {}
                (Err(refusal), _) => prop_assert_ne!(&refusal.reason, "values that do not fit together"),
                other => prop_assert!(false, "{:?}", other),
            }
        }
        for error in checked.err().into_iter().flatten() {
            prop_assert!(formula.text().get(error.span.clone()).is_some());
            prop_assert!(!error.message.ends_with('.'));
        }
        let set = formula.mathml(&|name| fettlebook::formula::Symbol::read(name));
        let document = roxmltree::Document::parse(&set);
        prop_assert!(document.is_ok(), "{}", set);
    }

    /// Derivatives against central differences; where both sides of the place have no answer, or differ too much for the
    /// step to be small (kinks, steep places), nothing is compared.
    #[test]
    fn derivatives_match_central_differences(
        tree in typed(Dimension::NONE, 4),
        numbers in prop::array::uniform6(0.2..3.0_f64),
    ) {
        let tables = tables();
        let formula = reading(&tree);
        prop_assert_eq!(check(&formula, &tables), Ok(Type::Number(Dimension::NONE)));
        let value = |numbers: &[f64; 6]| match answer(&formula, numbers, &tables) {
            Ok(Value::Number { value, .. }) => Some(value),
            _ => None,
        };
        let by = match answer(&formula, &numbers, &tables) {
            Ok(Value::Number { by, .. }) => by,
            Ok(other) => return Err(TestCaseError::fail(format!("{other:?}"))),
            Err(refusal) => {
                prop_assert_ne!(&refusal.reason, "values that do not fit together");
                return Ok(());
            }
        };
        for (place, slope) in by.iter().enumerate() {
            let at = |step: f64| {
                let mut moved = numbers;
                moved[place] += step;
                value(&moved)
            };
            let central = |step: f64| Some((at(step)? - at(-step)?) / (2.0 * step));
            let (Some(coarse), Some(fine)) = (central(1e-4), central(5e-5)) else {
                continue;
            };
            // A derivative that is nought by cancellation (of |a| / a) keeps the rounding of a huge value.
            let rounding = 1e-6 * value(&numbers).map_or(0.0, f64::abs);
            let size = fine.abs().max(1.0).max(rounding);
            // Richardson's difference tells whether the estimate has settled.
            if (coarse - fine).abs() <= 1e-6 * size && fine.abs() < 1e6 {
                prop_assert!((slope - fine).abs() <= 1e-4 * size, "{}: {} is not {}", formula.text(), slope, fine);
            }
        }
    }

    #[test]
    fn no_text_panics(text in "[-+*/^()<>=!a-e0-9., \"\\[\\]mσ²×&|√;{}]{0,60}") {
        spans_fit(&text)?;
    }

    #[test]
    fn no_unicode_panics(text in "\\PC{0,40}") {
        spans_fit(&text)?;
    }

    /// A formula with a slip in it still tells its mistakes inside its text.
    #[test]
    fn a_slip_is_told_inside_the_text(tree in tree(), cut in any::<prop::sample::Index>(), put in "[-(),^a\"\\[]") {
        let text = tree.to_string();
        let places: Vec<usize> = text.char_indices().map(|(place, _)| place).collect();
        let place = places[cut.index(places.len())];
        spans_fit(&format!("{}{put}{}", &text[..place], &text[place..]))?;
        spans_fit(&text[..place])?;
    }
}

fn spans_fit(text: &str) -> Result<(), TestCaseError> {
    match Formula::parse(text) {
        Ok(formula) => {
            let again = Formula::parse(&formula.tree().to_string());
            prop_assert_eq!(
                again.map(|formula| formula.tree().clone()),
                Ok(formula.tree().clone())
            );
        }
        Err(errors) => {
            prop_assert!(!errors.is_empty());
            for error in errors {
                prop_assert!(text.get(error.span.clone()).is_some(), "{:?}", error);
                for (span, _) in error.labels {
                    prop_assert!(text.get(span).is_some());
                }
            }
        }
    }
    Ok(())
}
