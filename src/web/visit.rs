//! Who is looking: a signed cookie that ties a form to the browser it was sent to, and another for
//! who has given the pass phrase.

use std::net::IpAddr;

use axum::http::HeaderMap;
use axum_extra::extract::cookie::{Cookie, SameSite, SignedCookieJar};

use super::site::{Recording, Site};

/// The cookie of a browser.
const VISIT: &str = "visit";
/// The cookie of somebody who has given the pass phrase.
const RECORDER: &str = "recorder";
/// How long the pass phrase holds, in seconds: a shift (common practice, no source).
const SHIFT: i64 = 12 * 60 * 60;

/// Who is looking.
#[derive(Clone, Debug)]
pub struct Visitor {
    /// Where from.
    pub address: IpAddr,
    /// What a form must send back.
    pub token: String,
    knows_phrase: bool,
    is_new: bool,
}

impl Visitor {
    /// Reads the cookies of a request.
    ///
    /// # Errors
    /// When the system has no randomness for a new browser.
    pub fn read(
        site: &Site,
        headers: &HeaderMap,
        address: IpAddr,
    ) -> Result<Visitor, getrandom::Error> {
        let jar = SignedCookieJar::from_headers(headers, site.key().clone());
        let known = jar.get(VISIT).map(|cookie| cookie.value().to_owned());
        let is_new = known.is_none();
        let token = match known {
            Some(token) => token,
            None => new_token()?,
        };
        let now = site.plant().now().as_second();
        let knows_phrase = jar.get(RECORDER).is_some_and(|cookie| {
            cookie
                .value()
                .split_once('.')
                .and_then(|(until, whose)| Some((until.parse::<i64>().ok()?, whose)))
                .is_some_and(|(until, whose)| until > now && whose == token)
        });
        Ok(Visitor {
            address,
            token,
            knows_phrase,
            is_new,
        })
    }

    /// Whether an incident may be recorded.
    pub fn may_record(&self, site: &Site) -> bool {
        match site.doors().recording {
            Recording::Nobody => false,
            Recording::Anybody => true,
            Recording::WithPassPhrase(_) => self.knows_phrase,
        }
    }

    /// Whether the pass phrase would open recording.
    pub fn could_record(&self, site: &Site) -> bool {
        matches!(site.doors().recording, Recording::WithPassPhrase(_))
    }

    /// Whether a form came from a page that this browser got.
    pub fn sent(&self, token: &str) -> bool {
        // Both are random and of one length; the cookie's signature was compared in constant time.
        !self.is_new && token == self.token
    }

    /// What to set in the browser with an answer.
    pub fn cookie(&self, site: &Site) -> Option<String> {
        self.is_new
            .then(|| signed(site, cookie(site, VISIT, self.token.clone())))
            .flatten()
    }

    /// What to set once the pass phrase was right.
    pub fn recorder_cookie(&self, site: &Site) -> Option<String> {
        let until = site.plant().now().as_second() + SHIFT;
        signed(
            site,
            cookie(site, RECORDER, format!("{until}.{}", self.token)),
        )
    }
}

fn new_token() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn cookie(site: &Site, name: &'static str, value: String) -> Cookie<'static> {
    Cookie::build((name, value))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Strict)
        .secure(site.doors().is_encrypted)
        .build()
}

/// The signed cookie as a header's value.
fn signed(site: &Site, cookie: Cookie<'static>) -> Option<String> {
    use axum::response::IntoResponse;
    let jar = SignedCookieJar::new(site.key().clone()).add(cookie);
    let response = jar.into_response();
    let header = response.headers().get(axum::http::header::SET_COOKIE)?;
    header.to_str().ok().map(str::to_owned)
}
