//! The same job on a phone at the machine: pages over HTTP from the same documents as the terminal's.
//!
//! Every page is complete without script. A walk stands whole in its address; only saving an incident
//! is a POST. [`Server::bind`] takes what may be seen and done; nothing here prints or reads the
//! environment, and the clock is handed in.

mod guard;
mod kept;
mod links;
mod page;
mod pages;
mod pass;
mod plant;
mod qr;
mod server;
mod site;
mod visit;
mod walk_state;

pub use pass::{PassError, PassPhrase};
pub use plant::Plant;
pub use qr::{svg as qr_svg, text as qr_text};
pub use server::{Server, ServerError, Tls};
pub use site::{Doors, Recording};
/// The path of a drive's page.
pub fn drive_path(id: &str) -> String {
    format!("/drive/{}", links::escaped(id))
}

pub use walk_state::RESERVED as RESERVED_IN_ADDRESSES;
