//! Characters that cannot be seen, or that change how what stands behind them is read.

/// Characters without a width: zero-width blanks and joiners, the soft hyphen, the mark of a byte order.
pub(crate) const fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}')
}

/// Marks that turn the direction of reading (Unicode Standard Annex 9).
pub(crate) const fn is_bidi(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Code points that are no characters and never will be.
pub(crate) const fn is_noncharacter(c: char) -> bool {
    matches!(c, '\u{fdd0}'..='\u{fdef}') || (c as u32) & 0xfffe == 0xfffe
}

/// Whether a name with it may be shown: it steers nothing and turns nothing.
pub fn may_be_shown(c: char) -> bool {
    !c.is_control() && !is_bidi(c) && !is_noncharacter(c)
}

/// A text from outside as it may be shown to people, on a page and on a terminal alike: what may not is replaced by the
/// sign for it, line breaks aside.
pub fn legible(text: &str) -> String {
    let shown = |c| if may_be_shown(c) || matches!(c, '\n' | '\t') { c } else { '\u{fffd}' };
    text.chars().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_or_turns_a_page_is_replaced_and_all_else_stays() {
        assert_eq!(legible("a\u{202e}b\u{1b}[31m\u{ffff}"), "a\u{fffd}b\u{fffd}[31m\u{fffd}");
        assert_eq!(legible("Größe\n42⅔ 日本 👟"), "Größe\n42⅔ 日本 👟");
    }
}
