//! Bytes and letters: long lines, other encodings, controls, and characters that are not seen.

use super::{checked, expect, message, note};

#[test]
fn a_line_of_ten_megabytes_is_read_and_its_problem_placed() {
    let spaces = " ".repeat(10_000_000);
    let text = format!("- {{id: a, name: b}}{spaces}\n- {{id: c, name: d, nmae: e}}\n");
    let found = checked(&[("tools.yaml", text.as_bytes())]);
    expect(&found, &["unknown-field tools.yaml:2:20 nmae"]);
    let long = format!(
        "- {{id: a, name: \"{}\", nmae: b}}\n",
        "x".repeat(10_000_000)
    );
    let found = checked(&[("tools.yaml", long.as_bytes())]);
    expect(&found, &["unknown-field tools.yaml:1:10000021 nmae"]);
}

#[test]
fn a_message_does_not_repeat_what_is_too_long_and_an_excerpt_does_not_either() {
    let long = format!("- {{id: {}, name: b}}\n", "x".repeat(5_000_000));
    let found = checked(&[("tools.yaml", long.as_bytes())]);
    let shown = message(&found, "bad-id").chars().count();
    assert!(shown < 700, "{shown} characters");
    for problem in &found.problems {
        let style = fettlebook::diagnostic::Style::Plain;
        let text = fettlebook::diagnostic::to_terminal(problem, &found.sources, "content", style);
        assert!(text.len() < 20_000, "{} bytes", text.len());
    }
    let problem = found
        .problems
        .iter()
        .find(|own| own.rule.name == "bad-id")
        .expect("it");
    let style = fettlebook::diagnostic::Style::Plain;
    let text = fettlebook::diagnostic::to_terminal(problem, &found.sources, "content", style);
    assert!(text.contains("content/tools.yaml:1:8"), "{text}");
}

#[test]
fn a_page_of_ten_megabytes_is_refused_by_its_size() {
    let found = checked(&[("notes/a.md", &note(&"word ".repeat(2_000_000)))]);
    expect(&found, &["too-large notes/a.md:1:1"]);
}

#[test]
fn hundreds_of_problems_of_one_kind_are_counted() {
    let many: String = (0..5_000)
        .map(|n| format!("- {{id: A{n}, name: n}}\n"))
        .collect();
    let found = checked(&[("tools.yaml", many.as_bytes())]);
    let own: Vec<_> = found
        .problems
        .iter()
        .filter(|own| own.rule.name == "bad-id")
        .collect();
    assert_eq!(own.len(), 200);
    let last = &own[199].message;
    assert!(
        last.ends_with("; 4800 more problems of this kind follow in the file"),
        "{last}"
    );
    assert!(found.has_errors());
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let dos = String::from_utf8(note("x y\n"))
        .expect("text")
        .replace('\n', "\r\n");
    let bom = [b"\xEF\xBB\xBF".as_slice(), dos.as_bytes()].concat();
    let tools = b"\xEF\xBB\xBF- {id: a, name: b}\r\n- {id: c, name: d, nmae: e}\r\n";
    let parts = b"\xEF\xBB\xBFnumber,name\r\nDC-1,hub\r\nDC 2,nut\r\n";
    let found = checked(&[
        ("notes/a.md", &bom),
        ("tools.yaml", tools),
        ("parts.csv", parts),
    ]);
    expect(
        &found,
        &[
            "bad-id parts.csv:3:1 DC 2",
            "unknown-field tools.yaml:2:20 nmae",
        ],
    );
    assert_eq!(found.library.pages["a"].title.value, "Note");
}

#[test]
fn other_encodings_are_named() {
    let latin = [note("").as_slice(), b"at 20 \xB0C\n"].concat();
    let found = checked(&[("notes/a.md", &latin)]);
    expect(&found, &["not-text notes/a.md:7:7 \u{FFFD}"]);
    for mark in [b"\xFF\xFE", b"\xFE\xFF"] {
        let wide = [mark.as_slice(), b"-\0 \0{\0"].concat();
        let found = checked(&[("tools.yaml", &wide)]);
        expect(&found, &["not-text tools.yaml:1:1 \u{FFFD}"]);
        assert_eq!(message(&found, "not-text"), "the file is UTF-16 text");
    }
}

#[test]
fn characters_that_are_not_seen_are_named_where_the_first_stands() {
    let cases = [
        ('\0', "U+0000"),
        ('\u{1B}', "U+001B"),
        ('\u{85}', "U+0085"),
        ('\u{200B}', "U+200B"),
        ('\u{2028}', "U+2028"),
        ('\u{202E}', "U+202E"),
        ('\u{2066}', "U+2066"),
        ('\u{FEFF}', "U+FEFF"),
        ('\u{E0041}', "U+E0041"),
    ];
    for (c, code) in cases {
        let text = format!("Tighten to {c}180 N·m{c}.\n");
        let found = checked(&[("notes/a.md", &note(&text))]);
        let own = message(&found, "hidden-character");
        assert!(
            own.contains(code) && own.ends_with("and 1 more such stand in the file"),
            "{own}"
        );
        let lines = crate::found(&found);
        assert!(
            lines
                .iter()
                .any(|line| line.starts_with("hidden-character notes/a.md:7:12")),
            "{lines:?}"
        );
        assert!(lines.contains(&super::FOUND_BESIDE.to_owned()), "{lines:?}");
    }
    let old = String::from_utf8(note("x\n"))
        .expect("text")
        .replace('\n', "\r");
    let found = checked(&[("notes/a.md", old.as_bytes())]);
    assert!(message(&found, "hidden-character").contains("U+000D, and 6 more"));
}

#[test]
fn nothing_that_a_writer_types_reaches_a_terminal_as_a_command() {
    let tools = "- {id: \"a\\e[31mred\\a\", name: b, \"x\\ny\\u202e\": c}\n";
    let found = checked(&[("tools.yaml", tools.as_bytes())]);
    for problem in &found.problems {
        let style = fettlebook::diagnostic::Style::Plain;
        let text = fettlebook::diagnostic::to_terminal(problem, &found.sources, "content", style);
        let odd = text
            .chars()
            .find(|c| (c.is_control() && *c != '\n') || *c == '\u{202E}');
        assert_eq!(odd, None, "{text:?}");
    }
    assert_eq!(
        message(&found, "bad-id"),
        "`a\\u{1b}[31mred\\u{7}` is not an id"
    );
}
