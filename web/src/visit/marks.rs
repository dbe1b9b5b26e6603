//! What the fitter's hand did with a shoe, in words: kept on top or set aside, and why. It changes no place and no point.

use catalogue::key::StyleKey;

use super::Visit;
use super::order::Shown;
use crate::fittings::{Mark, MarkKind, MarkReason};
use crate::parts::act::Act;
use crate::parts::row_mark::RowMark;
use crate::words;

/// The reasons: as posted, as read on a button, as read in a sentence.
const REASONS: [(MarkReason, &str, &str, &str); 6] = [
    (MarkReason::Comfort, "comfort", word!("Comfort"), word!("comfort")),
    (MarkReason::Size, "size", word!("Length, width, hold"), word!("length, width or hold")),
    (MarkReason::Looks, "looks", word!("Looks"), word!("looks")),
    (MarkReason::Price, "price", word!("Price"), word!("price")),
    (MarkReason::Known, "known", word!("Runner knows it"), word!("the runner knows it")),
    (MarkReason::Fitter, "fitter", word!("My judgement"), word!("the fitter’s judgement")),
];

/// A mark as it is posted: `pin` or `skip`, and a reason.
pub fn read(kind: &str, reason: &str) -> Option<Mark> {
    let kind = match kind {
        "pin" => MarkKind::Pinned,
        "skip" => MarkKind::Skipped,
        _ => return None,
    };
    let found = REASONS.iter().find(|(_, word, ..)| *word == reason).map(|(reason, ..)| *reason);
    // A reason may be left out, but not be another than these.
    (found.is_some() || reason.is_empty()).then_some(Mark { kind, reason: found })
}

/// `Kept on top by the fitter: comfort`.
pub fn in_words(mark: Mark) -> String {
    let did = match mark.kind {
        MarkKind::Pinned => say!("Kept on top by the fitter"),
        MarkKind::Skipped => say!("Set aside by the fitter"),
    };
    let reason = REASONS.iter().find(|(reason, ..)| Some(*reason) == mark.reason);
    reason.map_or_else(|| did.to_owned(), |(.., say)| format!("{did}: {}", words::of(say)))
}

/// Where the order itself has a shoe: `computed place 7`.
pub fn computed(visit: &Visit<'_>, shown: &Shown, key: &StyleKey) -> String {
    match shown.place_of(key, visit.snapshot) {
        Some(place) => say!("computed place {place}", place),
        None => say!("no place computed").to_owned(),
    }
}

/// What a row says and offers.
pub fn of_row(visit: &Visit<'_>, shown: &Shown, key: &StyleKey) -> RowMark {
    let action = visit.href("/mark");
    match visit.fitting.marks.get(key) {
        Some(mark) => RowMark::Is {
            say: format!("{}; {}.", in_words(*mark), computed(visit, shown, key)),
            back: Act::post(action, "free", key.as_str()),
        },
        None => RowMark::Can {
            action,
            style: key.to_string(),
            reasons: REASONS.iter().map(|(_, word, label, _)| (*word, words::of(label))).collect(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reason_is_read_back_and_another_is_none() {
        for (reason, word, ..) in REASONS {
            assert_eq!(read("pin", word), Some(Mark { kind: MarkKind::Pinned, reason: Some(reason) }));
        }
        assert_eq!(read("skip", ""), Some(Mark { kind: MarkKind::Skipped, reason: None }));
        assert_eq!((read("skip", "smell"), read("keep", "looks")), (None, None));
    }
}
