//! What repeats itself or stands in itself without end.

use super::{checked, expect, message, note};

#[test]
fn yaml_that_repeats_itself_is_refused_at_its_first_anchor() {
    // Nine lists of nine: written out, the last would hold 9^9 texts.
    let mut bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (before, name) in ('a'..'i').zip('b'..='i') {
        let many = vec![format!("*{before}"); 9].join(", ");
        bomb.push_str(&format!("{name}: &{name} [{many}]\n"));
    }
    let found = checked(&[("tools.yaml", bomb.as_bytes())]);
    expect(&found, &["yaml-syntax tools.yaml:1:4 &a ["]);
    assert_eq!(message(&found, "yaml-syntax"), "a YAML anchor stands here");
    let alone = checked(&[("tools.yaml", b"- {id: a, name: b}\n- *c\n")]);
    assert!(message(&alone, "yaml-syntax").starts_with("this is not YAML: "));
}

#[test]
fn nests_of_every_kind_are_refused_where_they_get_too_deep() {
    let cases = [
        ("- ".repeat(100_000), "tools.yaml:1:51", "nested too deep"),
        (
            "? ".repeat(100_000),
            "tools.yaml:1:3",
            "must be a plain text",
        ),
        ("[".repeat(100_000), "tools.yaml:1:256", "recursion limit"),
        ("{a: ".repeat(100_000), "tools.yaml:1:", ""),
        (
            (0..200)
                .map(|depth| format!("{}a:\n", " ".repeat(depth)))
                .collect(),
            "tools.yaml:26:26",
            "nested too deep",
        ),
    ];
    for (text, place, words) in cases {
        let found = checked(&[("tools.yaml", text.as_bytes())]);
        let lines = crate::found(&found);
        let own = lines.iter().filter(|line| line.contains("tools.yaml"));
        assert_eq!(own.count(), 1, "{lines:?}");
        assert!(
            lines
                .iter()
                .any(|line| line.starts_with(&format!("yaml-syntax {place}"))),
            "{lines:?}"
        );
        assert!(lines.contains(&super::FOUND_BESIDE.to_owned()), "{lines:?}");
        assert!(message(&found, "yaml-syntax").contains(words), "{lines:?}");
    }
}

#[test]
fn a_file_of_more_values_than_any_register_is_refused() {
    let many = format!("[{}]\n", "x,".repeat(1_100_000));
    let found = checked(&[("tools.yaml", many.as_bytes())]);
    expect(&found, &["yaml-syntax tools.yaml:1:2000000 x"]);
    assert_eq!(
        message(&found, "yaml-syntax"),
        "the file holds more than a million values"
    );
}

#[test]
fn markdown_nested_without_end_is_refused() {
    let quoted = checked(&[("notes/a.md", &note(&("> ".repeat(5_000) + "x\n")))]);
    expect(&quoted, &["too-deep notes/a.md:7:97"]);
}

#[test]
fn lists_and_html_nested_without_end_are_refused() {
    let list: String = (0..300)
        .map(|depth| format!("{}- a\n", "  ".repeat(depth)))
        .collect();
    let found = checked(&[("notes/a.md", &note(&list))]);
    assert_eq!(
        message(&found, "too-deep"),
        "lists and quotations are nested too deep"
    );
    let html = checked(&[("notes/a.md", &note(&("<b>".repeat(20_000) + "x\n")))]);
    assert_eq!(
        message(&html, "too-deep"),
        "HTML stands in HTML without end"
    );
    let phrase = format!("- {{id: a, name: b, what: \"{}x\"}}\n", "> ".repeat(2_000));
    let found = checked(&[("tools.yaml", phrase.as_bytes())]);
    let problem = found
        .problems
        .iter()
        .find(|own| own.rule.name == "too-deep");
    assert_eq!(problem.map(|own| own.at.file.as_str()), Some("tools.yaml"));
}

#[test]
fn markdown_that_opens_and_never_closes_is_text() {
    let open =
        "[".repeat(20_000) + &"(".repeat(20_000) + &"*".repeat(20_000) + "a " + &"`".repeat(20_001);
    let found = checked(&[(
        "notes/a.md",
        &note(&format!("{open}\n\n{}\n", "![[".repeat(9_000))),
    )]);
    expect(&found, &[]);
}

#[test]
fn headings_and_footnotes_without_end_keep_their_own_addresses() {
    let heads = checked(&[("notes/a.md", &note(&"# a\n".repeat(20_000)))]);
    expect(&heads, &[]);
    let anchors = &heads.documents.pages["a"].anchors;
    assert!(
        anchors.contains("a-20000") && anchors.len() == 20_000,
        "{}",
        anchors.len()
    );
    let notes: String = (0..2_000)
        .map(|n| format!("[^{n}]\n\n[^{n}]: x\n\n"))
        .collect();
    expect(&checked(&[("notes/a.md", &note(&notes))]), &[]);
}

#[test]
fn formulas_nested_without_end_are_refused() {
    let calculator = |formula: &str| {
        format!(
            "id: deep\ntitle: Deep\npurpose: x\ndoes: [x]\ninputs:\n  - {{id: a, name: A, unit: mm, from: 0 mm, to: 9 mm, example: 1 mm}}\n\
             steps:\n  - {{id: b, name: B, unit: mm, formula: \"{formula}\"}}\noutputs: [b]\n"
        )
    };
    for formula in [
        "(".repeat(50_000) + "a" + &")".repeat(50_000),
        "-".repeat(50_000) + "a",
        "sqrt(".repeat(9_000) + "a",
    ] {
        let found = checked(&[("calculators/deep.yaml", calculator(&formula).as_bytes())]);
        let problem = found
            .problems
            .iter()
            .find(|own| own.rule.name == "formula-syntax");
        let at = problem.expect("a problem of the formula").at.clone();
        assert_eq!(found.sources[&at.file].place(at.span.start).line, 8);
    }
}
