//! Manifests: every dependency says why it is there, and comes from the public registry.

use std::collections::BTreeSet;
use std::fs;

use crate::none_of;
use crate::tree::root;

const MEMBERS: [&str; 4] = ["catalogue", "indexer", "web", "tests"];

/// A manifest's dependencies.
pub(crate) struct Manifest {
    lines: Vec<Line>,
}

/// One dependency.
pub(crate) struct Line {
    section: String,
    pub(crate) name: String,
    reason: String,
}

impl Manifest {
    pub(crate) fn read(path: &str) -> Self {
        let text = fs::read_to_string(root().join(path)).unwrap_or_else(|fault| panic!("{path}: {fault}"));
        let (mut section, mut lines) = (String::new(), Vec::new());
        for line in text.lines() {
            if line.starts_with('[') {
                line.clone_into(&mut section);
            } else if let Some((told, _)) =
                line.split_once('=').filter(|_| section.ends_with("dependencies]"))
                && !line.starts_with([' ', '#', '"'])
            {
                let name = told.split('.').next().unwrap_or(told).trim().to_owned();
                let reason = line.split_once('#').map_or("", |(_, reason)| reason).trim().to_owned();
                lines.push(Line { section: section.clone(), name, reason });
            }
        }
        Self { lines }
    }

    pub(crate) fn of_section(&self, section: &str) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |line| line.section == section)
    }

    /// Whether it names a library, spelt as in code.
    pub(crate) fn names(&self, library: &str) -> bool {
        self.lines.iter().any(|line| line.name.replace('-', "_") == library)
    }
}

/// The four parts need no reason beside the arrows.
#[test]
fn every_dependency_carries_its_reason() {
    let mut silent = Vec::new();
    for member in MEMBERS {
        let path = format!("{member}/Cargo.toml");
        let lines = Manifest::read(&path).lines.into_iter();
        let foreign = lines.filter(|line| !MEMBERS.contains(&&*line.name));
        silent.extend(
            foreign.filter(|line| line.reason.is_empty()).map(|line| format!("{path}: {}", line.name)),
        );
    }
    none_of(&silent, "say behind each dependency, on its line, why it is there");
}

#[test]
fn every_package_comes_from_the_public_registry_or_from_here() {
    let lock = fs::read_to_string(root().join("Cargo.lock")).expect("Cargo.lock");
    let public = "source = \"registry+https://github.com/rust-lang/crates.io-index\"";
    let sources = lock.lines().filter(|line| line.starts_with("source = ") && *line != public);
    let strange: Vec<_> = sources.map(String::from).collect::<BTreeSet<_>>().into_iter().collect();
    none_of(&strange, "Cargo.lock may name the public registry alone");
    let config = fs::read_to_string(root().join(".cargo/config.toml")).expect(".cargo/config.toml");
    let hosts: Vec<_> = config
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter(|line| ["[source", "[registr", "replace-with", "http"].iter().any(|word| line.contains(word)))
        .map(String::from)
        .collect();
    none_of(
        &hosts,
        ".cargo/config.toml names no registry: where packages come from is the machine's business",
    );
}
