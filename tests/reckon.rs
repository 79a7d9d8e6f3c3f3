//! `reckon` as a person runs it: what is printed where, and how it ends.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const RING: &str = include_str!("reference/calculators/ring-heat.yaml");

/// A folder with a library that has a calculator of its own.
fn library() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let own = folder.path().join("content/calculators");
    std::fs::create_dir_all(&own).expect("a folder");
    std::fs::write(own.join("ring.yaml"), RING).expect("a file");
    let settings = "title: A small library\nworkshop: The bench\ndate: 2026-11-02\n";
    std::fs::write(folder.path().join("content/library.yaml"), settings).expect("a file");
    folder
}

fn reckon(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .arg("reckon")
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn errors(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", out(output)))
}

#[test]
fn alone_it_lists_what_can_be_worked_out_and_by_which_calculator() {
    let folder = library();
    let output = reckon(folder.path(), &[]);
    assert_eq!(output.status.code(), Some(0));
    let text = out(&output);
    assert!(text.starts_with("What do you want to do?\n"), "{text}");
    assert!(
        text.lines()
            .any(|line| line.split_whitespace().collect::<Vec<_>>().join(" ")
                == "ring-heat find how hot a ring must be"),
        "{text}"
    );
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("interference-joint find how hot a ring or hub must be to drop on"),
        "{text}"
    );
    let elsewhere = tempfile::tempdir().expect("a folder");
    let output = reckon(elsewhere.path(), &[]);
    assert_eq!(output.status.code(), Some(0));
    assert!(!out(&output).contains("ring-heat"));
}

#[test]
fn a_name_alone_says_what_it_asks_for() {
    let folder = library();
    let output = reckon(folder.path(), &["ring-heat"]);
    assert_eq!((output.status.code(), out(&output).as_str()), (Some(2), ""));
    let text = errors(&output);
    for words in [
        "hole       Bore of the ring: 3 mm to 500 mm",
        "Bore gauge at three depths",
        "room       Room to drop on: 0 µm to 500 µm; 58 µm if not given",
        "fettlebook reckon ring-heat hole=\"60.012 mm\" shaft=\"60.061 mm\"",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn a_ring_is_worked_out_rounded_up_and_told_with_its_hazard() {
    let folder = library();
    let arguments = [
        "ring-heat",
        "hole=60.012",
        "mm",
        "shaft=60.061 mm",
        "shop=12",
        "room=60",
        "µm",
    ];
    let output = reckon(folder.path(), &arguments);
    assert_eq!(output.status.code(), Some(0), "{}", errors(&output));
    let text = out(&output);
    // By hand: (49 + 60) µm / 0.690138 µm/K = 157.9 K; 12 + 157.9 = 169.9, up to 170.
    for words in [
        "49.00 µm",
        "157.9 K",
        "170 °C (169.9 °C, rounded up to the next 5 °C)",
        "WARNING  The hot ring",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn json_goes_to_standard_output_and_nothing_else_does() {
    let folder = library();
    let output = reckon(
        folder.path(),
        &["ring-heat", "hole=60.012", "shaft=60.061", "--json"],
    );
    assert_eq!(
        (output.status.code(), errors(&output).as_str()),
        (Some(0), "")
    );
    let found = json(&output);
    assert_eq!(found["calculator"], "ring-heat");
    assert_eq!(found["results"]["tight"]["value"], 49.0);
    assert_eq!(found["results"]["tight"]["unit"], "µm");
    assert_eq!(found["results"]["oven"]["text"], "180 °C");
    assert_eq!(
        (&found["refused"], &found["checks"]),
        (&Value::Null, &serde_json::json!([]))
    );
}

#[test]
fn a_refusal_ends_with_one() {
    let folder = library();
    let output = reckon(folder.path(), &["ring-heat", "hole=60.061", "shaft=60.012"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        out(&output).contains("there is nothing to shrink"),
        "{}",
        out(&output)
    );
    let output = reckon(
        folder.path(),
        &["ring-heat", "hole=6000", "shaft=60.012", "--json"],
    );
    assert_eq!(output.status.code(), Some(1));
    assert!(
        json(&output)["refused"]
            .as_str()
            .is_some_and(|reason| reason.contains("outside"))
    );
}

#[test]
fn a_warning_ends_with_one_and_a_notice_does_not() {
    let folder = library();
    let output = reckon(
        folder.path(),
        &[
            "ring-heat",
            "hole=60.012",
            "shaft=60.061",
            "room=120 µm",
            "--json",
        ],
    );
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(json(&output)["checks"][0]["signal"], "warning");
    let output = reckon(
        folder.path(),
        &[
            "limits-and-fits",
            "nominal=60",
            "hole_class=H7",
            "shaft_class=s6",
            "--json",
        ],
    );
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(json(&output)["checks"][0]["signal"], "notice");
}

#[test]
fn what_is_mistyped_ends_with_two_and_says_what_to_type() {
    let folder = library();
    let cases: [(&[&str], &str); 9] = [
        (
            &["ring-heet", "hole=60"],
            "no calculator is called `ring-heet`; the nearest is `ring-heat`",
        ),
        (
            &["zzz"],
            "no calculator is called `zzz`; there are: assembly-temperature, ",
        ),
        (
            &["ring-heat", "hol=60.012", "shaft=60.061"],
            "the nearest known name is `hole`",
        ),
        (
            &["ring-heat", "hole=60.012"],
            "`shaft` is missing: Seat of the hub",
        ),
        (
            &["ring-heat", "hole=60.012 N", "shaft=60.061"],
            "`60.012 N` is a force, but Bore of the ring is a length",
        ),
        (
            &["ring-heat", "60.012"],
            "`60.012` is no value of an input; write `hole=…`",
        ),
        (
            &["ring-heat", "hole=60", "hole=61"],
            "`hole` is given twice",
        ),
        (
            &["ring-heat", "hole=60", "--find", "shaft", "--for", "oven"],
            "write the wanted result as `--for STEP=VALUE`",
        ),
        (
            &[
                "ring-heat",
                "hole=60",
                "--find",
                "shaft",
                "--for",
                "ovn=200",
            ],
            "the nearest known name is `oven`",
        ),
    ];
    for (arguments, words) in cases {
        let output = reckon(folder.path(), arguments);
        assert_eq!(
            (output.status.code(), out(&output).as_str()),
            (Some(2), ""),
            "{arguments:?}"
        );
        assert!(
            errors(&output).contains(words),
            "{arguments:?}\n{}",
            errors(&output)
        );
    }
    for arguments in [
        &["ring-heat", "--find", "shaft"][..],
        &["ring-heat", "--for", "oven=200"],
        &["--library", "nowhere"],
    ] {
        assert_eq!(
            reckon(folder.path(), arguments).status.code(),
            Some(2),
            "{arguments:?}"
        );
    }
}

#[test]
fn backwards_prints_the_sheet_and_what_was_found() {
    let folder = library();
    let arguments = [
        "ring-heat",
        "hole=60.012",
        "--find",
        "shaft",
        "--for",
        "oven=200 °C",
    ];
    let output = reckon(folder.path(), &arguments);
    assert_eq!(output.status.code(), Some(0), "{}", errors(&output));
    // By hand: 180 K × 11.5e-6 × 60.012 mm − 58 µm = 66.22 µm over the bore.
    assert!(
        out(&output).ends_with("For oven = 200 °C\n  shaft = 60.0782 mm  Seat of the hub\n"),
        "{}",
        out(&output)
    );
    let mut arguments = arguments.to_vec();
    arguments.push("--json");
    let found = json(&reckon(folder.path(), &arguments));
    assert_eq!(found["found"][0]["text"], "60.0782 mm");
    assert!(
        found["found"][0]["value"]
            .as_f64()
            .is_some_and(|value| (value - 60.078_224_84).abs() < 1e-9)
    );
    let output = reckon(
        folder.path(),
        &[
            "ring-heat",
            "hole=60.012",
            "--find",
            "room",
            "--for",
            "oven=21 °C",
            "shaft=60.061",
        ],
    );
    assert_eq!(output.status.code(), Some(1));
    assert!(
        out(&output).contains("Nothing gives oven = 21 °C; the nearest is\n  room = 0 µm"),
        "{}",
        out(&output)
    );
}

#[test]
fn a_library_may_be_named_and_its_broken_calculator_is_shown() {
    let folder = library();
    let elsewhere = tempfile::tempdir().expect("a folder");
    let content = folder.path().join("content");
    let named = [
        "ring-heat",
        "hole=60.012",
        "shaft=60.061",
        "--library",
        content.to_str().expect("a name"),
    ];
    assert_eq!(reckon(elsewhere.path(), &named).status.code(), Some(0));
    std::fs::write(
        content.join("calculators/ring.yaml"),
        RING.replace("shaft - hole", "shaft - hold"),
    )
    .expect("a file");
    let output = reckon(elsewhere.path(), &named);
    assert_eq!(output.status.code(), Some(1));
    let text = errors(&output);
    assert!(
        text.contains("calculators/ring.yaml:12:75")
            && text.contains("the nearest known name is `hole`"),
        "{text}"
    );
    assert!(
        text.contains("the calculator `ring-heat` cannot be used while it has errors"),
        "{text}"
    );
    // The built-in ones are not touched by it.
    let built_in = [
        "limits-and-fits",
        "nominal=60",
        "hole_class=H7",
        "--library",
        content.to_str().expect("a name"),
    ];
    assert_eq!(reckon(elsewhere.path(), &built_in).status.code(), Some(0));
}

#[test]
fn nothing_typed_at_the_terminal_ends_in_a_panic() {
    let folder = library();
    let odd = [
        "=",
        "hole==",
        "hole=\u{0}x",
        "hole=🔧",
        "hole=1e999",
        "hole=-0",
        "hole=0/0 mm",
        "hole=60 mm ± -1 mm",
        "ring",
        "hole=\u{202e}60",
    ];
    for word in odd.iter().filter(|word| !word.contains('\u{0}')) {
        let output = reckon(folder.path(), &["ring-heat", word, "shaft=60.061"]);
        assert!(
            matches!(output.status.code(), Some(0..=2)),
            "{word:?}: {output:?}"
        );
        assert!(!errors(&output).contains("panicked"), "{word:?}");
    }
}

#[test]
fn a_comma_before_three_digits_is_read_by_the_input_s_limits() {
    let folder = tempfile::tempdir().expect("a folder");
    let sizes = [
        "hole=60,012mm",
        "shaft=60,061",
        "hub_outer=100mm",
        "length=40mm",
    ];
    let arguments = [&["interference-joint"], &sizes[..], &["--json"]].concat();
    let output = reckon(folder.path(), &arguments);
    assert_eq!(output.status.code(), Some(0), "{}", errors(&output));
    // 60.061 mm less 60.012 mm; sixty thousand millimetres lie beyond the input's 500.
    assert_eq!(json(&output)["results"]["tight"]["text"], "49.0 µm");
}
