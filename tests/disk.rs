//! The walk of a library, reading and adding files.

mod support;

use fettlebook::disk::{Found, FoundKind, create, read, walk};
use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::symlink;
use std::path::Path;
use support::folders::{library, put, site_path};

fn found(folder: &Path) -> Vec<(String, FoundKind)> {
    let found = walk(folder).expect("a walk");
    let pair = |each: Found| (each.path.as_str().to_owned(), each.kind);
    found.into_iter().map(pair).collect()
}

fn files(names: &[&str]) -> Vec<(String, FoundKind)> {
    let pair = |name: &&str| ((*name).to_owned(), FoundKind::File);
    names.iter().map(pair).collect()
}

#[test]
fn a_walk_is_sorted_by_the_bytes_of_the_whole_path() {
    let library = library(&[
        "jobs/b.md",
        "jobs.md",
        "jobs/a/c.md",
        "Z.md",
        "a.md",
        "é.md",
    ]);
    let sorted = [
        "Z.md",
        "a.md",
        "jobs.md",
        "jobs/a/c.md",
        "jobs/b.md",
        "é.md",
    ];
    assert_eq!(found(library.path()), files(&sorted));
}

#[test]
fn hidden_names_and_editors_leftovers_are_passed_over() {
    let library = library(&[
        "a.md",
        "a.md~",
        "b.swp",
        ".c.md",
        ".git/config",
        "#a.md#",
        "#",
        "d#.md",
    ]);
    symlink("nobody@nowhere", library.path().join(".#a.md")).expect("a link");
    assert_eq!(found(library.path()), files(&["#", "a.md", "d#.md"]));
}

#[test]
fn the_size_is_told_before_anything_is_read() {
    let library = library(&["a.md"]);
    let large = fs::File::create(library.path().join("large.md")).expect("a file");
    // A file with a hole: four gigabytes that take no room on the disk.
    large.set_len(4 << 30).expect("a hole");
    let found = walk(library.path()).expect("a walk");
    let sizes: Vec<u64> = found.iter().map(|each| each.bytes).collect();
    assert_eq!(sizes, [4, 4 << 30]);
}

#[test]
fn links_are_followed_inside_the_folder_only() {
    let outside = library(&["secret.md"]);
    let library = library(&["a.md", "media/x.svg"]);
    let at = |name: &str| library.path().join(name);
    symlink("a.md", at("inside.md")).expect("a link");
    symlink(at("media"), at("pictures")).expect("a link");
    symlink(outside.path().join("secret.md"), at("outside.md")).expect("a link");
    symlink(outside.path(), at("outside")).expect("a link");
    symlink("missing.md", at("broken.md")).expect("a link");
    symlink("..", at("media/up")).expect("a link");
    let expected = [
        ("a.md", FoundKind::File),
        ("broken.md", FoundKind::BrokenLink),
        ("inside.md", FoundKind::File),
        ("media/up", FoundKind::FolderLinkAgain),
        ("media/x.svg", FoundKind::File),
        ("outside", FoundKind::OutsideLink),
        ("outside.md", FoundKind::OutsideLink),
        ("pictures/up", FoundKind::FolderLinkAgain),
        ("pictures/x.svg", FoundKind::File),
    ];
    let expected = expected.map(|(name, kind)| (name.to_owned(), kind));
    assert_eq!(found(library.path()), expected);
}

#[test]
fn links_that_multiply_do_not_make_the_walk_endless() {
    let library = library(&["f00/page.md"]);
    for level in 1..40 {
        let folder = library.path().join(format!("f{level:02}"));
        fs::create_dir(&folder).expect("a folder");
        for name in ["x", "y"] {
            let below = format!("../f{:02}", level - 1);
            symlink(below, folder.join(name)).expect("a link");
        }
    }
    let found = found(library.path());
    // The page itself and by its two nearest links; each of the others is reported at its two ends.
    assert_eq!(
        found
            .iter()
            .filter(|each| each.1 == FoundKind::File)
            .count(),
        3
    );
    assert!(found.len() < 40 * 5, "{} found", found.len());
}

#[test]
fn names_that_cannot_be_written_are_reported_with_a_likeness() {
    let library = library(&["a:b.md", "tab\there.md", "fine.md", "bad\\folder/below.md"]);
    put(&library.path().join(OsStr::from_bytes(b"caf\xe9.md")), "");
    let expected = [
        ("a\u{fffd}b.md", FoundKind::BadName),
        ("bad\u{fffd}folder", FoundKind::BadName),
        ("caf\u{fffd}.md", FoundKind::BadName),
        ("fine.md", FoundKind::File),
        ("tab\u{fffd}here.md", FoundKind::BadName),
    ];
    let expected = expected.map(|(name, kind)| (name.to_owned(), kind));
    assert_eq!(found(library.path()), expected);
}

#[test]
fn a_socket_is_not_a_file_and_is_not_read() {
    let library = library(&[]);
    let socket = library.path().join("socket");
    let _listener = std::os::unix::net::UnixListener::bind(&socket).expect("a socket");
    let expected = [("socket".to_owned(), FoundKind::NotAFile)];
    assert_eq!(found(library.path()), expected);
    let error = read(library.path(), &site_path("socket")).expect_err("not a file");
    assert!(error.to_string().ends_with(": it is not a file"), "{error}");
}

#[test]
fn a_missing_library_is_one_clear_sentence() {
    let error = walk(Path::new("no-such-folder")).expect_err("missing");
    let sentence = "cannot read the folder `no-such-folder`: No such file or directory";
    assert_eq!(error.to_string(), sentence);
    let library = library(&["a.md"]);
    let error = walk(&library.path().join("a.md")).expect_err("a file");
    assert_eq!(error.source.kind(), ErrorKind::NotADirectory);
}

#[test]
fn reading_gives_the_bytes_and_never_leaves_the_folder() {
    let outside = library(&["secret.md"]);
    let library = library(&["jobs/a.md"]);
    symlink(outside.path(), library.path().join("out")).expect("a link");
    let path = site_path("jobs/a.md");
    assert_eq!(read(library.path(), &path).expect("bytes"), b"jobs/a.md");
    let error = read(library.path(), &site_path("out/secret.md")).expect_err("outside");
    assert!(
        error.to_string().contains("leads out of the library"),
        "{error}"
    );
    let missing = read(library.path(), &site_path("b.md")).expect_err("missing");
    assert_eq!(missing.source.kind(), ErrorKind::NotFound);
}

#[test]
fn a_file_is_added_whole_and_never_replaced() {
    let outside = library(&[]);
    let library = library(&["a.md"]);
    let add = |path: &str| create(library.path(), &site_path(path), b"new");
    add("editions/2026/03.yaml").expect("created");
    let error = add("a.md").expect_err("taken");
    assert_eq!(error.source.kind(), ErrorKind::AlreadyExists);
    symlink(outside.path(), library.path().join("out")).expect("a link");
    add("out/deep/b.md").expect_err("outside");
    assert_eq!(fs::read_dir(outside.path()).expect("a folder").count(), 0);
    let text = |path: &str| fs::read_to_string(library.path().join(path)).expect("a text");
    assert_eq!(
        (text("a.md"), text("editions/2026/03.yaml")),
        ("a.md".into(), "new".into())
    );
    // Hidden names are passed over by `walk`, so the folder itself is asked for leftovers.
    assert_eq!(fs::read_dir(library.path()).expect("a folder").count(), 3);
}
