//! The text format 0.0.4 of Prometheus: families with their help and kind, and samples with their labels.

use std::fmt::{self, Write};

use super::histogram::Histogram;

/// What every name begins with.
const PREFIX: &str = "lastbench_";
/// The kind of content, for its header.
pub const CONTENT_TYPE: &str = "text/plain; version=0.0.4; charset=utf-8";

/// What a family counts.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// What only grows.
    Counter,
    /// What goes up and down.
    Gauge,
    /// Times by how long they were.
    Histogram,
}

/// A text being written.
#[derive(Debug, Default)]
pub struct Text {
    text: String,
    family: &'static str,
}

impl Text {
    /// Begins a family; its samples follow.
    pub fn family(&mut self, name: &'static str, kind: Kind, help: &str) {
        self.family = name;
        let kind = match kind {
            Kind::Counter => "counter",
            Kind::Gauge => "gauge",
            Kind::Histogram => "histogram",
        };
        self.line(format_args!("# HELP {PREFIX}{name} {help}"));
        self.line(format_args!("# TYPE {PREFIX}{name} {kind}"));
    }

    /// One number of the family.
    pub fn sample(&mut self, labels: &[(&str, &str)], value: u64) {
        let family = self.family;
        self.line(format_args!("{PREFIX}{family}{} {value}", Labels(labels)));
    }

    /// One histogram of the family.
    pub fn histogram(&mut self, labels: &[(&str, &str)], times: &Histogram) {
        let family = self.family;
        let bucket = |bound: &str| {
            let with_bound: Vec<_> = labels.iter().copied().chain([("le", bound)]).collect();
            Labels(&with_bound).to_string()
        };
        for (bound, count) in times.buckets() {
            self.line(format_args!("{PREFIX}{family}_bucket{} {count}", bucket(&bound.to_string())));
        }
        self.line(format_args!("{PREFIX}{family}_bucket{} {}", bucket("+Inf"), times.count()));
        self.line(format_args!("{PREFIX}{family}_sum{} {}", Labels(labels), times.sum()));
        self.line(format_args!("{PREFIX}{family}_count{} {}", Labels(labels), times.count()));
    }

    /// The whole text.
    pub fn done(self) -> String {
        self.text
    }

    fn line(&mut self, line: fmt::Arguments<'_>) {
        // Writing into a text cannot fail.
        let _ = writeln!(self.text, "{line}");
    }
}

struct Labels<'a>(&'a [(&'a str, &'a str)]);

impl fmt::Display for Labels<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, (name, value)) in self.0.iter().enumerate() {
            let value = value.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
            write!(f, "{}{name}=\"{value}\"", if at == 0 { '{' } else { ',' })?;
        }
        if self.0.is_empty() { Ok(()) } else { f.write_char('}') }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_family_is_written_with_help_kind_labels_and_all_its_buckets() {
        let mut times = Histogram::of(&[1_000, 2_500]);
        times.add(Duration::from_millis(2));
        let mut text = Text::default();
        text.family("answer_seconds", Kind::Histogram, "How long.");
        text.histogram(&[("route", "/a\"b")], &times);
        assert_eq!(
            text.done(),
            "# HELP lastbench_answer_seconds How long.\n\
             # TYPE lastbench_answer_seconds histogram\n\
             lastbench_answer_seconds_bucket{route=\"/a\\\"b\",le=\"0.001\"} 0\n\
             lastbench_answer_seconds_bucket{route=\"/a\\\"b\",le=\"0.0025\"} 1\n\
             lastbench_answer_seconds_bucket{route=\"/a\\\"b\",le=\"+Inf\"} 1\n\
             lastbench_answer_seconds_sum{route=\"/a\\\"b\"} 0.002\n\
             lastbench_answer_seconds_count{route=\"/a\\\"b\"} 1\n"
        );
    }
}
