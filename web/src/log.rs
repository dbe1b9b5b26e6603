//! The log: one event a line on standard error, as words or as one JSON object.
//!
//! A line is bounded and holds no control character, so that nothing that was read or typed can end a line, begin one,
//! or speak to a terminal. What a request was about stands in its span ([`crate::layers`]): never its target, its
//! query, its body or its cookies.

use std::fmt::{self, Write as _};
use std::io::{self, IsTerminal, Write};
use std::sync::{Mutex, PoisonError};

use clap::ValueEnum;
use tracing::field::{Field, Visit};
use tracing::span::{Attributes, Id};
use tracing::{Event, Level, Subscriber};
use tracing_subscriber::fmt::format::Writer;
use tracing_subscriber::fmt::time::{FormatTime, SystemTime};
use tracing_subscriber::layer::{Context, Layer, SubscriberExt};
use tracing_subscriber::registry::LookupSpan;
use tracing_subscriber::util::SubscriberInitExt;
use tracing_subscriber::{EnvFilter, Registry};

use crate::metrics;

/// No line is longer, its end included.
pub const LONGEST: usize = 2_048;
/// No text in a line is longer, in characters; what follows is cut off and marked.
const LONGEST_TEXT: usize = 256;
/// As above, of what the program itself has to say.
const LONGEST_WORDS: usize = 1_200;
/// The span that a request's lines belong to.
pub(crate) const REQUEST: &str = "request";

/// How a line is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LogFormat {
    /// For whoever sits at the terminal
    Words,
    /// For a program: one object a line
    Json,
}

impl LogFormat {
    /// Words on a terminal, JSON for whatever else reads standard error.
    pub fn of_reader() -> Self {
        if io::stderr().is_terminal() { Self::Words } else { Self::Json }
    }
}

/// How much of the log there is where nobody says: what goes wrong, and whatever touches safety.
pub const USUAL: &str = "warn,safety=info";

/// Begins the log; `LASTBENCH_LOG` sets how much of it there is.
pub fn keep(format: LogFormat) {
    let filter = EnvFilter::try_from_env("LASTBENCH_LOG").unwrap_or_else(|_| EnvFilter::new(USUAL));
    // A second start in one process, as in tests, keeps the first log.
    let _ = Registry::default().with(filter).with(Lines::to(format, io::stderr())).try_init();
}

/// Says something as a line of the log, however little of the log is kept: where the server listens, why it ended.
pub fn say(format: LogFormat, level: Level, words: &str) {
    let said = Said(vec![("message", cut(words, LONGEST_WORDS))]);
    // Words that nobody reads are no failure.
    let _ = io::stderr().write_all(line(format, level, "lastbench", &said).as_bytes());
}

/// Writes a line an event.
pub(crate) struct Lines<W> {
    format: LogFormat,
    paper: Mutex<W>,
}

/// The named values of an event or a span, in the order in which they were said.
#[derive(Default)]
struct Said(Vec<(&'static str, Value)>);

enum Value {
    Text(String),
    /// As it stands in JSON: a number or a truth.
    Plain(String),
}

impl<W: Write> Lines<W> {
    pub(crate) fn to(format: LogFormat, paper: W) -> Self {
        Self { format, paper: Mutex::new(paper) }
    }
}

impl<S, W> Layer<S> for Lines<W>
where
    S: Subscriber + for<'a> LookupSpan<'a>,
    W: Write + 'static,
{
    fn on_new_span(&self, attributes: &Attributes<'_>, id: &Id, context: Context<'_, S>) {
        if attributes.metadata().name() != REQUEST {
            return;
        }
        let mut said = Said::default();
        attributes.record(&mut said);
        if let Some(span) = context.span(id) {
            span.extensions_mut().insert(said);
        }
    }

    fn on_event(&self, event: &Event<'_>, context: Context<'_, S>) {
        let mut said = Said::default();
        event.record(&mut said);
        for span in context.event_scope(event).into_iter().flatten() {
            if let Some(of_span) = span.extensions().get::<Said>() {
                said.add_missing(of_span);
            }
        }
        let metadata = event.metadata();
        metrics::logged(*metadata.level());
        let line = line(self.format, *metadata.level(), metadata.target(), &said);
        let mut paper = self.paper.lock().unwrap_or_else(PoisonError::into_inner);
        // A log that cannot be written has nobody to tell.
        let _ = paper.write_all(line.as_bytes());
    }
}

/// A line with its end: the whole of it, or, where that is too long, its beginning and what the request was.
fn line(format: LogFormat, level: Level, target: &str, said: &Said) -> String {
    let time = now();
    let head = [("ts", text(&time)), ("level", text(level.as_str())), ("target", text(target))];
    let write = |kept: &dyn Fn(&str) -> bool| {
        let rest = said.0.iter().filter(|(name, _)| kept(name)).map(|(name, value)| (*name, value));
        let all = head.iter().map(|(name, value)| (*name, value)).chain(rest);
        match format {
            LogFormat::Json => in_json(all),
            LogFormat::Words => in_words(all),
        }
    };
    let whole = write(&|_| true);
    if whole.len() <= LONGEST {
        return whole;
    }
    write(&|name| {
        ["message", "who", "request_id", "method", "route", "status", "duration_ms"].contains(&name)
    })
}

fn in_json<'a>(said: impl Iterator<Item = (&'static str, &'a Value)>) -> String {
    let pairs: Vec<String> = said
        .map(|(name, value)| match value {
            Value::Text(text) => format!("\"{name}\":{}", quoted(text)),
            Value::Plain(plain) => format!("\"{name}\":{plain}"),
        })
        .collect();
    format!("{{{}}}\n", pairs.join(","))
}

/// `2026-03-12T09:14:05Z WARN web::serve cut off at the end of the drain time connections=3`.
fn in_words<'a>(said: impl Iterator<Item = (&'static str, &'a Value)>) -> String {
    let mut words = String::new();
    for (name, value) in said {
        let (Value::Text(told) | Value::Plain(told)) = value;
        let value = if told.contains(needs_escape) { quoted(told) } else { told.clone() };
        let _ = match name {
            "ts" | "level" | "target" | "message" => write!(words, "{value} "),
            _ => write!(words, "{name}={value} "),
        };
    }
    words.truncate(words.trim_end().len());
    words.push('\n');
    words
}

/// A JSON string without any control or invisible direction character, as it is.
fn quoted(text: &str) -> String {
    let plain = serde_json::Value::from(text).to_string();
    plain.chars().fold(String::with_capacity(plain.len()), |mut quoted, each| {
        if needs_escape(each) {
            let _ = write!(quoted, "\\u{:04x}", each as u32);
        } else {
            quoted.push(each);
        }
        quoted
    })
}

/// Controls, line ends of Unicode, and what turns the direction of a text: all below 10000 in hexadecimal.
fn needs_escape(each: char) -> bool {
    each.is_control()
        || matches!(each, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn text(text: &str) -> Value {
    cut(text, LONGEST_TEXT)
}

fn cut(text: &str, most: usize) -> Value {
    let mut cut: String = text.chars().take(most).collect();
    if cut.len() < text.len() {
        cut.push('…');
    }
    Value::Text(cut)
}

fn now() -> String {
    let mut time = String::new();
    // Writing into a text cannot fail.
    let _ = SystemTime.format_time(&mut Writer::new(&mut time));
    time
}

impl Said {
    fn add_missing(&mut self, other: &Self) {
        for (name, value) in &other.0 {
            if self.0.iter().all(|(there, _)| there != name) {
                let value = match value {
                    Value::Text(text) => Value::Text(text.clone()),
                    Value::Plain(plain) => Value::Plain(plain.clone()),
                };
                self.0.push((name, value));
            }
        }
    }

    fn add(&mut self, field: &Field, value: Value) {
        self.0.push((field.name(), value));
    }
}

impl Visit for Said {
    fn record_f64(&mut self, field: &Field, value: f64) {
        let plain = if value.is_finite() { value.to_string() } else { "null".to_owned() };
        self.add(field, Value::Plain(plain));
    }

    fn record_i64(&mut self, field: &Field, value: i64) {
        self.add(field, Value::Plain(value.to_string()));
    }

    fn record_u64(&mut self, field: &Field, value: u64) {
        self.add(field, Value::Plain(value.to_string()));
    }

    fn record_bool(&mut self, field: &Field, value: bool) {
        self.add(field, Value::Plain(value.to_string()));
    }

    fn record_str(&mut self, field: &Field, value: &str) {
        self.add(field, text(value));
    }

    fn record_debug(&mut self, field: &Field, value: &dyn fmt::Debug) {
        self.add(field, text(&format!("{value:?}")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(values: Vec<(&'static str, &str)>) -> Said {
        Said(values.into_iter().map(|(name, value)| (name, text(value))).collect())
    }

    fn written(format: LogFormat, said: &Said) -> String {
        line(format, Level::WARN, "web::tests", said)
    }

    #[test]
    fn a_value_with_line_ends_and_terminal_codes_stays_within_its_line() {
        let hostile = "first\r\n{\"level\":\"ERROR\"}\n\u{1b}[31mred\u{9b}2J\u{7f}\u{202e}\u{2028}end\"";
        for format in [LogFormat::Json, LogFormat::Words] {
            let line = written(format, &said(vec![("message", "one"), ("cause", hostile)]));
            assert_eq!(line.matches('\n').count(), 1, "{line}");
            assert!(line.ends_with('\n') && !line.trim_end().contains(needs_escape), "{line:?}");
        }
        let line = written(LogFormat::Json, &said(vec![("cause", hostile)]));
        let read: serde_json::Value = serde_json::from_str(&line).unwrap();
        assert_eq!(read["cause"], hostile, "nothing of it is lost");
    }

    #[test]
    fn no_line_is_longer_than_two_kilobytes_however_much_is_said() {
        let long = "\u{1b}é".repeat(500_000);
        let names = ["message", "route", "request_id", "a", "b", "c", "d", "e", "f", "g", "h", "i", "j"];
        for format in [LogFormat::Json, LogFormat::Words] {
            let one = written(format, &said(vec![("message", "short"), ("cause", &"x".repeat(1_000_000))]));
            assert!(one.len() <= LONGEST && one.contains('…'), "{}", one.len());
            let many = written(
                format,
                &said(names.iter().map(|name| (*name, "y".repeat(400).leak() as &str)).collect()),
            );
            assert!(many.len() <= LONGEST && many.contains("yyyy"), "{}", many.len());
            let escaped = written(format, &said(vec![("message", &long)]));
            assert!(escaped.len() <= LONGEST, "{}", escaped.len());
        }
    }

    #[test]
    fn a_line_says_time_level_and_place_first() {
        let line = written(LogFormat::Json, &said(vec![("message", "a thing"), ("n", "1")]));
        let read: serde_json::Value = serde_json::from_str(&line).unwrap();
        assert_eq!(
            (&read["level"], &read["target"], &read["message"]),
            (&"WARN".into(), &"web::tests".into(), &"a thing".into())
        );
        let time = read["ts"].as_str().unwrap();
        assert!(time.len() >= 20 && time.as_bytes()[10] == b'T' && time.ends_with('Z'), "{time}");
        let words = written(LogFormat::Words, &said(vec![("message", "a thing"), ("n", "1")]));
        assert!(words.ends_with("WARN web::tests a thing n=1\n"), "{words}");
    }
}
