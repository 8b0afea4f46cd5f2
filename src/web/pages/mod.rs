//! One file a page, and the table of addresses.

mod check;
mod decode;
mod drive;
mod files;
mod find;
mod home;
mod item;
mod log;
mod pass;
mod record;
mod walk;

use std::sync::OnceLock;

use axum::Router;
use axum::extract::{ConnectInfo, DefaultBodyLimit, Path, RawForm, RawQuery, State};
use axum::http::header::{self, HeaderValue};
use axum::http::{HeaderMap, StatusCode};
use axum::middleware::from_fn_with_state;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::get;
use tokio::sync::Semaphore;

use super::guard;
use super::page::{self, Page, Reply};
use super::server::Peer;
use super::site::Site;
use super::visit::Visitor;

/// A request as a page takes it.
pub struct Asked {
    /// The site.
    pub site: Site,
    /// Who asks.
    pub visitor: Visitor,
    /// The last part of the path.
    pub name: String,
    /// What stands behind the question mark.
    pub query: String,
    /// Its pairs.
    pub pairs: Vec<(String, String)>,
}

impl Asked {
    /// The first value of this name that says something.
    pub fn value(&self, name: &str) -> Option<&str> {
        value(&self.pairs, name)
    }
}

/// The first value of this name that says something.
pub fn value<'p>(pairs: &'p [(String, String)], name: &str) -> Option<&'p str> {
    pairs
        .iter()
        .find(|(key, value)| key == name && !value.trim().is_empty())
        .map(|(_, value)| value.trim())
}

fn split(query: &str) -> Vec<(String, String)> {
    form_urlencoded::parse(query.as_bytes())
        .into_owned()
        .collect()
}

/// Pages are computed by at most so many at a time; more wait. As many as the machine has cores, and
/// one for whoever waits for the disk.
fn places() -> &'static Semaphore {
    static PLACES: OnceLock<Semaphore> = OnceLock::new();
    PLACES.get_or_init(|| {
        let cores = std::thread::available_parallelism().map_or(2, usize::from);
        Semaphore::new(cores + 1)
    })
}

type Getter = fn(&Asked) -> Reply;
type Poster = fn(&Asked, &[(String, String)]) -> Posted;

/// What a form's sending gives back.
pub struct Posted {
    /// The answer.
    pub reply: Reply,
    /// A cookie to set.
    pub cookie: Option<String>,
}

impl From<Reply> for Posted {
    fn from(reply: Reply) -> Posted {
        Posted {
            reply,
            cookie: None,
        }
    }
}

/// Every address.
pub fn router(site: Site) -> Router {
    let page = |getter: Getter| {
        get(move |state: State<Site>, peer, name, query, headers| {
            got(getter, state, peer, name, query, headers)
        })
    };
    let save =
        |state: State<Site>, peer, headers, form| posted(record::save, state, peer, headers, form);
    let give =
        |state: State<Site>, peer, headers, form| posted(pass::give, state, peer, headers, form);
    Router::new()
        .route("/", page(home::page))
        .route("/find", page(find::page))
        .route("/show", page(item::all))
        .route("/show/{name}", page(item::page))
        .route("/tree/{name}", page(item::tree))
        .route("/walk/{name}", page(walk::page))
        .route("/check", page(check::all))
        .route("/check/{name}", page(check::page))
        .route("/drive", page(drive::all))
        .route("/drive/{name}", page(drive::page))
        .route("/decode", page(decode::page))
        .route("/log", page(log::all).post(save))
        .route("/log/new", page(record::form))
        .route("/log/{name}", page(log::page))
        .route("/pass", page(pass::form).post(give))
        .route("/attachment/{*name}", get(files::attachment))
        .route("/look.css", get(files::look))
        .route("/comfort.js", get(files::comfort))
        .fallback(page(missing))
        .layer(DefaultBodyLimit::max(guard::LARGEST_FORM))
        .layer(from_fn_with_state(site.clone(), guard::guard))
        .with_state(site)
}

fn missing(_: &Asked) -> Reply {
    page::missing("There is no such page", None).into()
}

async fn posted(
    poster: Poster,
    State(site): State<Site>,
    ConnectInfo(peer): ConnectInfo<Peer>,
    headers: HeaderMap,
    RawForm(form): RawForm,
) -> Response {
    computed(move || {
        let visitor = visitor(&site, &headers, peer)?;
        let asked = Asked {
            site,
            visitor,
            name: String::new(),
            query: String::new(),
            pairs: Vec::new(),
        };
        let pairs = split(&String::from_utf8_lossy(&form));
        let posted = poster(&asked, &pairs);
        let mut response = answered(&asked, posted.reply);
        set_cookie(&mut response, posted.cookie);
        response
            .headers_mut()
            .insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        Ok(response)
    })
    .await
}

async fn got(
    getter: Getter,
    State(site): State<Site>,
    ConnectInfo(peer): ConnectInfo<Peer>,
    name: Option<Path<String>>,
    RawQuery(query): RawQuery,
    headers: HeaderMap,
) -> Response {
    computed(move || {
        let visitor = visitor(&site, &headers, peer)?;
        let query = query.unwrap_or_default();
        let asked = Asked {
            site,
            visitor,
            name: name.map(|Path(name)| name).unwrap_or_default(),
            pairs: split(&query),
            query,
        };
        Ok(answered(&asked, getter(&asked)))
    })
    .await
}

fn visitor(site: &Site, headers: &HeaderMap, peer: Peer) -> Result<Visitor, Box<Response>> {
    Visitor::read(site, headers, peer.other).map_err(|_| {
        let text = "The system gives no randomness; nothing can be served safely.";
        Box::new((StatusCode::SERVICE_UNAVAILABLE, text).into_response())
    })
}

/// Computes an answer away from the threads that listen.
async fn computed(
    compute: impl FnOnce() -> Result<Response, Box<Response>> + Send + 'static,
) -> Response {
    let place = places().acquire().await;
    let computed = tokio::task::spawn_blocking(compute).await;
    drop(place);
    match computed {
        Ok(Ok(response)) => response,
        Ok(Err(response)) => *response,
        Err(_) => (
            StatusCode::INTERNAL_SERVER_ERROR,
            "This page can't be made. That is a fault of whytrip, not yours: go back, and tell what was asked.",
        )
            .into_response(),
    }
}

fn answered(asked: &Asked, reply: Reply) -> Response {
    let mut response = match reply {
        Reply::Page(made) => page_response(asked, &made),
        Reply::Part(part) => Html(part.into_string()).into_response(),
        Reply::Go(address) => Redirect::to(&address).into_response(),
    };
    set_cookie(&mut response, asked.visitor.cookie(&asked.site));
    response
}

fn page_response(asked: &Asked, made: &Page) -> Response {
    let text = page::write(&asked.site, &asked.visitor, made);
    (made.status, Html(text)).into_response()
}

fn set_cookie(response: &mut Response, cookie: Option<String>) {
    if let Some(value) = cookie.and_then(|text| HeaderValue::from_str(&text).ok()) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}
