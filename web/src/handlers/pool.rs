//! Work on the catalogue: done at once while it is short, and on a thread of its own in a catalogue so large that it is
//! not. How many of these there are at a time is bounded by whom the server lets in.

use axum::http::StatusCode;

use crate::refusal::Refusal;
use crate::words;

/// Up to so many styles a search takes less than handing it over: 25 to 65 µs against 10.
const SHOP_SCALE: usize = 20_000;

/// Does `work`, which grows with a catalogue of so many styles.
pub(super) async fn worked<T: Send + 'static>(
    styles: usize,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Refusal> {
    if styles <= SHOP_SCALE {
        return Ok(work());
    }
    let language = words::language();
    let done = tokio::task::spawn_blocking(move || words::within(language, work)).await;
    done.map_err(|_| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[tokio::test]
    async fn a_large_catalogue_is_worked_on_a_thread_of_its_own_in_the_language_of_whoever_asks() {
        let here = std::thread::current().id();
        let work = move || (std::thread::current().id() == here, words::language());
        let asked = async |styles: usize| {
            words::scope(Language::German, async { worked(styles, work).await.unwrap() }).await
        };
        assert_eq!(asked(2).await, (true, Language::German));
        assert_eq!(asked(SHOP_SCALE + 1).await, (false, Language::German));
    }
}
