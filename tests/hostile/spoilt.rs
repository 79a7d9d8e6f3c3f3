//! The demo library spoilt at random: reading ends with diagnostics, never with a panic.

use std::path::{Path, PathBuf};

use fettlebook::document::commonmark;
use fettlebook::pipeline;
use proptest::prelude::*;
use proptest::test_runner::Config;

fn demo_files() -> Vec<(PathBuf, Vec<u8>)> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    walkdir::WalkDir::new(&demo)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.expect("a readable folder").into_path())
        .filter(|path| path.is_file())
        .map(|path| {
            let name = path.strip_prefix(&demo).expect("below it").to_owned();
            (name, std::fs::read(&path).expect("a file"))
        })
        .collect()
}

/// One way to spoil a file: where (as a share of its length), how much is cut, and what is put there.
#[derive(Clone, Debug)]
struct Spoil {
    file: usize,
    at: f64,
    cut: usize,
    put: Vec<u8>,
}

fn spoil() -> impl Strategy<Value = Spoil> {
    let odd = prop_oneof![
        Just(b"---\n".to_vec()),
        Just(b"{{[[".to_vec()),
        Just(b": ".to_vec()),
        Just(b"\t".to_vec()),
        Just(b"\xff\xfe".to_vec()),
        Just("\u{202e}\u{0}\u{feff}\u{e000}7\u{e001}".as_bytes().to_vec()),
        Just(b"&a [*a, *a]".to_vec()),
        Just(b"![](\n".to_vec()),
        Just(b"](torque:/)".to_vec()),
        Just(b"<script>x</script>".to_vec()),
        Just(b"\r\n".to_vec()),
        Just(b"1. \n   1. \n".to_vec()),
        Just(vec![b'>'; 300]),
        Just(vec![b'['; 300]),
        proptest::collection::vec(any::<u8>(), 0..12),
    ];
    (any::<usize>(), 0.0..1.0f64, 0usize..40, odd).prop_map(|(file, at, cut, put)| Spoil {
        file,
        at,
        cut,
        put,
    })
}

proptest! {
    #![proptest_config(Config { cases: 75, failure_persistence: None, ..Config::default() })]

    #[test]
    fn a_spoilt_library_gives_diagnostics(spoils in proptest::collection::vec(spoil(), 1..4)) {
        let mut files = demo_files();
        let count = files.len();
        for spoil in &spoils {
            let bytes = &mut files[spoil.file % count].1;
            let start = (spoil.at * bytes.len() as f64) as usize;
            let end = (start + spoil.cut).min(bytes.len());
            bytes.splice(start..end, spoil.put.iter().copied());
        }
        let folder = tempfile::tempdir().expect("a folder");
        for (name, bytes) in files {
            let file = folder.path().join(name);
            std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
            std::fs::write(file, bytes).expect("a file");
        }
        let checked = pipeline::check(folder.path()).expect("a readable folder");
        for problem in &checked.problems {
            let text = fettlebook::diagnostic::to_terminal(
                problem,
                &checked.sources,
                "content",
                fettlebook::diagnostic::Style::Plain,
            );
            prop_assert!(text.contains(problem.rule.name));
        }
        let json = fettlebook::diagnostic::to_json(&checked.problems, &checked.sources);
        prop_assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
    }

    #[test]
    fn no_markdown_brings_a_script_to_a_page(text in "[ -~\\n]{0,200}", tag in "<[a-z]{1,8} ?(on[a-z]{1,8}|style|href)='?(javascript:)?[a-z()]{0,9}'?>") {
        let html = commonmark(&format!("{text}\n{tag}\n{text}"));
        let lower = html.to_ascii_lowercase();
        for tag in lower.split('<').skip(1) {
            let tag = tag.split('>').next().unwrap_or("");
            prop_assert!(!tag.starts_with("script") && !tag.starts_with("style"), "{html}");
            prop_assert!(!tag.contains("href=\"javascript:"), "{html}");
        }
    }
}
