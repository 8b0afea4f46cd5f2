//! What every request passes: whose name the page was called by, where a form comes from, how long it
//! may take; and the headers that every answer carries.

use std::net::IpAddr;
use std::time::Duration;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::server::Peer;
use super::site::Site;

/// Nothing from elsewhere, no script or style but our own files, no frame around us.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Longest time for one answer (common practice, no source).
const LONGEST: Duration = Duration::from_secs(20);

/// Largest form, in bytes: an incident's texts, several times over.
pub const LARGEST_FORM: usize = 256 * 1024;

/// Passes a request on, if it may come in, and dresses its answer.
pub async fn guard(
    State(site): State<Site>,
    ConnectInfo(peer): ConnectInfo<Peer>,
    request: Request,
    next: Next,
) -> Response {
    let refusal = refused(&site, peer, &request);
    let mut response = match refusal {
        Some((status, text)) => (status, text).into_response(),
        None => match tokio::time::timeout(LONGEST, next.run(request)).await {
            Ok(response) => response,
            Err(_) => (
                StatusCode::SERVICE_UNAVAILABLE,
                "That took too long. Load the page again.",
            )
                .into_response(),
        },
    };
    dress(response.headers_mut());
    response
}

fn refused(site: &Site, peer: Peer, request: &Request) -> Option<(StatusCode, &'static str)> {
    if !is_called_rightly(site, peer, request) {
        return Some((
            StatusCode::MISDIRECTED_REQUEST,
            "These pages are not served under that name. Use the address that whytrip serve printed, \
or start it with --name NAME.",
        ));
    }
    let length = request.headers().get(header::CONTENT_LENGTH);
    let length = length.and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if length.is_some_and(|length| length > LARGEST_FORM) {
        return Some((
            StatusCode::PAYLOAD_TOO_LARGE,
            "That is more than a form of these pages can hold.",
        ));
    }
    let writes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if writes && comes_from_elsewhere(request.headers()) {
        return Some((
            StatusCode::FORBIDDEN,
            "A form of another site may not send anything here.",
        ));
    }
    None
}

/// Whether the host is this server: its own address, a loopback name on loopback, or a name it was
/// told. A name that a foreign page let point here is refused.
fn is_called_rightly(site: &Site, peer: Peer, request: &Request) -> bool {
    let mut hosts = request.headers().get_all(header::HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return false;
    };
    let parsed = host.to_str().ok().and_then(|host| host.parse().ok());
    // An absolute address in the request line says the same once more (RFC 9112, 3.2.2).
    let in_line = request.uri().authority();
    parsed.is_some_and(|host| is_ours(site, peer, &host))
        && in_line.is_none_or(|authority| is_ours(site, peer, authority))
}

fn is_ours(site: &Site, peer: Peer, authority: &Authority) -> bool {
    let name = authority.host().trim_matches(['[', ']']);
    if let Ok(address) = name.parse::<IpAddr>() {
        return address.to_canonical() == peer.own.to_canonical();
    }
    let mut own_names = site.doors().names.iter();
    (peer.own.to_canonical().is_loopback() && name.eq_ignore_ascii_case("localhost"))
        || own_names.any(|own| own.eq_ignore_ascii_case(name))
}

/// Whether the browser itself says that the request comes from another site.
fn comes_from_elsewhere(headers: &HeaderMap) -> bool {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    if let Some(site) = text(HeaderName::from_static("sec-fetch-site")) {
        return site != "same-origin" && site != "none";
    }
    match (text(header::ORIGIN), text(header::HOST)) {
        (Some(origin), Some(host)) => origin.split_once("://").map_or("", |(_, rest)| rest) != host,
        _ => false,
    }
}

fn dress(headers: &mut HeaderMap) {
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(), geolocation=(), microphone=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("private, no-cache"));
}
