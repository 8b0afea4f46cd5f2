//! Our own style and script, and the plant's attachments.

use std::fs;
use std::path::PathBuf;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::{self, HeaderValue};
use axum::response::{IntoResponse, Response};

use super::super::site::Site;

/// Largest attachment that is sent.
const LARGEST: u64 = 32 * 1024 * 1024;

pub async fn look() -> Response {
    text("text/css; charset=utf-8", include_str!("../look.css"))
}

pub async fn comfort() -> Response {
    text(
        "text/javascript; charset=utf-8",
        include_str!("../comfort.js"),
    )
}

fn text(kind: &'static str, text: &'static str) -> Response {
    let mut response = text.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, max-age=300"),
    );
    response
}

pub async fn attachment(State(site): State<Site>, Path(name): Path<String>) -> Response {
    let read = tokio::task::spawn_blocking(move || {
        let path = below(&site.plant().attachments(), &name)?;
        let size = fs::metadata(&path).ok()?.len();
        let bytes = (size <= LARGEST).then(|| fs::read(&path).ok()).flatten()?;
        Some((kind(&name), bytes))
    });
    let Ok(Some((kind, bytes))) = read.await else {
        return (StatusCode::NOT_FOUND, "There is no such attachment.").into_response();
    };
    let mut response = bytes.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind.name));
    if !kind.is_shown {
        // Whatever it is, it does not run as a page of ours.
        headers.insert(
            header::CONTENT_DISPOSITION,
            HeaderValue::from_static("attachment"),
        );
    }
    response
}

/// The file of that name below the folder, links followed; none if it lies elsewhere.
fn below(folder: &std::path::Path, name: &str) -> Option<PathBuf> {
    if !crate::plant::is_attachment_path(name) {
        return None;
    }
    let folder = folder.canonicalize().ok()?;
    let path = folder.join(name).canonicalize().ok()?;
    (path.starts_with(&folder) && path.is_file()).then_some(path)
}

struct Kind {
    name: &'static str,
    is_shown: bool,
}

/// What a file is by its name's ending; only pictures are shown in place.
fn kind(name: &str) -> Kind {
    let ending = name.rsplit('.').next().unwrap_or("").to_ascii_lowercase();
    let (name, is_shown) = match ending.as_str() {
        "jpg" | "jpeg" => ("image/jpeg", true),
        "png" => ("image/png", true),
        "webp" => ("image/webp", true),
        "gif" => ("image/gif", true),
        "pdf" => ("application/pdf", false),
        "txt" | "csv" => ("text/plain; charset=utf-8", false),
        _ => ("application/octet-stream", false),
    };
    Kind { name, is_shown }
}
