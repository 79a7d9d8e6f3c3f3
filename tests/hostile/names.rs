//! Ids and names of files that somebody, or some system, cannot tell apart or cannot have.

use super::{check_with, checked, expect, message};

const DRAWING: &[u8] = b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'/>";

#[test]
fn ids_that_differ_by_case_width_or_marks_are_one() {
    let parts = "- {number: DC-201, name: hub}\n- {number: dc-201, name: hub}\n- {number: DC201, name: hub}\n\
                 - {number: \"DC\u{2011}201\", name: hub}\n- {number: \"ＤＣ-201\", name: hub}\n- {number: \"DC-2\u{200B}01\", name: hub}\n";
    let found = checked(&[("parts.yaml", parts.as_bytes())]);
    expect(
        &found,
        &[
            "bad-id parts.yaml:4:12 \"DC\u{2011}201\"",
            "bad-id parts.yaml:5:12 \"ＤＣ-201\"",
            "bad-id parts.yaml:6:12 \"DC-2\u{200B}01\"",
            "duplicate-id parts.yaml:2:12 dc-201",
            "duplicate-id parts.yaml:3:12 DC201",
            "hidden-character parts.yaml:6:17 \u{200B}",
        ],
    );
    let tools =
        "- {id: \"caf\u{E9}\", name: b}\n- {id: \"a\u{202E}b\", name: b}\n- {id: Ab, name: b}\n";
    let found = checked(&[("tools.yaml", tools.as_bytes())]);
    expect(
        &found,
        &[
            "bad-id tools.yaml:1:8 \"caf\u{E9}\"",
            "bad-id tools.yaml:2:8 \"a\u{202E}b\"",
            "bad-id tools.yaml:3:8 Ab",
            "hidden-character tools.yaml:2:10 \u{202E}",
        ],
    );
}

#[test]
fn files_that_some_system_does_not_tell_apart_are_named() {
    let files: [(&str, &[u8]); 5] = [
        ("media/Hub.svg", DRAWING),
        ("media/hub.svg", DRAWING),
        ("media/gr\u{F6}.svg", DRAWING),
        ("media/gro\u{308}.svg", DRAWING),
        ("media/GR\u{D6}.svg", DRAWING),
    ];
    let found = checked(&files);
    expect(
        &found,
        &[
            "duplicate-id media/hub.svg:1:1",
            "duplicate-id media/gro\u{308}.svg:1:1",
            "duplicate-id media/gr\u{F6}.svg:1:1",
        ],
    );
    assert_eq!(
        message(&found, "duplicate-id"),
        "two files have names that some systems do not tell apart"
    );
}

#[test]
fn names_that_windows_refuses_are_named() {
    let files: [(&str, &[u8]); 8] = [
        ("media/con.svg", DRAWING),
        ("media/NUL.tar.svg", DRAWING),
        ("calculators/lpt1.yaml", b"id: lpt1\n"),
        ("media/a?.svg", DRAWING),
        ("media/a\"b\".svg", DRAWING),
        ("media/dot./x.svg", DRAWING),
        ("media/hidden\u{202E}gvs.svg", DRAWING),
        ("jobs/com1.md", b"---\nnumber: T-09\n---\n"),
    ];
    let found = checked(&files);
    let lines = crate::found(&found);
    for (name, _) in files {
        let line = format!("bad-id {name}:1:1");
        assert!(
            lines.iter().any(|own| own.starts_with(&line)),
            "{line} in {lines:#?}"
        );
    }
    assert!(lines.contains(&super::FOUND_BESIDE.to_owned()));
}

#[test]
fn names_with_blanks_quotes_and_signs_are_addresses_that_work() {
    let body = "![four](<../media/it's 100% #1.svg>)\n\n[as a file](<../media/it's 2 & (3).svg>)\n";
    let found = checked(&[
        ("media/it's 100% #1.svg", DRAWING),
        ("media/it's 2 & (3).svg", DRAWING),
        ("notes/a.md", &super::note(body)),
    ]);
    expect(&found, &[]);
    let page = format!("{:?}", found.documents.pages["a"].blocks).replace('\\', "");
    assert!(
        page.contains("src=\"media/it%27s%20100%25%20%231.svg\""),
        "{page}"
    );
    assert!(
        page.contains("href=\"media/it%27s%202%20%26%20%283%29.svg\""),
        "{page}"
    );
}

#[test]
fn a_path_that_climbs_out_is_refused_wherever_it_is_written() {
    let body = "![x](../../etc/x.svg) ![y](/etc/y.svg) ![z](file:///etc/z.svg) ![w](..\\\\w.svg)\n";
    let parts = b"- {number: DC-1, name: hub, picture: {file: ../media/../../x.svg, alt: x}}\n";
    let found = checked(&[("notes/a.md", &super::note(body)), ("parts.yaml", parts)]);
    let lines = crate::found(&found);
    let missing = lines
        .iter()
        .filter(|line| line.starts_with("missing-picture "))
        .count();
    assert_eq!(missing, 5, "{lines:#?}");
    assert!(lines.contains(&super::FOUND_BESIDE.to_owned()));
}

#[test]
fn a_name_that_is_no_text_is_named_by_a_likeness() {
    use std::os::unix::ffi::OsStrExt;
    let found = check_with(&[], |folder| {
        let name = std::ffi::OsStr::from_bytes(b"media\xE9.svg");
        std::fs::write(folder.join(name), DRAWING).expect("a file");
        std::fs::write(folder.join("tab\there.md"), "x").expect("a file");
    });
    expect(
        &found,
        &[
            "bad-id media\u{FFFD}.svg:1:1",
            "bad-id tab\u{FFFD}here.md:1:1",
        ],
    );
}
