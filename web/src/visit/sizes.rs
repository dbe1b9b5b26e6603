//! What is said of the runner's feet and sizes. None of it hides a shoe.

use catalogue::fit::{ProposedBy, TwoFeet};
use catalogue::policy::HousePolicy;
use catalogue::runner::Runner;
use catalogue::size::SizeLabel;

use super::capital;
use super::shoe::plain;
use crate::words;

/// What the order must be read with: feet far apart, or a worn label that does not match them.
pub fn announcements(runner: &Runner) -> Vec<String> {
    [smaller_foot(runner), worn_label(runner)].into_iter().flatten().collect()
}

fn smaller_foot(runner: &Runner) -> Option<String> {
    let feet = TwoFeet::of(&runner.feet).filter(TwoFeet::are_apart)?;
    let apart = plain(feet.apart());
    let (larger, smaller) = (words::of(feet.larger.word()), words::of(feet.larger.other().word()));
    let try_on = runner.label_of_the_smaller_foot().map_or_else(String::new, |label| {
        say!(" {label} is nearest to the smaller foot: try both on it, and let the heel decide.", label)
    });
    Some(say!(
        "The {smaller} foot is {apart} mm shorter; the {larger} one decides the size.{try_on}",
        smaller,
        apart,
        larger,
        try_on
    ))
}

fn worn_label(runner: &Runner) -> Option<String> {
    let nearest = runner.worn_label_is_off()?;
    let worn = runner.sizes.worn_label.as_ref()?;
    let way = if worn.twelfths() < nearest.twelfths() { say!("below") } else { say!("above") };
    let apart = whole_sizes(worn, &nearest);
    Some(say!(
        "The worn label {worn} is {apart} {way} {nearest}, which is nearest to the larger foot. The sizes here follow the foot.",
        worn,
        apart,
        way,
        nearest
    ))
}

fn whole_sizes(a: &SizeLabel, b: &SizeLabel) -> String {
    match a.twelfths().abs_diff(b.twelfths()) / 12 {
        ..=1 => say!("a size").to_owned(),
        sizes => say!("{sizes} sizes", sizes),
    }
}

/// Behind sizes that nobody has tapped: where they come from.
pub fn proposed_by(by: ProposedBy) -> &'static str {
    match by {
        ProposedBy::Feet => say!("proposed from the larger foot"),
        ProposedBy::WornLabel => say!("proposed from the worn label"),
    }
}

/// The room before the longest toe, as the form says it.
pub fn toe_room(policy: &HousePolicy) -> String {
    let (from, to) = policy.toe_allowance;
    capital(&say!(
        "room before the longest toe: {from} to {to} mm by this shop's policy. That is custom; no study of it was found.",
        from,
        to
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::runner::Sizes;
    use catalogue::size::SizeSystem;
    use catalogue::style::Audience;
    use catalogue::units::Mm;

    fn runner(left: i32, right: i32, worn: &str) -> Runner {
        let system = Some(SizeSystem::Eu);
        let mut runner = Runner {
            audience: Some(Audience::Men),
            sizes: Sizes { system, worn_label: SizeLabel::parse(system, worn), ..Sizes::default() },
            ..Runner::default()
        };
        runner.feet.left_length = Some(Mm::whole(left));
        runner.feet.right_length = Some(Mm::whole(right));
        runner
    }

    #[test]
    fn feet_far_apart_and_a_label_that_does_not_match_are_said() {
        let said = announcements(&runner(266, 271, "40"));
        assert_eq!(said.len(), 2);
        assert!(
            said[0].starts_with("The left foot is 5 mm shorter; the right one decides the size. EU 42 is"),
            "{said:?}"
        );
        assert!(said[1].starts_with("The worn label EU 40 is 2 sizes below EU 42.5,"), "{said:?}");
    }

    #[test]
    fn feet_alike_in_a_label_that_matches_need_no_word() {
        assert_eq!(announcements(&runner(270, 271, "42.5")), Vec::<String>::new());
        assert_eq!(announcements(&Runner::default()), Vec::<String>::new());
    }
}
