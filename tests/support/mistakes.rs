//! Ten mistakes that a writer makes, made in a copy of the demo library.

use std::path::Path;

/// One mistake: the file, the text that stands there once, what is written instead, the rule that finds it, and the
/// words it must point at.
pub struct Mistake {
    file: &'static str,
    good: &'static str,
    bad: &'static str,
    rule: &'static str,
    points_at: &'static str,
}

/// Ten different mistakes in ten different places.
pub const MISTAKES: [Mistake; 10] = [
    mistake(
        "jobs/fit-splined-hub.md",
        "torques:\n",
        "torqes:\n",
        "unknown-field",
        "torqes",
    ),
    mistake(
        "jobs/shrink-flange-ring.md",
        "issue: 3\n",
        "issue: three\n",
        "wrong-type",
        "three",
    ),
    mistake(
        "jobs/replace-stern-seal.md",
        "## Steps\n",
        "## Stepps\n",
        "no-steps",
        "",
    ),
    mistake(
        "jobs/tighten-head.md",
        "number: J-14\n",
        "number: j-13\n",
        "duplicate-id",
        "j-13",
    ),
    mistake(
        "library.yaml",
        "from: OB2-0850",
        "from: OB2-0852",
        "hull-gap",
        "OB2-0852",
    ),
    mistake(
        "library.yaml",
        "media/arrangement.svg",
        "media/arangement.svg",
        "missing-picture",
        "media/arangement.svg",
    ),
    mistake(
        "jobs/set-valves.md",
        "](tool:",
        "](tol:",
        "unknown-scheme",
        "tol:",
    ),
    mistake(
        "notices.yaml",
        "  avoidance:",
        "  avoidence:",
        "unknown-field",
        "avoidence",
    ),
    mistake(
        "parts.yaml",
        "by: [RP-403]",
        "by: [RP-401]",
        "broken-chain",
        "RP-402",
    ),
    mistake(
        "bulletins/notice-07-coupling-nut.md",
        "was: 160 N·m",
        "was: 160",
        "bad-quantity",
        "160",
    ),
];

const fn mistake(
    file: &'static str,
    good: &'static str,
    bad: &'static str,
    rule: &'static str,
    points_at: &'static str,
) -> Mistake {
    Mistake {
        file,
        good,
        bad,
        rule,
        points_at,
    }
}

/// Makes the mistakes in a library and gives where each must be found: `rule file:line:column`.
pub fn library_with(library: &Path, mistakes: &[Mistake]) -> Vec<String> {
    // Whatever differs from what was published wants a line in its page's history as well.
    std::fs::remove_dir_all(library.join("editions")).expect("the editions");
    for mistake in mistakes {
        let path = library.join(mistake.file);
        let text = std::fs::read_to_string(&path).expect("a file of the library");
        assert!(
            text.contains(mistake.good),
            "{}: {}",
            mistake.file,
            mistake.good
        );
        std::fs::write(&path, text.replacen(mistake.good, mistake.bad, 1)).expect("a file");
    }
    mistakes
        .iter()
        .map(|mistake| place(library, mistake))
        .collect()
}

fn place(library: &Path, mistake: &Mistake) -> String {
    let text = std::fs::read_to_string(library.join(mistake.file)).expect("a file of the library");
    let offset = match (mistake.rule, mistake.points_at) {
        // A job without steps is pointed at where its body begins.
        ("no-steps", _) => text.find("\n---\n").expect("front matter") + 5,
        // A circle is pointed at where its first part names its successor.
        ("broken-chain", word) => text.find(&format!("by: [{word}]")).expect("the successor") + 5,
        (_, word) => {
            let written = text.find(mistake.bad).expect("the mistake");
            written + mistake.bad.find(word).expect("its words")
        }
    };
    let before = &text[..offset];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    format!("{} {}:{line}:{column}", mistake.rule, mistake.file)
}
