//! Settings from a file: what it says stands in for the defaults of the command line, so that flags and `LASTBENCH_…`
//! variables win over it without a word here.

use std::collections::BTreeMap;
use std::path::PathBuf;

use clap::parser::ValueSource;
use clap::{Arg, ArgMatches, ColorChoice, Command, CommandFactory, ValueEnum};

use super::{Cli, Failure, Out};

/// The arguments as they were understood, and the file that they rest on.
pub(super) struct Settings {
    pub(super) matches: ArgMatches,
    file: Option<File>,
}

/// A file of settings: keys as on the command line, `listen = "0.0.0.0:7340"`.
struct File {
    path: PathBuf,
    values: BTreeMap<String, Vec<String>>,
}

/// Which settings there are: the options of `serve` that take a value. The file itself is none.
fn keys(command: &Command) -> Vec<&Arg> {
    let serve = command.find_subcommand("serve").into_iter().flat_map(Command::get_arguments);
    serve
        .filter(|arg| arg.get_action().takes_values() && arg.get_long().is_some_and(|key| key != "config"))
        .collect()
}

impl Settings {
    /// Reads the arguments of this process. Help and errors of usage end it, as clap does.
    pub(super) fn read() -> Result<Self, Failure> {
        let command = Cli::command().color(colour(&std::env::args().collect::<Vec<_>>()));
        let matches = command.clone().get_matches();
        let named = innermost(&matches).try_get_one::<PathBuf>("config").ok().flatten().cloned();
        let Some(path) = named else { return Ok(Self { matches, file: None }) };
        let text = std::fs::read_to_string(&path)
            .map_err(|fault| Failure::Unreachable(format!("cannot read {}: {fault}", path.display())))?;
        let wrong = |why: String| Failure::Usage(format!("{}: {}", path.display(), why.trim_end()));
        let values = read_values(&text, &command).map_err(wrong)?;
        // The arguments alone were fine: what is wrong now is wrong in the file.
        let matches = with_defaults(command, &values).try_get_matches();
        let matches =
            matches.map_err(|why| wrong(why.to_string().trim_start_matches("error: ").to_owned()))?;
        Ok(Self { matches, file: Some(File { path, values }) })
    }

    /// Prints each setting with where it comes from, as a file that could be read again.
    pub(super) fn print(&self, out: &mut Out) -> Result<(), Failure> {
        let command = Cli::command();
        let matches = innermost(&self.matches);
        out.line("# Flags win over LASTBENCH_… variables, these over the file of --config, and that over what is built in.")?;
        for arg in keys(&command) {
            let key = arg.get_long().unwrap_or_default();
            let line = match value(arg, matches) {
                Some(value) => format!("{key} = {value}"),
                None => format!("# {key}"),
            };
            out.line(format_args!("{line:<40} # {}", self.source(arg, matches)))?;
        }
        Ok(())
    }

    fn source(&self, arg: &Arg, matches: &ArgMatches) -> String {
        let key = arg.get_long().unwrap_or_default();
        let of_file = self.file.as_ref().filter(|file| file.values.contains_key(key));
        match (matches.value_source(arg.get_id().as_str()), of_file) {
            (Some(ValueSource::CommandLine), _) => format!("--{key}"),
            (Some(ValueSource::EnvVariable), _) => {
                arg.get_env().unwrap_or_default().to_string_lossy().into_owned()
            }
            (Some(_), Some(file)) => file.path.display().to_string(),
            (Some(_), None) => "built in".to_owned(),
            (None, _) => "not set".to_owned(),
        }
    }
}

/// What `--color` says, before anything is understood: errors of usage are coloured too.
fn colour(arguments: &[String]) -> ColorChoice {
    let said = |at: usize| match arguments[at].strip_prefix("--color") {
        Some("") => arguments.get(at + 1).map(String::as_str),
        Some(rest) => rest.strip_prefix('='),
        None => None,
    };
    let said = (0..arguments.len()).find_map(said);
    said.and_then(|word| ColorChoice::from_str(word, true).ok()).unwrap_or_default()
}

fn innermost(matches: &ArgMatches) -> &ArgMatches {
    matches.subcommand().map_or(matches, |(_, inner)| innermost(inner))
}

/// The value as it would stand in a file; `None` when there is none.
fn value(arg: &Arg, matches: &ArgMatches) -> Option<String> {
    let values = matches.get_raw(arg.get_id().as_str())?;
    let values: Vec<String> =
        values.map(|value| toml::Value::from(&*value.to_string_lossy()).to_string()).collect();
    let key = arg.get_long().unwrap_or_default();
    match &values[..] {
        [] => None,
        _ if is_secret(key) => Some("\"***\"".to_owned()),
        [one] if arg.get_action().takes_values() && !takes_many(arg) => Some(one.clone()),
        many => Some(format!("[{}]", many.join(", "))),
    }
}

fn takes_many(arg: &Arg) -> bool {
    matches!(arg.get_action(), clap::ArgAction::Append)
}

/// A setting that nobody may read over a shoulder, by its name. What is secret is named by a file, as a rule.
fn is_secret(key: &str) -> bool {
    let word = |word: &str| matches!(word, "password" | "secret" | "token" | "pin" | "passphrase");
    key.rsplit('-').next().is_some_and(word)
}

/// The values of a file, by key.
fn read_values(text: &str, command: &Command) -> Result<BTreeMap<String, Vec<String>>, String> {
    let table: toml::Table =
        text.parse().map_err(|fault: toml::de::Error| fault.to_string().trim_end().to_owned())?;
    let known = keys(command);
    let mut values = BTreeMap::new();
    for (key, value) in table {
        let Some(arg) = known.iter().find(|arg| arg.get_long() == Some(&*key)) else {
            return Err(unknown(&key, &known));
        };
        let listed = match value {
            toml::Value::Array(each) if takes_many(arg) => each.iter().map(written).collect::<Option<_>>(),
            other => written(&other).map(|value| vec![value]),
        };
        let listed =
            listed.ok_or_else(|| format!("{key} is no text, number or truth; write {key} = \"…\""))?;
        values.insert(key, listed);
    }
    Ok(values)
}

fn unknown(key: &str, known: &[&Arg]) -> String {
    let names = || known.iter().filter_map(|arg| arg.get_long());
    let near = names().map(|name| (strsim::jaro_winkler(key, name), name)).max_by(|a, b| a.0.total_cmp(&b.0));
    match near.filter(|(likeness, _)| *likeness > 0.75) {
        Some((_, name)) => format!("there is no setting {key:?}; {name:?} is one"),
        None => format!("there is no setting {key:?}; there are {}", names().collect::<Vec<_>>().join(", ")),
    }
}

fn written(value: &toml::Value) -> Option<String> {
    match value {
        toml::Value::String(text) => Some(text.clone()),
        toml::Value::Integer(_) | toml::Value::Float(_) | toml::Value::Boolean(_) => Some(value.to_string()),
        _ => None,
    }
}

/// The command line with these values as its defaults, in every command that has such an option.
fn with_defaults(command: Command, values: &BTreeMap<String, Vec<String>>) -> Command {
    let names: Vec<String> = command.get_subcommands().map(|each| each.get_name().to_owned()).collect();
    let own = |command: &Command| {
        let here =
            command.get_arguments().filter(|arg| arg.get_long().is_some_and(|key| values.contains_key(key)));
        here.map(|arg| arg.get_id().clone()).collect::<Vec<_>>()
    };
    let with_own = own(&command).into_iter().fold(command, |command, id| {
        command.mut_arg(id, |arg| {
            let of_file = arg.get_long().and_then(|key| values.get(key)).cloned().unwrap_or_default();
            // clap holds what is lent to it for as long as the process lives, and this happens once in it.
            arg.default_values(of_file.into_iter().map(|value| &*value.leak()))
        })
    });
    names
        .into_iter()
        .fold(with_own, |command, name| command.mut_subcommand(name, |inner| with_defaults(inner, values)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(text: &str) -> String {
        read_values(text, &Cli::command()).unwrap_err()
    }

    #[test]
    fn a_key_nearly_right_is_told_which_one_it_is_like() {
        assert_eq!(fault("lisen = \"x\""), "there is no setting \"lisen\"; \"listen\" is one");
        let all = fault("colour = 1");
        assert!(
            all.starts_with("there is no setting \"colour\"; there are ") && all.contains("listen"),
            "{all}"
        );
        assert!(fault("config = \"x\"").starts_with("there is no setting"));
        assert!(fault("listen = {}").contains("no text"));
    }

    #[test]
    fn a_list_is_taken_where_there_may_be_several() {
        let values = read_values("host = [\"a\", \"b\"]\ndata = \"here\"", &Cli::command()).unwrap();
        assert_eq!(
            (&values["host"][..], &values["data"][..]),
            (&["a".into(), "b".into()][..], &["here".into()][..])
        );
        assert!(fault("data = [\"a\"]").contains("no text"));
    }

    #[test]
    fn only_the_value_of_a_secret_is_hidden() {
        assert!(is_secret("owner-password") && is_secret("token") && is_secret("pin"));
        assert!(!is_secret("pin-file") && !is_secret("listen") && !is_secret("private-key"));
    }

    /// A secret stands in the list of processes as a flag and in the environment of every child: it comes by a file.
    #[test]
    fn no_option_takes_a_secret_itself() {
        let mut command = Cli::command();
        command.build();
        let all = command.get_subcommands().flat_map(Command::get_arguments).chain(command.get_arguments());
        let secret: Vec<_> = all.filter_map(Arg::get_long).filter(|key| is_secret(key)).collect();
        assert!(secret.is_empty(), "{secret:?}");
    }
}
