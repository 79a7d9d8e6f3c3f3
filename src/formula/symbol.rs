//! Letters for the names of a formula: `D_h`, `p_max`, `sigma_v`, as MathML.
//!
//! Used by the typesetting of formulas, and by pages that name an input by its symbol.

use std::fmt::Write as _;

/// Letters that stand for themselves as symbols of quantities, by their English names, sorted.
const GREEK: [(&str, &str); 35] = [
    ("Delta", "Δ"),
    ("Gamma", "Γ"),
    ("Lambda", "Λ"),
    ("Omega", "Ω"),
    ("Phi", "Φ"),
    ("Pi", "Π"),
    ("Psi", "Ψ"),
    ("Sigma", "Σ"),
    ("Theta", "Θ"),
    ("Xi", "Ξ"),
    ("alpha", "α"),
    ("beta", "β"),
    ("chi", "χ"),
    ("delta", "δ"),
    ("epsilon", "ε"),
    ("eta", "η"),
    ("gamma", "γ"),
    ("iota", "ι"),
    ("kappa", "κ"),
    ("lambda", "λ"),
    ("mu", "μ"),
    ("nu", "ν"),
    ("omega", "ω"),
    ("omicron", "ο"),
    ("phi", "φ"),
    ("pi", "π"),
    ("psi", "ψ"),
    ("rho", "ρ"),
    ("sigma", "σ"),
    ("tau", "τ"),
    ("theta", "θ"),
    ("upsilon", "υ"),
    ("varphi", "φ"),
    ("xi", "ξ"),
    ("zeta", "ζ"),
];

/// The symbol of a quantity: letters, and what stands below them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// The letters: `D`, `σ`, `Rz`.
    pub letters: String,
    /// The subscript: `h`, `max`, `1,2`.
    pub subscript: Option<String>,
}

impl Symbol {
    /// Reads a symbol as it is typed: letters, then after the first `_` the subscript, in which further `_` are spaces.
    /// Names of Greek letters become the letters, also behind `Delta`: `Delta_T` has a subscript, `DeltaT` is ΔT.
    pub fn read(text: &str) -> Symbol {
        let (letters, subscript) = match text.trim().split_once('_') {
            Some((letters, subscript)) if !letters.is_empty() => (letters, Some(subscript)),
            _ => (text.trim(), None),
        };
        let subscript = subscript.map(|part| part.trim_matches(['{', '}', '_']).replace('_', " "));
        let subscript = subscript.filter(|part| !part.is_empty());
        Symbol {
            letters: lettered(letters),
            subscript: subscript.map(|part| lettered(&part)),
        }
    }

    /// The symbol as MathML: one letter in italics as a quantity's, several upright, subscripts upright.
    pub fn mathml(&self) -> String {
        let base = identifier(&self.letters, false);
        match &self.subscript {
            None => base,
            Some(subscript) => {
                let numeric = subscript
                    .chars()
                    .all(|character| character.is_ascii_digit());
                let below = match numeric {
                    true => format!("<mn>{subscript}</mn>"),
                    false => identifier(subscript, true),
                };
                format!("<msub>{base}{below}</msub>")
            }
        }
    }

    /// Whether it is of several letters, which need a sign between them and the next factor.
    pub(super) fn is_word(&self) -> bool {
        self.letters.chars().nth(1).is_some()
    }
}

fn lettered(text: &str) -> String {
    let whole = GREEK.iter().find(|(name, _)| *name == text);
    if let Some((_, letter)) = whole {
        return (*letter).to_owned();
    }
    match text.strip_prefix("Delta") {
        Some(rest) => format!("Δ{}", lettered(rest)),
        None => text.to_owned(),
    }
}

/// Letters as an identifier. MathML sets several letters upright by itself, one in italics unless it is told not to.
pub(super) fn identifier(letters: &str, upright: bool) -> String {
    let single = letters.chars().nth(1).is_none();
    let letters = escaped(letters);
    match single && upright {
        true => format!("<mi mathvariant=\"normal\">{letters}</mi>"),
        false => format!("<mi>{letters}</mi>"),
    }
}

/// Text that may stand between tags.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '&' => escaped.push_str("&amp;"),
            '"' => escaped.push_str("&quot;"),
            // Control characters have no place in markup, not even escaped.
            control if control.is_control() => {
                let _ = write!(escaped, "\u{FFFD}");
            }
            other => escaped.push(other),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::{GREEK, Symbol};

    #[test]
    fn letters_are_sorted() {
        assert!(GREEK.is_sorted());
    }

    #[test]
    fn symbols_as_typed_become_mathml() {
        let cases = [
            ("U", "<mi>U</mi>"),
            ("Rz", "<mi>Rz</mi>"),
            (
                "D_h",
                "<msub><mi>D</mi><mi mathvariant=\"normal\">h</mi></msub>",
            ),
            ("p_max", "<msub><mi>p</mi><mi>max</mi></msub>"),
            ("sigma", "<mi>σ</mi>"),
            (
                "sigma_v",
                "<msub><mi>σ</mi><mi mathvariant=\"normal\">v</mi></msub>",
            ),
            (
                "mu_G",
                "<msub><mi>μ</mi><mi mathvariant=\"normal\">G</mi></msub>",
            ),
            ("d_2", "<msub><mi>d</mi><mn>2</mn></msub>"),
            ("F_ax_max", "<msub><mi>F</mi><mi>ax max</mi></msub>"),
            ("DeltaT", "<mi>ΔT</mi>"),
            (
                "ΔT_h",
                "<msub><mi>ΔT</mi><mi mathvariant=\"normal\">h</mi></msub>",
            ),
            ("<b>", "<mi>&lt;b&gt;</mi>"),
            ("_x", "<mi>_x</mi>"),
            ("x_", "<mi>x</mi>"),
        ];
        for (text, expected) in cases {
            assert_eq!(Symbol::read(text).mathml(), expected, "{text}");
        }
    }
}
