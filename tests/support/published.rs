//! What a checked library is published as, without a disk.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, OnceLock};

use fettlebook::pipeline::{self, Checked};
use fettlebook::site::Site;
use fettlebook::text::SitePath;

/// Every file of the site, by address, as text.
pub fn published(checked: &Checked) -> BTreeMap<String, String> {
    let errors = checked.problems.iter().filter(|problem| problem.stops());
    let errors: Vec<_> = errors.collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let files = Mutex::new(BTreeMap::new());
    let keep = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        let text = String::from_utf8_lossy(bytes).into_owned();
        files.lock().expect("files").insert(path.to_string(), text);
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&keep);
    files.into_inner().expect("files")
}

/// The demo library and its site, made once for all tests of a file.
pub fn demo() -> &'static (Checked, BTreeMap<String, String>) {
    static DEMO: OnceLock<(Checked, BTreeMap<String, String>)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
        let checked = pipeline::check(&folder).expect("the demo");
        let site = published(&checked);
        (checked, site)
    })
}

/// A folder beside the tests' own, where `tests/run` puts what they need.
pub fn packages(name: &str) -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"));
    target.parent().expect("the target folder").join(name)
}

/// What a program says of a folder that holds these files, as JSON.
pub fn judged<'f>(
    program: &str,
    script: &str,
    packages: &Path,
    files: impl Iterator<Item = (&'f String, &'f String)>,
) -> serde_json::Value {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("a file");
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(script);
    let output = std::process::Command::new(program)
        .args([script.as_path(), packages, folder.path()])
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}; tests/run installs it");
    serde_json::from_slice(&output.stdout).expect("JSON")
}
