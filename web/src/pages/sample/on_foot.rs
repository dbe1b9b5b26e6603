//! The shoes on the foot.

use catalogue::key::StyleKey;

use super::{F, s, sole, stated, strings};
use crate::pages::on_foot::{OnFootPage, ShoeOnFoot, Verdict};
use crate::parts::Link;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::parts::sole_line::Scale;

pub(crate) fn on_foot_page() -> OnFootPage {
    let shoe = |key: &str, name: &str, heel: i32, chosen: bool| ShoeOnFoot {
        key: StyleKey::parse(key).unwrap(),
        name: s(name),
        href: format!("/shoes/{key}"),
        deltas: s("same drop, 2 mm lower, 18 g lighter"),
        sole: sole(stated(heel), stated(heel - 8), Scale::List),
        sizes: vec![(format!("{key}/linen/eu-42.5/d"), s("EU 42.5 D, Linen: 2 pairs, C4"))],
        states: strings(&["EU 42.5 D, Linen: out with Blue Heron"]),
        wanted: strings(&["EU 42.5", "EU 43"]),
        is_chosen: chosen,
    };
    let answers = [("rank.fennick.marl", "1"), ("rank.quillmark.tern", "2"), ("heel.fennick.marl", "holds")];
    OnFootPage {
        action: format!("{F}/on-foot"),
        made_from: s("rank.fennick.marl=1"),
        turns: strings(&[
            "Fennick Marl 3: nearest to the pair worn now.",
            "Quillmark Tern 2: differs most from it.",
            "Fennick Marl 3 once more, then rank.",
        ]),
        rule: Link::new("What that rests on", "/rules#comfort-last"),
        shoes: vec![
            shoe("fennick.marl", "Fennick Marl 3", 36, true),
            shoe("quillmark.tern", "Quillmark Tern 2", 32, false),
        ],
        answers: Answers(answers.map(|(name, value)| (s(name), s(value))).into()),
        problems: vec![Problem {
            field: s("note.fennick.marl"),
            say: s("The note has 230 letters; 200 are kept."),
        }],
        verdict: Some(Verdict {
            say: s(
                "Fennick Marl 3 feels best. By the numbers it is a near equal of Quillmark Tern 2, so comfort decides.",
            ),
            again: Some(s("Put Fennick Marl 3 on once more before choosing.")),
            choose: Some((s("Choose Fennick Marl 3"), s("fennick.marl"))),
        }),
        more: Link::new("Bring out shoes", F),
    }
}
