//! `import`: a supplier's sheet, read, shown, and applied when the owner says so.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{fs, io};

use clap::Args;
use indexer::finding::{Holds, Severity, grouped};
use indexer::mapping::{MappingFile, SheetKind};
use indexer::proposal::Missing;
use indexer::shop::{ImportError, Progress, Shop, Told, Understood};
use indexer::store::ChangeId;

use super::consent::{Consent, reported};
use super::open::{Locked, locked, looked_at, signed};
use super::progress::watched;
use super::{Failure, Out, WhereArgs};
use crate::wire::import::{ImportReply, MappingSource};

/// What `import` is told.
#[derive(Debug, Args)]
pub(super) struct ImportArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The sheet, or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Who sent it; all sheets without one count as one supplier's
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
    /// How it is to be read
    #[arg(long, value_name = "FILE")]
    mapping: Option<PathBuf>,
    /// Write down how it was understood, to be changed and given back with --mapping
    #[arg(long, value_name = "FILE")]
    mapping_out: Option<PathBuf>,
    /// What becomes of what a full sheet leaves out; nothing is ever deleted
    #[arg(long, value_name = "POLICY", default_value = "keep", value_parser = ["keep", "out-of-stock", "retire"])]
    missing: String,
    /// All that the supplier has, or a part of it: full or partial
    #[arg(long, value_name = "KIND", value_parser = kind)]
    kind: Option<SheetKind>,
    /// Write the rows with problems to a workbook, to be mended and imported again
    #[arg(long, value_name = "FILE.xlsx")]
    problems: Option<PathBuf>,
    #[command(flatten)]
    consent: Consent,
}

pub(super) fn run(args: &ImportArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let told = Told {
        supplier: args.supplier.clone(),
        mapping: read_mapping(args.mapping.as_deref())?,
        kind: args.kind,
    };
    let (name, bytes) = read_sheet(&args.file)?;
    // The lock lives as long as the import does.
    let (shop, _lock) = open(args)?;
    let progress = Progress::default();
    let understood =
        watched(&progress, out.is_quiet(), || shop.understand_watched(&name, bytes, &told, &progress));
    let understood = understood.map_err(not_understood)?;
    write_files(args, &understood, told.mapping.as_ref(), out)?;
    let change = decide(args, &shop, &understood, &progress, out)?;
    report(args, &understood, change, out)?;
    let counts = &understood.proposal.counts;
    let held = counts.held > 0 || counts.held_cells > 0 || understood.proposal.is_refused();
    if held { out.done_with_problems() } else { out.done() }
}

/// The mapping and the rows to mend, where they were asked for.
fn write_files(
    args: &ImportArgs,
    understood: &Understood,
    told: Option<&MappingFile>,
    out: &Out,
) -> Result<(), Failure> {
    if let Some(path) = &args.mapping_out {
        write(path, understood.mapping_file(told).to_toml().as_bytes())?;
    }
    let Some(path) = &args.problems else { return Ok(()) };
    if let Some(bytes) = understood.problem_rows(&str::to_owned).map_err(Failure::unreachable)? {
        return write(path, &bytes);
    }
    out.word(format_args!("No row has to be mended: {} was not written.", path.display()));
    Ok(())
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    fs::write(path, bytes).map_err(|e| Failure::Unreachable(format!("cannot write {}: {e}", path.display())))
}

fn kind(word: &str) -> Result<SheetKind, String> {
    match word {
        "full" => Ok(SheetKind::Full),
        "partial" => Ok(SheetKind::Partial),
        _ => Err("say full or partial".to_owned()),
    }
}

fn open(args: &ImportArgs) -> Result<(Shop, Option<fs::File>), Failure> {
    if args.consent.check {
        return Ok((looked_at(&args.place)?, None));
    }
    let Locked { shop, lock } = locked(&args.place, "The page /sheets of that server imports sheets.")?;
    Ok((shop, Some(lock)))
}

fn read_mapping(path: Option<&Path>) -> Result<Option<MappingFile>, Failure> {
    let Some(path) = path else { return Ok(None) };
    let text = fs::read_to_string(path)
        .map_err(|e| Failure::Unreachable(format!("cannot read the mapping {}: {e}", path.display())))?;
    MappingFile::parse(&text).map(Some).map_err(|fault| Failure::Problems(fault.to_string()))
}

fn read_sheet(path: &Path) -> Result<(String, Vec<u8>), Failure> {
    if path == Path::new("-") {
        let mut bytes = Vec::new();
        io::stdin()
            .read_to_end(&mut bytes)
            .map_err(|e| Failure::Unreachable(format!("cannot read standard input: {e}")))?;
        return Ok(("standard-input.csv".to_owned(), bytes));
    }
    let bytes =
        fs::read(path).map_err(|e| Failure::Unreachable(format!("cannot read {}: {e}", path.display())))?;
    Ok((path.file_name().unwrap_or_default().to_string_lossy().into_owned(), bytes))
}

fn not_understood(fault: ImportError) -> Failure {
    match fault {
        ImportError::Unreadable(why) => Failure::Problems(why.to_string()),
        ImportError::Store(why) => Failure::unreachable(why),
        ImportError::NoRoom(why) => Failure::unreachable(why),
        ImportError::Cancelled => Failure::Problems(fault.to_string()),
    }
}

/// Applies when the owner says so; `None` when nothing was applied.
fn decide(
    args: &ImportArgs,
    shop: &Shop,
    understood: &Understood,
    progress: &Progress,
    out: &Out,
) -> Result<Option<ChangeId>, Failure> {
    if understood.proposal.is_refused() {
        if !args.consent.check {
            to_settle(understood, out);
        }
        return Ok(None);
    }
    if !args.consent.is_given(|| summary(understood), out)? {
        return Ok(None);
    }
    let missing = Missing::from_word(&args.missing).unwrap_or_default();
    let key = format!("cli-{}-{}-{}", understood.proposal.digest, understood.proposal.base.0, missing.word());
    let by = signed(key);
    watched(progress, out.is_quiet(), || shop.apply_watched(understood, missing, &by, progress))
        .map_err(super::changes::not_applied)
}

/// What has to be settled before anything can be applied, --yes or not.
fn to_settle(understood: &Understood, out: &Out) {
    out.needed(
        "Nothing was applied. Settle this first, with --mapping FILE (--mapping-out FILE writes one):",
    );
    for finding in understood.proposal.findings.iter().filter(|finding| finding.code.holds() == Holds::Sheet)
    {
        out.needed(format_args!("  {}: {}", finding.place, finding.say));
    }
}

fn source(args: &ImportArgs, understood: &Understood) -> MappingSource {
    match (&args.mapping, &understood.remembered) {
        (Some(_), _) => MappingSource::File,
        (None, Some(_)) => MappingSource::Remembered,
        (None, None) => MappingSource::Guessed,
    }
}

fn report(
    args: &ImportArgs,
    understood: &Understood,
    change: Option<ChangeId>,
    out: &mut Out,
) -> Result<(), Failure> {
    let written = if args.consent.json {
        out.json(&ImportReply::of(understood, source(args, understood), change))
    } else {
        in_words(understood, change, out)
    };
    reported(written, change, out)
}

fn summary(understood: &Understood) -> String {
    let counts = &understood.proposal.counts;
    let missing = match counts.missing {
        0 => String::new(),
        missing => format!(", {missing} missing"),
    };
    format!(
        "{} from {}: {} rows: {} new, {} changed, {} unchanged, {} held{missing}.",
        understood.reading.sheet,
        understood.reading.supplier,
        counts.data_rows,
        counts.new,
        counts.changed,
        counts.unchanged,
        counts.held
    )
}

fn in_words(understood: &Understood, change: Option<ChangeId>, out: &mut Out) -> Result<(), Failure> {
    out.line(summary(understood))?;
    for group in grouped(&understood.proposal.findings) {
        let severity = match group.first.code.severity() {
            Severity::Stop => "held",
            Severity::Warn => "look at",
            Severity::Note => "note",
        };
        out.line(format_args!(
            "{severity}: {} ({} times). {}",
            group.first.code.word(),
            group.all.len(),
            group.first.code.says()
        ))?;
        for finding in group.all.iter().take(3) {
            out.line(format_args!("  {}: {}", finding.place, finding.say))?;
        }
    }
    match change {
        Some(change) => {
            out.line(format_args!("Applied as change {0}. `lastbench undo {0}` takes it back.", change.0))
        }
        None if understood.proposal.is_refused() => {
            out.line("Nothing was applied: the sheet as a whole cannot be read. See what is held above.")
        }
        None => out.line("Nothing was applied."),
    }
}
