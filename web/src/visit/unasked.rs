//! What nobody has asked, by name: printed on every ranked page and on the card, never taken for a no.

use catalogue::injury::Answer;
use catalogue::runner::{Now, Runner};

/// Where a name may be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// The fitter.
    Fitter,
    /// The customer: nothing about body mass.
    Customer,
}

/// The answers nobody asked for, in the order of the form: names in English, by which others know them.
pub fn unasked(runner: &Runner, reader: Reader) -> Vec<&'static str> {
    let open = |answer: Answer| answer == Answer::NotAsked;
    let of_all = [
        (word!("size"), runner.working_sizes().is_empty()),
        (word!("what for"), runner.purpose.is_none()),
        (word!("pair worn now"), runner.now.shoe == Now::NotAsked),
        (word!("where to"), runner.stage.heading.is_none()),
        (word!("pain"), open(runner.flags.pain()) && !runner.hurts_now()),
        // A pain of the history is no answer to the one question: its signs are still open.
        (word!("the signs of a red flag"), open(runner.flags.pain()) && runner.hurts_now()),
        (word!("landing"), !runner.strike.is_asked()),
        (word!("history"), !runner.history_asked),
        (word!("weekly distance"), runner.weekly_km.is_none()),
        (word!("regular running"), open(runner.regular)),
        (word!("weeks done in this step"), runner.stage.weeks_done.is_none()),
        (word!("main pair"), open(runner.now.main)),
        (word!("surface"), runner.surface.is_none()),
    ];
    let of_fitter = [
        (word!("body mass"), runner.body_mass.is_none()),
        (word!("diabetes"), open(runner.flags.diabetes)),
        (word!("strength work"), open(runner.strength_work)),
    ];
    let of_fitter = of_fitter.into_iter().filter(|_| reader == Reader::Fitter);
    of_all.into_iter().chain(of_fitter).filter(|(_, open)| *open).map(|(name, _)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_customer_reads_nothing_about_body_mass() {
        let runner = Runner::default();
        assert!(unasked(&runner, Reader::Fitter).contains(&"body mass"));
        let read = unasked(&runner, Reader::Customer);
        assert!(!read.contains(&"body mass") && !read.contains(&"diabetes") && read.contains(&"pain"));
    }

    #[test]
    fn an_answer_takes_its_name_off_the_list() {
        let runner = Runner { weekly_km: Some(0), history_asked: true, ..Runner::default() };
        let read = unasked(&runner, Reader::Fitter);
        assert!(!read.contains(&"weekly distance") && !read.contains(&"history"));
    }
}
