//! Where a setting comes from, and what the program says about itself.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::process::Output;

use tests::program::{Lastbench, Ran, argument};

fn ran(output: &Output) -> Ran {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    Ran { code: output.status.code(), stdout: text(&output.stdout), stderr: text(&output.stderr) }
}

/// The line of a setting, spaces in a row as one.
fn told(lastbench: &Lastbench, arguments: &[&str], settings: &[(&str, &str)], key: &str) -> String {
    let all = [&["config", "print"], arguments].concat();
    let output = lastbench.command(&all).envs(settings.iter().copied()).output().unwrap();
    let ran = ran(&output);
    assert_eq!(ran.code, Some(0), "{ran:?}");
    let line = ran.stdout.lines().find(|line| line.trim_start_matches("# ").starts_with(&format!("{key} ")));
    line.unwrap_or_else(|| panic!("{key} is not in {}", ran.stdout))
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn flags_win_over_variables_these_over_the_file_and_that_over_what_is_built_in() {
    let lastbench = tests::lastbench!();
    let file = lastbench
        .write("shop.toml", "listen = \"127.0.0.1:1\"\nhost = [\"a:1\", \"b:1\"]\nlog = \"words\"\n");
    let config = argument(&file);
    let variable = ("LASTBENCH_LISTEN", "127.0.0.1:2");
    let built_in = told(&lastbench, &[], &[], "listen");
    assert_eq!(built_in, "listen = \"127.0.0.1:7340\" # built in");
    let of_file = told(&lastbench, &["--config", config], &[], "listen");
    assert_eq!(of_file, format!("listen = \"127.0.0.1:1\" # {config}"));
    assert_eq!(told(&lastbench, &[], &[("LASTBENCH_CONFIG", config)], "listen"), of_file);
    let of_variable = told(&lastbench, &["--config", config], &[variable], "listen");
    assert_eq!(of_variable, "listen = \"127.0.0.1:2\" # LASTBENCH_LISTEN");
    let of_flag = told(&lastbench, &["--config", config, "--listen", "127.0.0.1:3"], &[variable], "listen");
    assert_eq!(of_flag, "listen = \"127.0.0.1:3\" # --listen");
    assert_eq!(
        told(&lastbench, &["--config", config], &[], "host"),
        format!("host = [\"a:1\", \"b:1\"] # {config}")
    );
    assert_eq!(told(&lastbench, &[], &[], "log"), "# log # not set");
}

#[test]
fn what_is_printed_is_a_file_that_says_the_same() {
    let lastbench = tests::lastbench!();
    let first = lastbench.done(&[
        "config",
        "print",
        "--data",
        "else\"where",
        "--host",
        "a:1",
        "--host",
        "b:1",
        "--log",
        "json",
    ]);
    let file = lastbench.write("again.toml", &first);
    let second = lastbench.done(&["config", "print", "--config", argument(&file)]);
    let values = |text: &str| -> toml::Table { text.parse().unwrap() };
    assert_eq!(values(&first), values(&second));
    assert_eq!(values(&first)["data"].as_str(), Some("else\"where"));
}

#[test]
fn a_file_with_a_fault_is_refused_with_its_name_and_what_to_write() {
    let lastbench = tests::lastbench!();
    for (text, saying) in [
        ("lisen = \"127.0.0.1:1\"", "there is no setting \"lisen\"; \"listen\" is one"),
        ("listen = \"nowhere\"", "invalid value 'nowhere' for '--listen"),
        ("log = \"loud\"", "[possible values: words, json]"),
        ("listen = ", "shop.toml"),
        ("[serve]\nlisten = \"127.0.0.1:1\"", "there is no setting \"serve\""),
    ] {
        let file = lastbench.write("shop.toml", text);
        for command in [&["serve", "--sample"][..], &["config", "print"]] {
            let ran = lastbench.run(&[command, &["--config", argument(&file)]].concat());
            ran.assert_no_panic();
            let said = ran.stderr.contains("shop.toml") && ran.stderr.contains(saying);
            assert!(ran.code == Some(2) && said && ran.stdout.is_empty(), "{text}: {ran:?}");
        }
    }
    let file = lastbench.write("shop.toml", "lisen = 1");
    assert_eq!(
        lastbench.run(&["history", "--config", argument(&file)]).code,
        Some(2),
        "no command reads past it"
    );
    let ran = lastbench.run(&["history", "--config", "no-such.toml"]);
    assert!(ran.code == Some(3) && ran.stderr.contains("cannot read no-such.toml"), "{ran:?}");
}

#[test]
fn every_command_works_on_the_folder_that_the_file_names() {
    let lastbench = tests::lastbench!();
    let sheet = lastbench.write("a.csv", "Maker,Style number,Name\nOrrelby,OR-1,Sound\n");
    let file = lastbench.write("shop.toml", "data = \"shop\"\n");
    let config = ["--config", argument(&file)];
    lastbench.done(&[&["import", "--yes", argument(&sheet)], &config[..]].concat());
    assert!(lastbench.at("shop").is_dir() && !lastbench.data().exists());
    assert!(lastbench.done(&[&["search", "sound"], &config[..]].concat()).contains("Sound"));
    let elsewhere = lastbench.run(&[&["search", "sound", "--data", "other"], &config[..]].concat());
    assert_eq!(elsewhere.code, Some(3), "a flag wins: {elsewhere:?}");
}

#[test]
fn without_a_word_the_program_says_in_short_what_it_does_and_exits_2() {
    let lastbench = tests::lastbench!();
    let ran = lastbench.run(&[]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    let lines = ran.stderr.lines().count();
    assert!(lines <= 25 && ran.stderr.lines().all(|line| line.len() <= 100), "{}", ran.stderr);
    assert!(
        ran.stderr.contains("lastbench serve --sample") && ran.stderr.contains("lastbench --help"),
        "{}",
        ran.stderr
    );
}

/// Every command as the help lists them.
fn commands(lastbench: &Lastbench) -> Vec<String> {
    let help = lastbench.done(&["--help"]);
    let (_, listed) = help.split_once("Commands:\n").unwrap();
    let lines = listed.lines().take_while(|line| line.starts_with("  "));
    let names: Vec<String> =
        lines.filter_map(|line| line.split_whitespace().next().map(str::to_owned)).collect();
    assert!(names.len() > 15, "{help}");
    names.into_iter().filter(|name| name != "help").collect()
}

#[test]
fn help_on_a_command_is_the_same_either_way_round_and_a_slip_is_told_what_was_meant() {
    let lastbench = tests::lastbench!();
    for command in commands(&lastbench) {
        let asked = lastbench.done(&["help", &command]);
        assert_eq!(asked, lastbench.done(&[&command, "--help"]), "{command}");
        assert!(asked.contains("Usage: lastbench"), "{asked}");
    }
    let ran = lastbench.run(&["serv"]);
    assert!(ran.code == Some(2) && ran.stderr.contains("'serve'"), "{ran:?}");
    let ran = lastbench.run(&["import", "--yess", "a.csv"]);
    assert!(ran.code == Some(2) && ran.stderr.contains("'--yes'"), "{ran:?}");
}

#[test]
fn each_shell_gets_completions_and_each_command_its_page_of_the_manual() {
    let lastbench = tests::lastbench!();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = lastbench.done(&["completions", shell]);
        assert!(script.contains("healthcheck") && script.contains("listen"), "{shell}");
    }
    for page in commands(&lastbench) {
        let page = lastbench.done(&["man", &page]);
        assert!(page.contains(".SH NAME") && page.contains(".SH SYNOPSIS"), "{page}");
    }
    assert!(lastbench.done(&["man"]).contains("130 stopped by Ctrl"));
    assert_eq!(lastbench.run(&["man", "stroll"]).code, Some(2));
}

#[test]
fn no_colour_reaches_a_pipe_unless_it_is_asked_for_and_quiet_leaves_what_failed() {
    let lastbench = tests::lastbench!();
    let coloured = |arguments: &[&str]| {
        let ran = lastbench.run(arguments);
        (ran.stdout + &*ran.stderr).contains('\u{1b}')
    };
    assert!(!coloured(&["--help"]) && !coloured(&["stroll"]) && !coloured(&["--color", "never", "stroll"]));
    assert!(coloured(&["--color", "always", "stroll"]) && coloured(&["serve", "--color=always", "--help"]));
    let search = ["search", "--sample", "marl"];
    let loud = lastbench.run(&search);
    let quiet = lastbench.run(&[&search[..], &["--quiet"]].concat());
    assert!(!loud.stderr.is_empty() && quiet.stderr.is_empty(), "{loud:?} {quiet:?}");
    assert_eq!(loud.stdout, quiet.stdout, "data is no word");
    let failed = lastbench.run(&["history", "--quiet"]);
    assert!(failed.code == Some(3) && failed.stderr.contains("there is no catalogue"), "{failed:?}");
}

/// What stops it is a signal, as the shell tells by 130.
#[test]
#[cfg(unix)]
fn ctrl_c_ends_a_command_at_once_as_the_help_says() {
    use std::os::unix::process::ExitStatusExt;
    use std::process::{Command, Stdio};

    let lastbench = tests::lastbench!();
    let mut child = lastbench
        .command(&["import", "--yes", "-"])
        .stdin(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let interrupted = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(interrupted.success());
    let ended = child.wait().unwrap();
    assert_eq!(ended.signal(), Some(2), "{ended:?}");
    assert!(!lastbench.data().exists(), "nothing was kept");
    assert!(lastbench.done(&["--help"]).contains("130 stopped by Ctrl-C"));
}
