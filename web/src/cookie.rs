//! The cookies: one keeps a closed fitting from coming back with the Back button, one keeps the language, one a session.
//!
//! `no-store` alone does not: the back/forward cache restored a closed fitting without asking the server. Together
//! with an `HttpOnly` cookie that is set when the fitting opens and deleted when it closes, the browser asks
//! (measured in Chromium 156). That cookie grants nothing; two fitters may share a fitting by its address.

use std::time::Duration;

use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};

use crate::config::{FittingLimits, Listening};
use crate::fittings::FittingId;
use crate::staff::sessions::Secret;
use crate::words::Language;

/// The cookie to set when the fitting `id` opens; it goes when the fitting ends by itself.
pub fn on_opening(id: &FittingId, limits: &FittingLimits) -> Cookie<'static> {
    let mut cookie = named(id, "open");
    cookie.set_max_age(limits.life.try_into().ok());
    cookie
}

/// The cookie that deletes it when the fitting closes.
pub fn on_closing(id: &FittingId) -> Cookie<'static> {
    let mut cookie = named(id, "");
    cookie.make_removal();
    cookie
}

/// What the name of the cookie of a fitting begins with.
pub const FITTING: &str = "fitting-";

/// The name of the cookie of the language.
pub const LANGUAGE: &str = "language";

/// The cookie of a browser that has chosen a language, for a year. It says nothing about anybody.
pub fn in_language(language: Language) -> Cookie<'static> {
    let year = Duration::from_hours(365 * 24);
    let mut cookie = Cookie::new(LANGUAGE, language.tag());
    cookie.set_path("/");
    cookie.set_http_only(true);
    cookie.set_same_site(SameSite::Lax);
    cookie.set_max_age(year.try_into().ok());
    cookie
}

/// The name of the cookie of a session.
pub const SESSION: &str = "staff";

/// Over HTTPS this prefix binds a cookie to this very server (RFC 6265bis, section 4.1.3.2); a shop's plain address would
/// lose it.
pub const BOUND: &str = "__Host-";

/// A name as browsers know it. Names get their prefix on the way out, and lose it on the way in, in `layers/headers.rs`:
/// nowhere else is it known whether what passes is encrypted.
pub fn known_as(name: &str, listening: Listening) -> String {
    let prefix = if listening.tls { BOUND } else { "" };
    format!("{prefix}{name}")
}

/// The secret that a browser sends.
pub fn secret_of(jar: &CookieJar) -> Option<Secret> {
    Secret::parse(jar.get(SESSION)?.value())
}

/// The cookie of a browser that has signed in; it goes with the browser, and the server ends it sooner.
pub fn on_signing_in(secret: &Secret) -> Cookie<'static> {
    session(secret.as_str().to_owned())
}

/// The cookie that deletes it.
pub fn on_signing_out() -> Cookie<'static> {
    let mut cookie = session(String::new());
    cookie.make_removal();
    cookie
}

fn session(value: String) -> Cookie<'static> {
    Cookie::build((SESSION, value)).path("/").http_only(true).same_site(SameSite::Strict).build()
}

/// One cookie a fitting: deleting a shared one would change nothing at the second closing. The name holds a part of
/// the id only, so that it does not open the fitting.
fn named(id: &FittingId, value: &'static str) -> Cookie<'static> {
    let part: String = id.to_string().chars().take(8).collect();
    Cookie::build((format!("{FITTING}{part}"), value))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Strict)
        .build()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ID: &str = "0123456789abcdef0123456789abcdef";

    #[test]
    fn the_cookie_is_out_of_reach_of_scripts_and_other_sites_and_ends_with_the_fitting() {
        let id = FittingId::parse(ID).unwrap();
        let set = on_opening(&id, &FittingLimits::standard()).to_string();
        assert_eq!(set, "fitting-01234567=open; HttpOnly; SameSite=Strict; Path=/; Max-Age=14400");
    }

    #[test]
    fn closing_deletes_the_same_cookie() {
        let id = FittingId::parse(ID).unwrap();
        let deleted = on_closing(&id).to_string();
        assert!(
            deleted.starts_with("fitting-01234567=; ") && deleted.contains("Path=/; Max-Age=0"),
            "{deleted}"
        );
    }

    #[test]
    fn the_cookie_does_not_hold_the_address_of_the_fitting() {
        let id = FittingId::parse(ID).unwrap();
        assert!(!on_opening(&id, &FittingLimits::standard()).to_string().contains(ID));
    }
}
