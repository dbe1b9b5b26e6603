//! A text in which words that were looked for are marked.

use std::ops::Range;

use maud::{Markup, Render, html};

/// A text, and where in it what is marked stands, in bytes and in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Marked {
    text: String,
    marks: Vec<Range<usize>>,
}

impl Marked {
    /// A text with its marks. A mark that is no part of it, or not in order, is left out.
    pub fn of(text: impl Into<String>, marks: Vec<Range<usize>>) -> Self {
        let text = text.into();
        let mut end = 0;
        let in_order = marks.into_iter().filter(|mark| {
            let sound = mark.start >= end && text.get(mark.clone()).is_some();
            end = if sound { mark.end } else { end };
            sound
        });
        Self { marks: in_order.collect(), text }
    }

    /// A text without a mark.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::of(text, Vec::new())
    }

    /// Whether anything is marked.
    pub fn has_marks(&self) -> bool {
        !self.marks.is_empty()
    }
}

impl Render for Marked {
    fn render(&self) -> Markup {
        let ends = self.marks.iter().map(|mark| mark.end);
        let starts = self.marks.iter().map(|mark| mark.start);
        let plain = [0].into_iter().chain(ends).zip(starts.chain([self.text.len()]));
        let mut marks = self.marks.iter();
        html! {
            @for (start, end) in plain {
                (self.text[start..end])
                @if let Some(mark) = marks.next() { mark { (self.text[mark.clone()]) } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn html(text: &str, marks: &[(usize, usize)]) -> String {
        let marks = marks.iter().map(|(start, end)| *start..*end).collect();
        Marked::of(text, marks).render().into_string()
    }

    #[test]
    fn what_is_marked_is_marked_and_all_of_it_is_escaped() {
        assert_eq!(html("Marl 3", &[(0, 4)]), "<mark>Marl</mark> 3");
        assert_eq!(
            html("<script>Marl</script>", &[(1, 7), (8, 12)]),
            "&lt;<mark>script</mark>&gt;<mark>Marl</mark>&lt;/script&gt;"
        );
        assert_eq!(html("Fénnick", &[(0, 8)]), "<mark>Fénnick</mark>");
        assert_eq!(html("", &[]), "");
    }

    #[test]
    fn a_mark_that_is_no_part_of_the_text_is_left_out() {
        assert_eq!(html("é", &[(0, 1), (0, 9)]), "é");
        assert_eq!(html("abc", &[(1, 2), (0, 1)]), "a<mark>b</mark>c");
    }
}
