//! The card as plain text, to be copied into a message: the same words in the same order, without drawings.

use super::card::{CardPage, CardPlan};
use crate::labels::CAUTION;
use crate::words;

impl CardPage {
    /// The whole card, a line a sentence.
    pub fn text(&self) -> String {
        let mut lines = vec![format!("{}, {}", self.shop, self.date), String::new(), self.title().to_owned()];
        lines.extend(self.stopped.clone());
        match &self.chosen {
            Some(shoe) => lines.push(format!("{}: {}", shoe.name, shoe.line())),
            None => lines.push(say!("Nothing was chosen today.").to_owned()),
        }
        lines.push(say!("Worn until now: {worn}", worn = self.worn));
        let others: Vec<String> =
            self.others.iter().map(|shoe| format!("{}: {}", shoe.name, shoe.line())).collect();
        list(&mut lines, self.others_title(), &others);
        list(&mut lines, say!("Why these"), &self.reasons);
        if let Some(plan) = &self.plan {
            plan.text(&mut lines);
        }
        list(&mut lines, say!("In the first weeks"), &self.advice);
        list(&mut lines, say!("What hurt"), &self.hurt);
        lines.push(String::new());
        if !self.unasked.is_empty() {
            lines.push(say!("Not asked: {unasked}", unasked = self.unasked.join(", ")));
        }
        if !self.sources.is_empty() {
            lines.push(say!("Sources: {sources}", sources = self.sources.join("; ")));
        }
        lines.extend(self.compare.iter().map(|(link, _)| format!("{}: {}", link.label, link.href)));
        lines.extend(self.left_out.clone());
        lines.push(words::of(CAUTION).to_owned());
        lines.join("\n") + "\n"
    }
}

impl CardPlan {
    fn text(&self, lines: &mut Vec<String>) {
        list(lines, say!("The change, week by week"), &self.said);
        lines.extend(self.weeks.iter().map(|[week, share, new, old, review]| {
            let again = if review.is_empty() {
                String::new()
            } else {
                say!("; look again together {review}", review)
            };
            say!(
                "- week {week}: new pair at most {share}, km new {new}, km old {old}{again}",
                week,
                share,
                new,
                old,
                again
            )
        }));
        if self.weeks.is_empty() && !self.reviews.is_empty() {
            lines.push(say!("Look again together {reviews}.", reviews = self.reviews.join(", ")));
        }
        list(lines, say!("When to stop, step back or hold"), &self.signs);
    }
}

fn list(lines: &mut Vec<String>, heading: &str, sentences: &[String]) {
    if !sentences.is_empty() {
        lines.extend([String::new(), heading.to_owned()]);
        lines.extend(sentences.iter().map(|sentence| format!("- {sentence}")));
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;

    #[test]
    fn the_text_says_what_the_card_says_and_holds_no_markup() {
        let text = sample::card_page().text();
        for said in ["Fennick Marl 3: EU 42.5", "- week 1: new pair at most 20 %", "Sources: ", "Not asked: "]
        {
            assert!(text.contains(said), "{said}: {text}");
        }
        assert!(!text.contains('<') && text.contains(crate::labels::CAUTION));
    }
}
