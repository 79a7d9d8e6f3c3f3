//! Random programs and inputs for comparing two evaluators; the same in every run.

use fettlebook::formula::{Formula, Input, Program, Type};
use fettlebook::quantity::Dimension;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// Random numbers that are the same in every run.
pub struct Random(TestRunner);

impl Random {
    pub fn new() -> Random {
        let seed = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
        Random(TestRunner::new_with_rng(Config::default(), seed))
    }

    pub fn one<T: std::fmt::Debug>(&mut self, strategy: impl Strategy<Value = T>) -> T {
        strategy.new_tree(&mut self.0).expect("a value").current()
    }

    pub fn pick<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.one(0..from.len())]
    }

    /// The text of a plain number's formula.
    fn number(&mut self, names: &[String], depth: u32) -> String {
        if depth == 0 || self.one(0..8) == 0 {
            return match self.one(0..5) {
                0 => format!("{:.2}", self.one(0.0..4.0_f64)),
                1 => self.one(0..4_u32).to_string(),
                2 => self
                    .pick(&[
                        "pi",
                        "2e3",
                        "1e-3",
                        "lookup(moduli, modulus, 1, heat) / 1e11",
                        "lookup(grades, tolerance, state, size)",
                    ])
                    .to_owned(),
                _ => names[self.one(0..names.len())].clone(),
            };
        }
        let a = self.number(names, depth - 1);
        let b = self.number(names, depth - 1);
        match self.one(0..14) {
            0..=4 => format!("({a}) {} ({b})", self.pick(&["+", "-", "*", "/", "+", "*"])),
            5 => format!(
                "({a}) ^ {}",
                self.pick(&["2", "3", "(-1)", "0.5", "(1/3)", "1.5", "(-2)"])
            ),
            6 => format!("abs({a}) ^ ({b})"),
            7 => format!("({a}) ^ ({b})"),
            8 => format!("{}({a}, {b})", self.pick(&["min", "max", "atan2"])),
            9..=11 => {
                let named = self.pick(&[
                    "abs", "acos", "asin", "atan", "ceil", "cos", "exp", "floor", "ln", "log10",
                    "round", "sin", "sqrt", "tan",
                ]);
                format!("{named}({a})")
            }
            12 => format!("-({a})"),
            _ => format!("if({}, {a}, {b})", self.truth(names, depth - 1)),
        }
    }

    fn truth(&mut self, names: &[String], depth: u32) -> String {
        if depth == 0 {
            return self
                .pick(&["state = \"IT7\"", "state != \"IT7\"", "x < y", "x >= 1"])
                .to_owned();
        }
        let sign = self.pick(&["<", "<=", ">", ">=", "=", "!="]);
        let (a, b) = (self.number(names, depth - 1), self.number(names, depth - 1));
        let joined = self.pick(&["and", "or"]);
        match self.one(0..4) {
            0 => format!("not ({})", self.truth(names, depth - 1)),
            1 => format!(
                "({}) {joined} ({})",
                self.truth(names, depth - 1),
                self.truth(names, depth - 1)
            ),
            _ => format!("{a} {sign} {b}"),
        }
    }
}

pub fn inputs() -> Vec<(String, Type)> {
    let names =
        ["x", "y", "size", "heat"].map(|name| (name.to_owned(), Type::Number(Dimension::NONE)));
    let mut inputs = names.to_vec();
    inputs.insert(2, ("state".to_owned(), Type::Text));
    inputs
}

/// A random program and what it was made from.
pub struct Sample {
    pub text: String,
    pub program: Program,
}

pub fn sample(random: &mut Random) -> Sample {
    let mut names: Vec<String> = ["x", "y", "size"].map(str::to_owned).to_vec();
    let (mut texts, mut formulas) = (Vec::new(), Vec::new());
    for step in ["s1", "s2", "s3"] {
        let depth = random.one(1..5_u32);
        let text = random.number(&names, depth);
        let formula = Formula::parse(&text).unwrap_or_else(|errors| panic!("{text}: {errors:?}"));
        formulas.push((step, formula));
        texts.push(text);
        names.push(step.to_owned());
    }
    let text = random.truth(&names, 2);
    let check = Formula::parse(&text).expect("a check");
    texts.push(text);
    let steps: Vec<(&str, &Formula)> = formulas
        .iter()
        .map(|(name, formula)| (*name, formula))
        .collect();
    let program = Program::compile(&inputs(), &steps, &[&check]).expect("known names");
    let text = texts.join("; ");
    Sample { text, program }
}

pub fn given(random: &mut Random) -> Vec<Input> {
    let ranges = [-2.0..3.0_f64, 0.0..2.0, 0.0..0.007, 280.0..600.0];
    let mut given: Vec<Input> = ranges
        .into_iter()
        .map(|range| Input::Number(random.one(range)))
        .collect();
    if random.one(0..6) == 0 {
        given[0] = Input::Number(f64::from(random.one(-2..3)));
    }
    if random.one(0..20) == 0 {
        given[1] = Input::Missing;
    }
    let state = random.pick(&["IT7", "IT7", "IT6", "IT9"]);
    given.insert(2, Input::Text(state.to_owned()));
    given
}
