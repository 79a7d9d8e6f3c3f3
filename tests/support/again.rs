//! A test file as a program: it runs one of its own tests again, as another user or where a disk may be mounted.

use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Names the folder in which a test that was started again is to work.
pub const FOLDER: &str = "FETTLEBOOK_TEST_FOLDER";

/// The folder, if this is a test that was started again.
pub fn given_folder() -> Option<PathBuf> {
    std::env::var_os(FOLDER).map(PathBuf::from)
}

/// This file as a program that runs one of its tests in `folder`, started by the words of `launcher`.
pub fn run_again(launcher: &[&str], test: &str, folder: &Path) -> Command {
    let this = std::env::current_exe().expect("this program");
    let mut words = launcher.iter().map(|word| (*word).into());
    let program = words
        .next()
        .unwrap_or_else(|| this.clone().into_os_string());
    let mut command = Command::new(program);
    command.args(words);
    if !launcher.is_empty() {
        command.arg(this);
    }
    command
        .args(["--exact", test, "--nocapture"])
        .env(FOLDER, folder);
    command
}

/// Runs a test again in a name space where `disk` is a disk of its own of `size`, which ends with the process. Where no disk
/// may be mounted, says so and does nothing.
pub fn on_a_disk_of_its_own(size: &str, test: &str, disk: &Path) {
    let script = format!("mount -t tmpfs -o size={size} fettlebook \"$0\" || exit 77; exec \"$@\"");
    let shown = disk.to_str().expect("text");
    let unshare: &[&str] = match is_root() {
        true => &["unshare", "--mount"],
        false => &["unshare", "--mount", "--map-root-user"],
    };
    let launcher = [unshare, &["sh", "-c", &script, shown]].concat();
    let status = run_again(&launcher, test, disk)
        .stdout(Stdio::inherit())
        .status();
    match status.map(|status| status.code()) {
        Ok(Some(0)) => println!("{test}: ran on a disk of its own of {size}"),
        Ok(Some(77 | 1)) | Err(_) if !may_mount(unshare) => {
            println!("{test}: SKIPPED, no disk can be mounted here");
        }
        other => panic!("{test} failed on a disk of its own: {other:?}"),
    }
}

fn may_mount(unshare: &[&str]) -> bool {
    let probe = [unshare, &["mount", "-t", "tmpfs", "probe", "/mnt"]].concat();
    let status = Command::new(probe[0])
        .args(&probe[1..])
        .stderr(Stdio::null())
        .status();
    status.is_ok_and(|status| status.success())
}

/// Runs a test again as a user to whom permissions apply: as they do not to root, root runs it as nobody. The folder is that
/// user's own.
pub fn as_a_plain_user(test: &str) {
    const NOBODY: u32 = 65534;
    let folder = tempfile::tempdir().expect("a folder");
    let everyone = std::fs::Permissions::from_mode(0o755);
    std::fs::set_permissions(folder.path(), everyone).expect("permissions");
    let id = NOBODY.to_string();
    let as_nobody = ["setpriv", "--reuid", &id, "--regid", &id, "--clear-groups"];
    let launcher: &[&str] = match is_root() {
        true => {
            chown(folder.path(), Some(NOBODY), Some(NOBODY)).expect("given away");
            &as_nobody
        }
        false => &[],
    };
    let mut command = run_again(launcher, test, folder.path());
    let status = command.env("HOME", folder.path()).status();
    let status = status.unwrap_or_else(|error| panic!("{test}: {launcher:?}: {error}"));
    assert!(status.success(), "{test} failed as a plain user: {status}");
}

fn is_root() -> bool {
    std::fs::metadata("/proc/self").is_ok_and(|about| about.uid() == 0)
}
