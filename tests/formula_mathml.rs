//! Formulas set in type: what stands in the page, tag by tag.

use fettlebook::formula::{Formula, Shown, Symbol};

/// The elements of MathML Core that formulas use.
const ELEMENTS: [&str; 14] = [
    "mfrac", "mi", "mn", "mo", "mroot", "mrow", "msqrt", "msub", "msup", "mtable", "mtd", "mtext",
    "mtr", "math",
];

fn symbol(name: &str) -> Symbol {
    Symbol::read(match name {
        "hub" => "D_h",
        "stress" => "sigma_v",
        "rough" => "Rz",
        other => other,
    })
}

fn set(text: &str) -> String {
    let whole = Formula::parse(text).expect(text).mathml(&symbol);
    let inner = whole
        .strip_prefix("<mrow>")
        .and_then(|rest| rest.strip_suffix("</mrow>"));
    inner.expect("one row").to_owned()
}

#[test]
fn parts_are_set_as_in_a_textbook() {
    let cases = [
        (
            "a + b - c",
            "<mi>a</mi><mo>+</mo><mi>b</mi><mo>−</mo><mi>c</mi>",
        ),
        (
            "hub",
            "<msub><mi>D</mi><mi mathvariant=\"normal\">h</mi></msub>",
        ),
        (
            "stress",
            "<msub><mi>σ</mi><mi mathvariant=\"normal\">v</mi></msub>",
        ),
        ("a * b", "<mi>a</mi><mo>&#x2062;</mo><mi>b</mi>"),
        ("2 * a", "<mn>2</mn><mo>&#x2062;</mo><mi>a</mi>"),
        ("a * 2", "<mi>a</mi><mo>×</mo><mn>2</mn>"),
        ("rough * a", "<mi>Rz</mi><mo>·</mo><mi>a</mi>"),
        (
            "pi * g_n",
            "<mi>π</mi><mo>&#x2062;</mo><msub><mi>g</mi><mi mathvariant=\"normal\">n</mi></msub>",
        ),
        (
            "a / (b + 1)",
            "<mfrac><mrow><mi>a</mi></mrow><mrow><mi>b</mi><mo>+</mo><mn>1</mn></mrow></mfrac>",
        ),
        (
            "(a + b) * c",
            "<mrow><mo>(</mo><mi>a</mi><mo>+</mo><mi>b</mi><mo>)</mo></mrow><mo>&#x2062;</mo><mi>c</mi>",
        ),
        (
            "a - (b - c)",
            "<mi>a</mi><mo>−</mo><mrow><mo>(</mo><mi>b</mi><mo>−</mo><mi>c</mi><mo>)</mo></mrow>",
        ),
        (
            "a * (-b)",
            "<mi>a</mi><mo>&#x2062;</mo><mrow><mo>(</mo><mo>−</mo><mi>b</mi><mo>)</mo></mrow>",
        ),
        (
            "-a^2",
            "<mo>−</mo><msup><mi>a</mi><mrow><mn>2</mn></mrow></msup>",
        ),
        (
            "(a + 1)^b",
            "<msup><mrow><mo>(</mo><mi>a</mi><mo>+</mo><mn>1</mn><mo>)</mo></mrow><mrow><mi>b</mi></mrow></msup>",
        ),
        ("sqrt(a)", "<msqrt><mi>a</mi></msqrt>"),
        ("a^(1/2)", "<msqrt><mrow><mi>a</mi></mrow></msqrt>"),
        (
            "a^(1/3)",
            "<mroot><mrow><mi>a</mi></mrow><mn>3</mn></mroot>",
        ),
        (
            "exp(a)",
            "<msup><mi mathvariant=\"normal\">e</mi><mrow><mi>a</mi></mrow></msup>",
        ),
        ("abs(a)", "<mrow><mo>|</mo><mi>a</mi><mo>|</mo></mrow>"),
        (
            "asin(a)",
            "<mi>arcsin</mi><mo>&#x2061;</mo><mrow><mo>(</mo><mi>a</mi><mo>)</mo></mrow>",
        ),
        (
            "log10(a)",
            "<msub><mi>log</mi><mn>10</mn></msub><mo>&#x2061;</mo><mrow><mo>(</mo><mi>a</mi><mo>)</mo></mrow>",
        ),
        (
            "max(a, 0)",
            "<mi>max</mi><mo>&#x2061;</mo><mrow><mo>(</mo><mi>a</mi><mo>,</mo><mn>0</mn><mo>)</mo></mrow>",
        ),
        (
            "2.5e-3",
            "<mn>2.5</mn><mo>×</mo><msup><mn>10</mn><mn>−3</mn></msup>",
        ),
        ("0.03 [mm]", "<mn>0.03</mn><mtext>\u{A0}mm</mtext>"),
        (
            "30 [°] + 5 [Δ°C]",
            "<mn>30</mn><mtext>°</mtext><mo>+</mo><mn>5</mn><mtext>\u{A0}°C</mtext>",
        ),
        ("a <= b", "<mi>a</mi><mo>≤</mo><mi>b</mi>"),
        (
            "a != \"x<y\"",
            "<mi>a</mi><mo>≠</mo><mtext>“x&lt;y”</mtext>",
        ),
        (
            "not a > b",
            "<mtext>not\u{A0}</mtext><mi>a</mi><mo>&gt;</mo><mi>b</mi>",
        ),
        (
            "lookup(it_grades, tolerance, a)",
            "<mrow><mtext>tolerance from table it grades for\u{A0}</mtext><mi>a</mi></mrow>",
        ),
        (
            "if(a > 0, 1, if(b > 0, 2, 3))",
            "<mrow><mo>{</mo><mtable>\
             <mtr><mtd><mrow><mn>1</mn></mrow></mtd><mtd><mrow><mtext>if\u{A0}</mtext><mi>a</mi><mo>&gt;</mo><mn>0</mn></mrow></mtd></mtr>\
             <mtr><mtd><mrow><mn>2</mn></mrow></mtd><mtd><mrow><mtext>if\u{A0}</mtext><mi>b</mi><mo>&gt;</mo><mn>0</mn></mrow></mtd></mtr>\
             <mtr><mtd><mrow><mn>3</mn></mrow></mtd><mtd><mrow><mtext>otherwise</mtext></mrow></mtd></mtr>\
             </mtable></mrow>",
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(set(text), expected, "{text}");
    }
}

#[test]
fn numbers_take_the_place_of_names() {
    let shown = |name: &str| {
        let number = |digits: &str, unit: &str| Shown::Number {
            digits: digits.to_owned(),
            unit: unit.to_owned(),
        };
        match name {
            "shaft" => number("60.061", "mm"),
            "cold" => number("\u{2212}20", "°C"),
            "ratio" => number("0.6", "1"),
            "state" => Shown::Text("oiled".to_owned()),
            other => Shown::Symbol(Symbol::read(other)),
        }
    };
    let set = |text: &str| Formula::parse(text).expect(text).mathml_with(&shown);
    let shaft = "<mn>60.061</mn><mtext>\u{A0}mm</mtext>";
    let cases = [
        ("shaft * ratio", format!("{shaft}<mo>×</mo><mn>0.6</mn>")),
        (
            "shaft^2",
            format!("<msup><mrow><mo>(</mo>{shaft}<mo>)</mo></mrow><mrow><mn>2</mn></mrow></msup>"),
        ),
        (
            "ratio^2",
            "<msup><mn>0.6</mn><mrow><mn>2</mn></mrow></msup>".to_owned(),
        ),
        (
            "shaft - cold",
            format!(
                "{shaft}<mo>−</mo><mrow><mo>(</mo><mn>−20</mn><mtext>\u{A0}°C</mtext><mo>)</mo></mrow>"
            ),
        ),
        (
            "x / shaft",
            format!("<mfrac><mrow><mi>x</mi></mrow><mrow>{shaft}</mrow></mfrac>"),
        ),
        (
            "state = \"dry\"",
            "<mtext>oiled</mtext><mo>=</mo><mtext>“dry”</mtext>".to_owned(),
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(set(text), format!("<mrow>{expected}</mrow>"), "{text}");
    }
}

#[test]
fn only_core_elements_and_no_style() {
    let text = "if(a > b and not (c = \"x\"), lookup(t, c, a) ^ 2 + sqrt(a) * -b, max(a, b^(1/5)) / 3e5 [mm])";
    let whole = Formula::parse(text).expect("a formula").mathml(&symbol);
    let document = roxmltree::Document::parse(&whole).expect("well-formed");
    for element in document.descendants().filter(roxmltree::Node::is_element) {
        assert!(ELEMENTS.contains(&element.tag_name().name()), "{element:?}");
        let parts = element
            .children()
            .filter(roxmltree::Node::is_element)
            .count();
        match element.tag_name().name() {
            "mfrac" | "msup" | "msub" | "mroot" => assert_eq!(parts, 2, "{element:?}"),
            _ => {}
        }
        for attribute in element.attributes() {
            assert_eq!(
                (attribute.name(), attribute.value()),
                ("mathvariant", "normal")
            );
        }
    }
}
