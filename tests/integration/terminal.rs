//! The program at a terminal, in a pipe, and where it may not write.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use tests::program::argument;

#[test]
fn progress_is_shown_on_a_terminal_alone_and_the_reply_stays_one_document() {
    let lastbench = tests::lastbench!();
    let folder = lastbench.at("");
    tests::python::run(
        "integration/terminal.py",
        &[env!("CARGO_BIN_EXE_lastbench-under-test"), argument(&folder)],
    );
}

/// A server on a folder for somebody who may not do everything, and who that is. Root may write everywhere, so that the
/// program is run as nobody; whoever is not root takes the right from itself.
#[cfg(target_os = "linux")]
fn as_nobody(lastbench: &tests::program::Lastbench, data: &std::path::Path) -> (std::process::Command, u32) {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;

    const NOBODY: u32 = 65_534;
    std::fs::set_permissions(lastbench.at(""), std::fs::Permissions::from_mode(0o755)).unwrap();
    let arguments = ["serve", "--log", "words", "--listen", "127.0.0.1:0", "--data", argument(data)];
    let mine = std::fs::metadata("/proc/self").unwrap().uid();
    if mine != 0 {
        return (lastbench.command(&arguments), mine);
    }
    // The program of the tests may lie where nobody may go.
    let program = lastbench.at("program");
    std::fs::copy(env!("CARGO_BIN_EXE_lastbench-under-test"), &program).unwrap();
    std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
    let mut command = std::process::Command::new(program);
    command.args(arguments).current_dir(lastbench.at("")).uid(NOBODY).gid(NOBODY);
    (command, NOBODY)
}

#[test]
#[cfg(target_os = "linux")]
fn one_file_of_somebody_elses_is_named_with_the_user_and_the_command_that_helps() {
    use std::os::unix::fs::PermissionsExt;

    let lastbench = tests::lastbench!();
    lastbench.done(&["import", "--yes", argument(&tests::sample::sample("range.csv"))]);
    let set = |path: &std::path::Path, mode| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    let (data, store) = (lastbench.data(), lastbench.data().join("catalogue.sqlite"));
    for entry in std::fs::read_dir(&data).unwrap().flatten() {
        set(&entry.path(), 0o777);
    }
    set(&data, 0o777);
    set(&store, 0);
    let (mut command, user) = as_nobody(&lastbench, &data);
    let output = command.output().unwrap();
    let words = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{words}");
    for told in [argument(&store), &format!("user {user}"), "chmod -R u+rwX"] {
        assert!(words.contains(told), "{told:?} is not in {words}");
    }
    set(&store, 0o600);
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_may_not_be_written_to_is_named_with_the_user_and_the_command_that_helps() {
    use std::os::unix::fs::PermissionsExt;

    let lastbench = tests::lastbench!();
    let shut = lastbench.at("shut");
    std::fs::create_dir(&shut).unwrap();
    std::fs::set_permissions(&shut, std::fs::Permissions::from_mode(0o555)).unwrap();
    let data = shut.join("data");
    let (mut command, user) = as_nobody(&lastbench, &data);
    let output = command.output().unwrap();
    let words = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{words}");
    assert_eq!(words.lines().count(), 1, "{words}");
    for told in [argument(&data), &format!("user {user}"), &format!("chown -R {user} {}", data.display())] {
        assert!(words.contains(told), "{told:?} is not in {words}");
    }
    std::fs::set_permissions(&shut, std::fs::Permissions::from_mode(0o755)).unwrap();
}
