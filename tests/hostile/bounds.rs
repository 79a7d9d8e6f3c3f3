//! What a hostile library may cost: the program ends by itself inside a bound of memory that is far below what the inputs
//! would take were they written out, or read as often as they could be.

use std::path::Path;
use std::process::{Command, Output};

use crate::Fixture;

/// Address space in kilobytes that the program may take, stacks of its threads included: 3 GiB.
const MOST_MEMORY: &str = "3145728";

fn proof(folder: &Path) -> Output {
    Command::new("bash")
        .args(["-c", "ulimit -v \"$0\" && exec \"$@\"", MOST_MEMORY])
        .arg(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["proof", "content"])
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

#[test]
fn hostile_libraries_end_with_their_problems_inside_the_bound() {
    let flow: String = (0..150_000)
        .map(|n| format!("{{id: A{n}, name: n}}, "))
        .collect();
    let keys: String = (0..100_000).map(|n| format!("k{n}: n, ")).collect();
    let rows: String = (0..3_000)
        .map(|n| format!("T{n},\"{}\"\n", "say \"\"x\"\" ".repeat(30)))
        .collect();
    let cases: [(&str, String, &str); 7] = [
        ("tools.yaml", format!("[{flow}]\n"), "bad-id"),
        ("tools.yaml", format!("- {{{keys}}}\n"), "unknown-field"),
        (
            "tools.yaml",
            format!("[{}]\n", "[],".repeat(5_000_000)),
            "yaml-syntax",
        ),
        ("tools.yaml", "x".repeat(16 << 20), "wrong-type"),
        ("tools.csv", format!("id,name\n{rows}"), "bad-id"),
        (
            "media/a.svg",
            format!(
                "<svg xmlns='http://www.w3.org/2000/svg'>{}{}</svg>",
                "<g>".repeat(300_000),
                "</g>".repeat(300_000)
            ),
            "broken-picture",
        ),
        (
            "notes/a.md",
            format!("no front matter {}", "[](torque:nut) ".repeat(60_000)),
            "no-front-matter",
        ),
    ];
    for (name, text, rule) in cases {
        let folder = tempfile::tempdir().expect("a folder");
        Fixture::parse("").write(&folder.path().join("content"));
        let file = folder.path().join("content").join(name);
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        std::fs::write(file, text).expect("a file");
        let output = proof(folder.path());
        let said = String::from_utf8_lossy(&output.stdout).into_owned()
            + &String::from_utf8_lossy(&output.stderr);
        let begin: String = said.chars().take(600).collect();
        assert_eq!(output.status.code(), Some(1), "{name}: {begin}");
        assert!(said.contains(&format!("[{rule}]")), "{name}: {begin}");
    }
}
