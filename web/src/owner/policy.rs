//! The house policy as the owner reads and changes it: what is typed, what that would change, and what it would do to
//! the order of the sample's runners.

use catalogue::policy::HousePolicy;
use catalogue::policy::items::{Item, Topic, items};
use indexer::loaded::Seq;
use indexer::snapshot::Snapshot;

use super::policy_moves::moves;
use crate::pages::policy::{PolicyChange, PolicyField, PolicyPage, PolicyPreview, PolicyTopic};
use crate::parts::act::Act;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::request::policy_file::from_toml;
use crate::words;

/// The address of the page.
pub const POLICY: &str = "/policy";
/// The field for the change at which the form was drawn.
pub const AT: &str = "at";
/// The field for why.
pub const WHY: &str = "why";
/// The field for a pasted file.
pub const FILE: &str = "file";
/// The field that asks for the defaults.
pub const DEFAULTS: &str = "defaults";
/// The field that applies what was looked at.
pub const APPLY: &str = "apply";
/// Characters of a reason.
const LONGEST_WHY: usize = 200;

/// What was posted, understood.
pub struct Asked {
    /// The policy it would be.
    pub policy: HousePolicy,
    /// Why.
    pub why: String,
    /// The change at which the form was drawn.
    pub seen: Seq,
}

/// Reads a posted form: the defaults, a pasted file, or the fields. Fields that were not posted stay as they are.
pub fn read(answers: &Answers, snapshot: &Snapshot) -> Result<Asked, Vec<Problem>> {
    let why = answers.get(WHY).trim().to_owned();
    let mut problems = Vec::new();
    let policy = if answers.has(DEFAULTS, "yes") {
        HousePolicy::standard()
    } else if answers.get(FILE).trim().is_empty() {
        fields(answers, snapshot.policy().clone(), &mut problems)
    } else {
        file(answers.get(FILE), &mut problems)
    };
    if why.chars().count() > LONGEST_WHY || why.chars().any(char::is_control) {
        let say = say!("Why: say it in one line of at most {value} characters.", value = LONGEST_WHY);
        problems.push(Problem { field: WHY.to_owned(), say });
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Asked { policy, why, seen: Seq(answers.get(AT).parse().unwrap_or_default()) })
}

fn fields(answers: &Answers, mut policy: HousePolicy, problems: &mut Vec<Problem>) -> HousePolicy {
    for item in items().filter(|item| answers.0.iter().any(|(name, _)| name == item.key)) {
        let text = if item.has_ends() {
            let (from, to) = answers.ends(item.key);
            format!("{} to {}", from.trim(), to.trim())
        } else {
            answers.get(item.key).to_owned()
        };
        if let Err(wrong) = item.hear(&mut policy, &text) {
            let say = format!("{}: “{text}” {}.", words::of(item.label), words::made(&wrong.to_string()));
            problems.push(Problem { field: item.key.to_owned(), say });
        }
    }
    policy
}

fn file(text: &str, problems: &mut Vec<Problem>) -> HousePolicy {
    from_toml(text).unwrap_or_else(|faults| {
        problems.extend(faults.into_iter().map(|fault| {
            let line = fault.line.map_or_else(String::new, |line| say!("Line {line}: ", line));
            Problem { field: FILE.to_owned(), say: format!("{line}{}", words::made(&fault.say)) }
        }));
        HousePolicy::standard()
    })
}

/// The page with the policy in force, or with what was typed and what is wrong with it.
pub fn page(snapshot: &Snapshot, typed: Option<&Answers>, problems: Vec<Problem>) -> PolicyPage {
    let field = |item: &'static Item| field(item, snapshot.policy(), typed);
    let topic = |topic: &Topic| PolicyTopic {
        id: topic.word(),
        name: name(*topic),
        says: says(*topic),
        fields: items().filter(|item| item.topic == *topic).map(field).collect(),
    };
    PolicyPage {
        action: POLICY.to_owned(),
        at: snapshot.seq().0,
        topics: Topic::ALL.iter().map(topic).collect(),
        why: typed.map_or_else(String::new, |typed| typed.get(WHY).to_owned()),
        file: typed.map_or_else(String::new, |typed| typed.get(FILE).to_owned()),
        problems,
        overtaken: String::new(),
        preview: None,
        defaults: Act::Post {
            action: POLICY.to_owned(),
            fields: vec![
                (AT.to_owned(), snapshot.seq().0.to_string()),
                (DEFAULTS.to_owned(), "yes".to_owned()),
                (WHY.to_owned(), say!("back to the defaults").to_owned()),
            ],
        },
    }
}

fn field(item: &'static Item, policy: &HousePolicy, typed: Option<&Answers>) -> PolicyField {
    let (now, default) = (item.say(policy), item.say(&HousePolicy::standard()));
    let said = typed.filter(|typed| typed.0.iter().any(|(name, _)| name == item.key));
    let values = match (said, item.has_ends()) {
        (Some(typed), true) => {
            let (from, to) = typed.ends(item.key);
            vec![from.to_owned(), to.to_owned()]
        }
        (Some(typed), false) => vec![typed.get(item.key).to_owned()],
        (None, true) => now.split(" to ").map(str::to_owned).collect(),
        (None, false) => vec![now.clone()],
    };
    PolicyField {
        name: item.key,
        label: words::of(item.label),
        unit: words::of(item.unit()),
        values,
        limits: limits(item),
        changed: now != default,
        default: in_words(&default),
        does: words::of(item.does),
    }
}

/// What would change, and what that would do to the order of the sample's runners.
pub fn preview(asked: &Asked, snapshot: &Snapshot) -> PolicyPreview {
    let now = snapshot.policy();
    let changed = |item: &&Item| item.say(now) != item.say(&asked.policy);
    let change = |item: &Item| PolicyChange {
        label: format!("{}, {}", words::lowered(name(item.topic)), words::lowered(words::of(item.label))),
        unit: words::of(item.unit()),
        now: or_none(in_words(&item.say(now))),
        then: or_none(in_words(&item.say(&asked.policy))),
    };
    let changes: Vec<PolicyChange> = items().filter(changed).map(change).collect();
    let apply = (!changes.is_empty()).then(|| Act::Post { action: POLICY.to_owned(), fields: again(asked) });
    PolicyPreview {
        moves: if changes.is_empty() { Vec::new() } else { moves(snapshot, &asked.policy) },
        empty: snapshot.skus().is_empty(),
        why: asked.why.clone(),
        changes,
        apply,
    }
}

fn or_none(said: String) -> String {
    if said.is_empty() { say!("none").to_owned() } else { said }
}

/// Everything that is applied, posted once more: what is applied is what was looked at.
fn again(asked: &Asked) -> Vec<(String, String)> {
    let texts = |item: &'static Item| {
        let said = item.say(&asked.policy);
        let texts: Vec<String> =
            if item.has_ends() { said.split(" to ").map(str::to_owned).collect() } else { vec![said] };
        texts.into_iter().map(|text| (item.key.to_owned(), text))
    };
    let known = [(AT, asked.seen.0.to_string()), (WHY, asked.why.clone()), (APPLY, "yes".to_owned())];
    known.into_iter().map(|(name, value)| (name.to_owned(), value)).chain(items().flat_map(texts)).collect()
}

/// A value of the policy as people read it: `-4 to -1`, `6.5`.
fn in_words(value: &str) -> String {
    match value.split_once(" to ") {
        Some((from, to)) => say!("{from} to {to}", from = words::number(from), to = words::number(to)),
        None => words::number(value),
    }
}

/// `-12 to 0 mm`, or how many words there are to choose from.
fn limits(item: &Item) -> String {
    let limits = item.limits();
    let ends = limits.split_once(" to ").and_then(|(from, rest)| Some((from, rest.split_once(' ')?)));
    match ends {
        Some((from, (to, unit))) => say!("{from} to {to} {unit}", from, to, unit = words::of(unit)),
        None => words::made(&limits),
    }
}

fn name(topic: Topic) -> &'static str {
    match topic {
        Topic::Less => say!("Less shoe"),
        Topic::Same => say!("The same again"),
        Topic::More => say!("More shoe"),
        Topic::Race => say!("A first pair to race in"),
        Topic::New => say!("Without a worn pair"),
        Topic::NewRace => say!("Racing without a worn pair"),
        Topic::Reach => say!("Reach beyond a band"),
        Topic::Steps => say!("Steps"),
        Topic::Unknown => say!("In place of what is unknown"),
        Topic::Shop => say!("The shop"),
    }
}

fn says(topic: Topic) -> &'static str {
    match topic {
        Topic::Less => say!("Bands for a runner who goes to less shoe, counted from the pair worn now."),
        Topic::Same => say!("Bands for a runner who stays, counted from the pair worn now."),
        Topic::More => say!("Bands for a runner who goes back to more shoe, counted from the pair worn now."),
        Topic::Race => say!("Bands for racing when the worn pair is not for racing, counted from it."),
        Topic::New => say!("Bands as they stand, for a new start or where the worn pair lacks the measure."),
        Topic::NewRace => say!("The same for racing."),
        Topic::Reach => {
            say!(
                "Outside its band a measure counts less with each millimetre or gram, until nothing is left."
            )
        }
        Topic::Steps => say!("How far a change goes at once, and how long a step lasts."),
        Topic::Unknown => say!("What is taken where nobody knows; the order says that it is a guess."),
        Topic::Shop => say!("What belongs to this shop."),
    }
}
