//! A refusal: what was not done, why in a sentence, and the ways back.
//!
//! A refusal travels as an extension of its response, so that the outermost layer can draw it as a page or as
//! `application/problem+json`, whichever the caller reads.

use std::fmt;

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

/// Something that is not done, told so that the reader knows what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The status of the response.
    pub status: StatusCode,
    /// A few words for the heading.
    pub title: &'static str,
    /// What, where, and what to do. Holds no answer of a runner.
    pub say: String,
    /// Single faults, each with its place: a field, a row, a parameter.
    pub errors: Vec<PlacedError>,
    /// Ways back: label and address.
    pub back: Vec<(&'static str, String)>,
}

/// One fault with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedError {
    /// The field, parameter or cell.
    pub place: String,
    /// What is wrong and what to do.
    pub say: String,
}

impl Refusal {
    /// A refusal with the desk as its way back.
    pub fn new(status: StatusCode, title: &'static str, say: impl Into<String>) -> Self {
        let back = vec![(say!("To the desk"), "/".to_owned())];
        Self { status, title, say: say.into(), errors: Vec::new(), back }
    }

    /// This refusal with one more way back, named first.
    #[must_use]
    pub fn back_to(mut self, label: &'static str, href: impl Into<String>) -> Self {
        self.back.insert(0, (label, href.into()));
        self
    }

    /// This refusal with its single faults.
    #[must_use]
    pub fn with_errors(mut self, errors: Vec<PlacedError>) -> Self {
        self.errors = errors;
        self
    }

    /// The fitting was closed or has ended by itself: what it held is gone.
    pub fn fitting_closed() -> Self {
        let say = say!(
            "This fitting was closed, or its four hours are over. Nothing of it is kept; a new one is opened at the desk."
        );
        Self::new(StatusCode::GONE, say!("Fitting closed"), say)
    }

    /// Answers about a runner that could not be read, each named with its place.
    pub fn unread_answers(errors: Vec<PlacedError>) -> Self {
        let say = say!(
            "Some answers could not be read. Nothing was changed; put them right and send the form again."
        );
        Self::new(StatusCode::BAD_REQUEST, say!("Check these answers"), say).with_errors(errors)
    }

    /// A request body of more than `limit` bytes; `size` where the request told it.
    pub fn too_large(limit: usize, size: Option<u64>) -> Self {
        let was = size.map_or(String::new(), |size| say!(" This one has {size}.", size = in_words(size)));
        let say = say!(
            "At most {limit} are taken here.{was} Send less at a time.",
            limit = in_words(limit as u64),
            was
        );
        Self::new(StatusCode::PAYLOAD_TOO_LARGE, say!("Too large"), say)
    }

    /// What a bare status of the framework means to the reader.
    pub fn of_status(status: StatusCode) -> Self {
        let (title, say) = match status {
            StatusCode::NOT_FOUND => {
                (say!("Not found"), say!("There is nothing at this address. Check it, or start at the desk."))
            }
            StatusCode::METHOD_NOT_ALLOWED => (
                say!("Not possible here"),
                say!("This address does not take this kind of request. Start at the desk."),
            ),
            StatusCode::PAYLOAD_TOO_LARGE => {
                (say!("Too large"), say!("More was sent than is taken here. Send less at a time."))
            }
            StatusCode::UNSUPPORTED_MEDIA_TYPE => (
                say!("Wrong kind of content"),
                say!("This address reads another kind of content. Use its form, or see /openapi.json."),
            ),
            status if status.is_client_error() => (
                say!("Not understood"),
                say!("The request could not be read. Go back, check what was entered, and send it again."),
            ),
            _ => (
                say!("Something went wrong"),
                say!(
                    "The fault is on this side; nothing was changed. Try again, and look into the log if it comes back."
                ),
            ),
        };
        Self::new(status, title, say)
    }
}

/// Marks an answer of another status than 200 that is not to be drawn: a program reads its text.
#[derive(Clone, Copy, Debug)]
pub struct AsItStands;

/// The plain text of a refusal, for whoever meets it before the outermost layer has drawn it.
impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut response = (self.status, self.to_string()).into_response();
        response.extensions_mut().insert(self);
        response
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.title, self.say)?;
        self.errors.iter().try_for_each(|error| writeln!(f, "{}: {}", error.place, error.say))
    }
}

fn in_words(bytes: u64) -> String {
    const MB: u64 = 1024 * 1024;
    match bytes {
        b if b >= MB => format!("{} MB", b.div_ceil(MB)),
        b if b >= 1024 => format!("{} kB", b.div_ceil(1024)),
        b => say!("{b} bytes", b),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_body_too_large_names_the_limit_and_its_own_size() {
        let refusal = Refusal::too_large(40 * 1024 * 1024, Some(50 * 1024 * 1024));
        assert_eq!(refusal.say, "At most 40 MB are taken here. This one has 50 MB. Send less at a time.");
        assert!(Refusal::too_large(65_536, None).say.starts_with("At most 64 kB are taken here. Send"));
    }

    #[test]
    fn the_nearest_way_back_is_named_first_and_the_desk_is_always_one() {
        let refusal = Refusal::fitting_closed().back_to("To the shoes", "/shoes");
        assert_eq!(refusal.back[0].1, "/shoes");
        assert_eq!(refusal.back[1].1, "/");
    }
}
