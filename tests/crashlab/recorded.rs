//! What a program did to a folder, deed by deed, so that it can be done again to a copy, in part.

use std::collections::{BTreeMap, HashMap};
use std::fs;
use std::path::Path;

use crate::trace::Call;

/// A file or a folder, whatever it is called: its place among all of them.
pub(crate) type Node = usize;

#[derive(Clone)]
pub(crate) enum Content {
    File(Vec<u8>),
    Folder(BTreeMap<String, Node>),
}

/// A folder with all that is in it; the first node.
#[derive(Clone)]
pub(crate) struct Tree(pub(crate) Vec<Content>);

/// What is done at once.
pub(crate) enum Deed {
    Write {
        file: Node,
        at: usize,
        bytes: Vec<u8>,
    },
    Cut {
        file: Node,
        length: usize,
    },
    /// A name is given, or taken away.
    Name {
        folder: Node,
        name: String,
        node: Option<Node>,
    },
    Move {
        from: (Node, String),
        to: (Node, String),
        node: Node,
    },
    Sync(Node),
    /// The answer that acknowledges a change begins to be written.
    Acknowledge(usize),
}

/// A deed from its first to its last line of the trace.
pub(crate) struct Done {
    pub(crate) deed: Deed,
    pub(crate) begin: usize,
    pub(crate) end: usize,
}

/// A folder as it was, and what was done to it.
pub(crate) struct Recorded {
    /// With everything that is made later as empty nodes without a name.
    pub(crate) start: Tree,
    pub(crate) done: Vec<Done>,
    folder: String,
    /// As it is after all of them.
    names: Tree,
    /// By the number of the open file: the node, and how far it is written.
    open: HashMap<i64, (Node, usize)>,
}

/// SQLite rebuilds it whenever a store is opened after a power cut.
const NOT_KEPT: &str = "-shm";

impl Recorded {
    /// Nothing done yet to a folder on which nothing runs.
    pub(crate) fn of(folder: &Path) -> Self {
        let start = Tree::read(folder);
        let folder = folder.to_str().unwrap().to_owned();
        Self { names: start.clone(), start, done: Vec::new(), folder, open: HashMap::new() }
    }

    /// Takes in the calls of a process.
    pub(crate) fn add(&mut self, calls: &[Call]) {
        for call in calls {
            if let Some(change) = acknowledged(call) {
                self.push(call, Deed::Acknowledge(change));
            } else if call.is_in(&self.folder) && call.result != Some(-1) {
                self.take(call);
            }
        }
    }

    fn push(&mut self, call: &Call, deed: Deed) {
        self.done.push(Done { deed, begin: call.begin, end: call.end });
    }

    fn take(&mut self, call: &Call) {
        match call.name.as_str() {
            "openat" => self.opened(call),
            "write" | "pwrite64" => self.written(call),
            "ftruncate" => {
                if let Some(file) = self.node_at(call) {
                    self.push(call, Deed::Cut { file, length: call.number(1) as usize });
                }
            }
            "fsync" | "fdatasync" => {
                if let Some(node) = self.node_at(call) {
                    self.push(call, Deed::Sync(node));
                }
            }
            "lseek" => {
                let (number, to) = (call.file(0).unwrap().0, call.result.unwrap_or(0) as usize);
                if let Some((_, at)) = self.open.get_mut(&number) {
                    *at = to;
                }
            }
            "mkdir" => self.named(call, &call.path(0), Some(Content::Folder(BTreeMap::new()))),
            "rmdir" | "unlink" => self.named(call, &call.path(0), None),
            "unlinkat" => self.named(call, &call.path(1), None),
            "rename" => self.moved(call, &call.path(0), &call.path(1)),
            "renameat" | "renameat2" => self.moved(call, &call.path(1), &call.path(3)),
            "fcntl" if !call.has("F_DUPFD") && !call.has("F_DUPFD_CLOEXEC") => {}
            // Memory that is only read, and the memory that users of a store share.
            "mmap" if !call.has("MAP_SHARED") || !call.has("PROT_WRITE") => {}
            "mmap" if call.file(4).is_some_and(|(_, path)| path.ends_with(NOT_KEPT)) => {}
            _ => panic!("a way to change a file that is not known here: {call:?}"),
        }
    }

    fn opened(&mut self, call: &Call) {
        let path = call.path(1);
        let (Some(number), false) = (call.result, path.ends_with(NOT_KEPT)) else { return };
        assert!(!call.has("O_TMPFILE") && !call.has("O_APPEND"), "{call:?}");
        if self.find(&path).is_none() {
            assert!(call.has("O_CREAT"), "opened and never made: {path}");
            self.named(call, &path, Some(Content::File(Vec::new())));
        }
        let node = self.find(&path).unwrap();
        if call.has("O_TRUNC") {
            self.push(call, Deed::Cut { file: node, length: 0 });
        }
        self.open.insert(number, (node, 0));
    }

    fn written(&mut self, call: &Call) {
        let Some(file) = self.node_at(call) else { return };
        let (mut bytes, number) = (call.bytes(1), call.file(0).unwrap().0);
        bytes.truncate(call.result.map_or(usize::MAX, |written| written as usize));
        let behind = &mut self.open.get_mut(&number).unwrap().1;
        let at = if call.name == "write" { *behind } else { call.number(3) as usize };
        if call.name == "write" {
            *behind += bytes.len();
        }
        self.push(call, Deed::Write { file, at, bytes });
    }

    /// The node of the open file that a call begins with.
    fn node_at(&self, call: &Call) -> Option<Node> {
        let (number, path) = call.file(0).unwrap();
        if path.ends_with(NOT_KEPT) {
            return None;
        }
        let (node, _) = *self.open.get(&number).unwrap_or_else(|| panic!("never opened: {call:?}"));
        // One without a name may still be written.
        assert!(self.find(&path).is_none_or(|named| named == node), "{number} is not {path}");
        Some(node)
    }

    fn named(&mut self, call: &Call, path: &str, new: Option<Content>) {
        if path.ends_with(NOT_KEPT) {
            return;
        }
        let (folder, name) = self.place(path);
        let node = new.map(|content| {
            self.start.0.push(content.clone());
            self.names.0.push(content);
            self.names.0.len() - 1
        });
        self.names.name(folder, &name, node);
        self.push(call, Deed::Name { folder, name, node });
    }

    fn moved(&mut self, call: &Call, from: &str, to: &str) {
        let (node, from, to) = (self.find(from).unwrap(), self.place(from), self.place(to));
        self.names.name(from.0, &from.1, None);
        self.names.name(to.0, &to.1, Some(node));
        self.push(call, Deed::Move { from, to, node });
    }

    /// The folder of a path, and its name there.
    fn place(&self, path: &str) -> (Node, String) {
        let (folder, name) = path.rsplit_once('/').unwrap();
        (self.find(folder).unwrap_or_else(|| panic!("no folder {folder}")), name.to_owned())
    }

    /// What has this name in the folder itself by now.
    pub(crate) fn at_root(&self, name: &str) -> Option<Node> {
        self.find(&format!("{}/{name}", self.folder))
    }

    fn find(&self, path: &str) -> Option<Node> {
        let below = path.strip_prefix(&self.folder)?;
        below.split('/').filter(|name| !name.is_empty()).try_fold(0, |node, name| match &self.names.0[node] {
            Content::Folder(names) => names.get(name).copied(),
            Content::File(_) => None,
        })
    }
}

/// The change that an answer acknowledges.
fn acknowledged(call: &Call) -> Option<usize> {
    if !matches!(call.name.as_str(), "write" | "writev" | "sendto" | "sendmsg") {
        return None;
    }
    let (_, to) = call.file(0)?;
    let bytes = if to.starts_with("socket:") { call.all_bytes() } else { return None };
    let head = String::from_utf8_lossy(&bytes);
    let head = head.split_once("\r\n\r\n")?.0;
    let place = head.strip_prefix("HTTP/1.0 303 ")?.split("location: ").nth(1)?.lines().next()?;
    place.rsplit_once("?done=")?.1.parse().ok()
}

impl Tree {
    pub(crate) fn read(folder: &Path) -> Self {
        let mut tree = Self(vec![Content::Folder(BTreeMap::new())]);
        tree.take(folder, 0);
        tree
    }

    fn take(&mut self, folder: &Path, at: Node) {
        for entry in fs::read_dir(folder).unwrap().flatten() {
            let (path, name) = (entry.path(), entry.file_name().to_str().unwrap().to_owned());
            if name.ends_with(NOT_KEPT) {
                continue;
            }
            let node = self.0.len();
            if path.is_dir() {
                self.0.push(Content::Folder(BTreeMap::new()));
                self.take(&path, node);
            } else {
                self.0.push(Content::File(fs::read(&path).unwrap()));
            }
            self.name(at, &name, Some(node));
        }
    }

    pub(crate) fn name(&mut self, folder: Node, name: &str, node: Option<Node>) {
        let Content::Folder(names) = &mut self.0[folder] else { panic!("{name} in a file") };
        match node {
            Some(node) => names.insert(name.to_owned(), node),
            None => names.remove(name),
        };
    }

    pub(crate) fn write(&mut self, file: Node, at: usize, bytes: &[u8]) {
        let Content::File(content) = &mut self.0[file] else { panic!("a folder is written to") };
        content.resize(content.len().max(at + bytes.len()), 0);
        content[at..at + bytes.len()].copy_from_slice(bytes);
    }

    pub(crate) fn cut(&mut self, file: Node, length: usize) {
        let Content::File(content) = &mut self.0[file] else { panic!("a folder is cut short") };
        content.resize(length, 0);
    }

    /// Every file that has a name, by its path.
    pub(crate) fn files(&self) -> BTreeMap<String, &[u8]> {
        let mut files = BTreeMap::new();
        let mut open = vec![(String::new(), 0)];
        while let Some((path, node)) = open.pop() {
            match &self.0[node] {
                Content::File(bytes) => {
                    files.insert(path, bytes.as_slice());
                }
                Content::Folder(names) => {
                    open.extend(names.iter().map(|(name, node)| (format!("{path}/{name}"), *node)));
                }
            }
        }
        files
    }
}
