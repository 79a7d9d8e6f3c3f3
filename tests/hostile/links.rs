//! Links that go round, lead out, or lead nowhere.

use std::os::unix::fs::symlink;

use super::{check_with, expect, message, note};

#[test]
fn links_out_of_the_library_and_round_in_it_are_named_and_not_followed() {
    let outside = tempfile::tempdir().expect("a folder");
    std::fs::write(outside.path().join("secret.md"), note("secret\n")).expect("a file");
    let found = check_with(&[("notes/a.md", &note("x\n"))], |folder| {
        symlink(
            outside.path().join("secret.md"),
            folder.join("notes/secret.md"),
        )
        .expect("a link");
        symlink(outside.path(), folder.join("videos")).expect("a link");
        symlink("../..", folder.join("notes/up")).expect("a link");
        symlink(".", folder.join("notes/here")).expect("a link");
        symlink("two.md", folder.join("notes/one.md")).expect("a link");
        symlink("one.md", folder.join("notes/two.md")).expect("a link");
        symlink("/dev/zero", folder.join("tools.yaml")).expect("a link");
    });
    expect(
        &found,
        &[
            "outside-library notes/here:1:1",
            "outside-library notes/one.md:1:1",
            "outside-library notes/secret.md:1:1",
            "outside-library notes/two.md:1:1",
            "outside-library notes/up:1:1",
            "outside-library tools.yaml:1:1",
            "outside-library videos:1:1",
        ],
    );
    assert_eq!(
        message(&found, "outside-library"),
        "this link leads back into its own folder"
    );
    assert!(!found.library.pages.contains_key("secret"));
}

#[test]
fn a_pipe_is_not_waited_for() {
    let found = check_with(&[], |folder| {
        let made = std::process::Command::new("mkfifo")
            .arg(folder.join("tools.yaml"))
            .status();
        assert!(made.expect("mkfifo").success());
    });
    expect(&found, &["outside-library tools.yaml:1:1"]);
}
