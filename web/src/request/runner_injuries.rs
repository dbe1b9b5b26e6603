//! What has hurt: `injury = none`, or for each region `injury.calf` and `injury.calf.recent` and its like.

use catalogue::injury::{Answer, Injury, Region};
use catalogue::runner::Runner;

use super::runner::{RunnerFault, RunnerForm};
use super::wrong::{Wrong, answer, word};

/// The whole history: `none` says that it was asked for and holds nothing.
const HISTORY: &str = "injury";
const NONE: &str = "none";

/// One thing that may be said of an injury.
struct Detail {
    key: &'static str,
    slot: fn(&mut Injury) -> &mut Answer,
}

const DETAILS: [Detail; 4] = [
    Detail { key: "recent", slot: |injury| &mut injury.recent },
    Detail { key: "painful", slot: |injury| &mut injury.painful },
    Detail { key: "cleared", slot: |injury| &mut injury.cleared },
    Detail { key: "current", slot: |injury| &mut injury.current },
];

/// Whether `key` is the history, a region, or a detail of a region, as far as its shape goes: a region nobody knows
/// gets a better sentence from [`read`].
pub(super) fn is_known(key: &str) -> bool {
    let Some(rest) = key.strip_prefix(HISTORY) else { return false };
    let mut parts = rest.split('.').skip(1);
    let (_region, detail, more) = (parts.next(), parts.next(), parts.next());
    (rest.is_empty() || rest.starts_with('.')) && more.is_none() && detail.is_none_or(is_detail)
}

/// Reads every injury that is named by itself or by one of its details.
pub(super) fn read(form: &RunnerForm, runner: &mut Runner, faults: &mut Vec<RunnerFault>) {
    let keys: Vec<&str> = form.answered_keys().filter(|key| is_known(key)).collect();
    runner.history_asked = !keys.is_empty();
    for region in Region::ALL {
        runner.injuries.extend(injury(form, *region, faults));
    }
    let is_named = |region: &str| Region::from_word(region).is_some();
    for key in &keys {
        match key.split('.').nth(1) {
            Some(region) if !is_named(region) => faults.push(no_region(form, key, region)),
            Some(_) => {}
            None => faults.extend(history_fault(form, &keys)),
        }
    }
}

/// The fields that say again what `runner` has told of its injuries.
pub(super) fn written(runner: &Runner) -> impl Iterator<Item = (String, String)> {
    let nothing = runner.history_asked && runner.injuries.is_empty();
    let none = nothing.then(|| (HISTORY.to_owned(), NONE.to_owned()));
    none.into_iter().chain(runner.injuries.iter().copied().flat_map(written_injury))
}

fn written_injury(mut injury: Injury) -> Vec<(String, String)> {
    let name = format!("{HISTORY}.{}", injury.region.word());
    let details = DETAILS.iter().filter_map(|detail| {
        let said = *(detail.slot)(&mut injury);
        said.known().map(|_| (format!("{name}.{}", detail.key), said.word().to_owned()))
    });
    let details: Vec<_> = details.collect();
    [(name, "yes".to_owned())].into_iter().chain(details).collect()
}

fn injury(form: &RunnerForm, region: Region, faults: &mut Vec<RunnerFault>) -> Option<Injury> {
    let name = format!("{HISTORY}.{}", region.word());
    let mut said = |key: &str| {
        let text = form.get(key).map(str::trim)?;
        answer(text).map_err(|wrong| faults.push(form.fault(key, text, &wrong))).ok()
    };
    let whole = said(&name).unwrap_or_default();
    let mut injury = Injury::of(region);
    let (mut told, mut denied) = (whole.is_yes(), None);
    for detail in &DETAILS {
        let key = format!("{name}.{}", detail.key);
        if let Some(answer) = said(&key) {
            *(detail.slot)(&mut injury) = answer;
            told = true;
            denied = denied.or((whole.is_no() && answer.is_yes()).then_some(key));
        }
    }
    if let Some(key) = denied {
        faults.push(RunnerFault::new(
            form.place(&name),
            say!("says no, yet {key} says yes; keep one of the two", key),
        ));
    }
    (told && !whole.is_no()).then_some(injury)
}

fn no_region(form: &RunnerForm, key: &str, region: &str) -> RunnerFault {
    let known = word(region, Region::ALL, Region::word).err().unwrap_or(Wrong::YesNo);
    form.fault(key, region, &known)
}

fn history_fault(form: &RunnerForm, keys: &[&str]) -> Option<RunnerFault> {
    let said = form.get(HISTORY)?.trim();
    if said != NONE {
        return Some(form.fault(HISTORY, said, &Wrong::Word(vec![NONE])));
    }
    let named = keys.iter().find(|key| **key != HISTORY)?;
    let say = say!("says none, yet {named} is answered; take one of the two out", named);
    Some(RunnerFault::new(form.place(HISTORY), say))
}

fn is_detail(key: &str) -> bool {
    DETAILS.iter().any(|detail| detail.key == key)
}
