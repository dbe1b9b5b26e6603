//! Both computations side by side, exactly.

use catalogue::measures::Measures;
use catalogue::rank::{Explanation, Placed, Points, Ranker, What};
use proptest::test_runner::TestCaseError;
use proptest::{prop_assert, prop_assert_eq};

use crate::order::{Standing, groups, in_order, may_lead};
use crate::row::row;
use crate::share::Tenths;
use crate::stops::stops;
use crate::suitability::{Judged, Prepared};
use crate::visit::{Shoe, Visit};

type Compared = Result<(), TestCaseError>;

/// Everything about one visit.
pub(crate) fn compare(visit: &Visit) -> Compared {
    let ranker = match Ranker::prepare(&visit.runner, visit.told().as_ref(), &visit.policy) {
        Ok(ranker) => ranker,
        Err(stopped) => {
            prop_assert_eq!(stopped.flags, stops(&visit.runner));
            return Ok(());
        }
    };
    prop_assert!(stops(&visit.runner).is_empty(), "only the program ranks");
    let prepared = Prepared::of(visit.case());
    prop_assert_eq!(ranker.brief().row, row(&prepared.case));
    bands(&ranker, &prepared)?;
    for shoe in &visit.wall {
        one_shoe(&ranker, &prepared, shoe)?;
    }
    the_list(&ranker, &prepared, visit)
}

fn bands(ranker: &Ranker, prepared: &Prepared<'_>) -> Compared {
    for (ours, theirs) in ranker.brief().bands.iter().zip(&prepared.bands) {
        let ends = [ours.from, ours.to, ours.reach_below, ours.reach_above].map(i64::from);
        prop_assert_eq!(ends, [theirs.from, theirs.to, theirs.reach_below, theirs.reach_above], "{:?}", ours);
        prop_assert_eq!(ours.is_guessed(), theirs.guessed, "{:?}", ours);
    }
    Ok(())
}

fn points(points: Points) -> Tenths {
    Tenths { at: points.at.into(), low: points.low.into(), high: points.high.into() }
}

fn one_shoe(ranker: &Ranker, prepared: &Prepared<'_>, shoe: &Shoe) -> Compared {
    let measures = shoe.measures();
    let (explanation, judged) = (ranker.explain(&measures), prepared.judge(&shoe.sheet()));
    let lines: Vec<Tenths> = explanation.measures().map(|(_, line)| points(line)).collect();
    prop_assert_eq!(&lines[..], &judged.measures[..], "{:?}", shoe);
    let values: Vec<Option<i64>> =
        explanation.measures().map(|(line, _)| line.nearness.value.map(i64::from)).collect();
    prop_assert_eq!(&values[..], &judged.values[..], "{:?}", shoe);
    rules(&explanation, &judged)?;
    caps(&explanation, &judged)?;
    prop_assert_eq!(points(explanation.total()), judged.total, "the lines add up");
    prop_assert_eq!(explanation.caution, judged.caution, "{:?}", shoe);
    score(ranker, &measures, prepared, &judged)
}

fn score(ranker: &Ranker, measures: &Measures, prepared: &Prepared<'_>, judged: &Judged) -> Compared {
    let score = ranker.score(measures);
    let of = [score.suitability, score.low, score.high].map(i64::from);
    let theirs = judged.suitability;
    prop_assert_eq!(of, [theirs.at, theirs.low, theirs.high]);
    prop_assert_eq!(i64::from(score.known_weight), judged.known_weight);
    prop_assert_eq!(score.may_lead, may_lead(prepared, judged));
    Ok(())
}

fn rules(explanation: &Explanation, judged: &Judged) -> Compared {
    for (id, theirs) in &judged.rules {
        let ours = explanation.rules().find(|(line, _)| line.rule.id == *id).map(|(_, line)| points(line));
        prop_assert_eq!(ours.unwrap_or_default(), *theirs, "{}", id);
    }
    for (line, ours) in explanation.rules().filter(|(_, line)| !line.is_zero()) {
        prop_assert!(
            judged.rules.contains_key(line.rule.id),
            "only the program has {} {:?}",
            line.rule.id,
            ours
        );
    }
    Ok(())
}

fn caps(explanation: &Explanation, judged: &Judged) -> Compared {
    let of = |wanted: Option<&str>| -> Tenths {
        let lines = explanation.lines.iter().filter_map(|line| match line.what {
            What::Cap(tissue) if tissue.map(|tissue| tissue.word()) == wanted => Some(points(line.points)),
            _ => None,
        });
        lines.sum()
    };
    for (tissue, theirs) in &judged.caps {
        prop_assert_eq!(of(*tissue), *theirs, "cap of {:?}", tissue);
    }
    Ok(())
}

/// The order and the groups of the whole wall.
fn the_list(ranker: &Ranker, prepared: &Prepared<'_>, visit: &Visit) -> Compared {
    let worn = visit.worn_on_wall();
    let key = |place: usize| format!("shoe-{place:03}");
    let standing = |(place, shoe): (usize, &Shoe)| Standing {
        judged: prepared.judge(&shoe.sheet()),
        pairs: shoe.pairs,
        key: key(place),
        worn: worn == Some(place),
    };
    let theirs = in_order(visit.wall.iter().enumerate().map(standing).collect());

    let mut ours: Vec<(usize, &Shoe)> = visit.wall.iter().enumerate().collect();
    ours.sort_by_key(|(place, shoe)| (ranker.score(&shoe.measures()).order_key(shoe.pairs), key(*place)));
    let keys: Vec<String> = ours.iter().map(|(place, _)| key(*place)).collect();
    prop_assert_eq!(&keys, &theirs.iter().map(|shoe| shoe.key.clone()).collect::<Vec<_>>());

    let placed = |(place, shoe): &(usize, &Shoe)| Placed {
        measures: shoe.measures(),
        score: ranker.score(&shoe.measures()),
        worn: worn == Some(*place),
    };
    let placed: Vec<Placed> = ours.iter().map(placed).collect();
    prop_assert_eq!(ranker.group(&placed).groups, groups(prepared, &theirs));
    Ok(())
}
