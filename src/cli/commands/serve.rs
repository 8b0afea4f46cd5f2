//! `serve`: the same job as pages, for a phone at the machine.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::find;
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::render::doc::{Block, Document, code, plain, strong};
use crate::web::{Doors, PassPhrase, Plant, Recording, Server, Tls, qr_text};

/// Serve the search, the walk, the checks and the log as pages for a browser
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip serve                       for this machine's own browser
  whytrip serve --lan                 for phones in the same network; read only
  whytrip serve --lan --record        phones may record too, with the pass phrase
  whytrip serve --lan --certificate plant.pem --key plant.key

On this machine alone, recording is open. Over the network nothing can be
recorded unless --record is given; then a pass phrase is printed, or taken from
--pass-file. Plain HTTP can be listened to: use a certificate where that matters.
Ctrl-C ends it; answers on their way are finished first.")]
pub struct Args {
    /// Open the pages to the local network, to read
    #[arg(long)]
    lan: bool,
    /// With --lan: incidents may be recorded with the pass phrase
    #[arg(long, requires = "lan")]
    record: bool,
    /// Take the pass phrase from a file's first line instead of inventing one
    #[arg(long, value_name = "FILE", requires = "record")]
    pass_file: Option<PathBuf>,
    /// Port to listen on; 0 takes a free one
    #[arg(long, default_value_t = PORT, value_name = "PORT")]
    port: u16,
    /// Address of this machine to listen on, with --lan
    #[arg(long, value_name = "IP", requires = "lan")]
    listen: Option<IpAddr>,
    /// A name by which the pages are called as well, such as drives.plant.example
    #[arg(long, value_name = "NAME")]
    name: Vec<String>,
    /// Serve over TLS with this certificate chain (PEM)
    #[arg(long, value_name = "FILE", requires = "key")]
    certificate: Option<PathBuf>,
    /// The certificate's private key (PEM)
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
}

/// In the range that IANA leaves to whoever registers or nobody; free in most plants (common
/// practice, no source).
const PORT: u16 = 8140;

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    // Both live as long as the process, and every page reads them.
    let library: &'static Library = Box::leak(Box::new(context.knowledge()?));
    let searcher = find::searcher(library, context)?;
    let data = context.data_folder()?;
    // A log that can't be read is told now, not on every page.
    drop(context.store_to_read()?);
    let plant = Plant::new(library, searcher, data, Timestamp::now, TimeZone::system());
    let tls = match (&args.certificate, &args.key) {
        (Some(certificate), Some(key)) => Some(Tls {
            certificate: certificate.clone(),
            key: key.clone(),
        }),
        _ => None,
    };
    let (recording, phrase) = recording(args)?;
    let ip = match (args.lan, args.listen) {
        (false, _) => IpAddr::from(Ipv4Addr::LOCALHOST),
        (true, Some(listen)) => listen,
        (true, None) => IpAddr::from(Ipv4Addr::UNSPECIFIED),
    };
    let server = Server::bind(SocketAddr::new(ip, args.port), tls.as_ref()).map_err(|error| {
        Failure::usage(error.to_string()).next("choose another port or address: --port 8141")
    })?;
    let address = shown_address(server.address(), &args.name, tls.is_some());
    context.ui.show(&told(&address, args, phrase.as_deref()))?;
    if args.lan
        && context.ui.is_interactive()
        && let Some(code) = qr_text(&address)
    {
        context.ui.raw(&code)?;
    }
    let doors = Doors {
        names: args.name.clone(),
        recording,
        is_encrypted: tls.is_some(),
    };
    server
        .run(plant, doors)
        .map_err(|error| Failure::data(error.to_string()))?;
    context.ui.note("stopped");
    Ok(Outcome::Done)
}

/// Who may record, and the pass phrase if it was invented.
fn recording(args: &Args) -> Result<(Recording, Option<String>), Failure> {
    if !args.lan {
        return Ok((Recording::Anybody, None));
    }
    if !args.record {
        return Ok((Recording::Nobody, None));
    }
    let (phrase, invented) = match &args.pass_file {
        Some(file) => {
            let text = read_text(file)?;
            (text.lines().next().unwrap_or("").trim().to_owned(), false)
        }
        None => (
            PassPhrase::invent().map_err(|error| Failure::data(error.to_string()))?,
            true,
        ),
    };
    let hashed = PassPhrase::new(&phrase).map_err(|error| Failure::usage(error.to_string()))?;
    Ok((
        Recording::WithPassPhrase(hashed),
        invented.then_some(phrase),
    ))
}

/// The address that people type: a name if there is one, else this machine's own address.
fn shown_address(bound: SocketAddr, names: &[String], is_encrypted: bool) -> String {
    let scheme = if is_encrypted { "https" } else { "http" };
    let port = bound.port();
    if let Some(name) = names.first() {
        return format!("{scheme}://{name}:{port}/");
    }
    let ip = match bound.ip().is_unspecified() {
        true => own_address().unwrap_or(bound.ip()),
        false => bound.ip(),
    };
    format!("{scheme}://{}/", SocketAddr::new(ip, port))
}

/// The address under which the local network knows this machine: the one from which it would speak to
/// an address of documentation (RFC 5737). Nothing is sent.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip())
}

fn told(address: &str, args: &Args, phrase: Option<&str>) -> Document {
    let mut document = Document::new();
    document.paragraph(vec![strong("Serving: "), code(address)]);
    let who = match (args.lan, args.record) {
        (false, _) => "Only this machine can open it. Recording is open.",
        (true, false) => "Everybody in the network can read it; nobody can record over it.",
        (true, true) => "Everybody in the network can read it; the pass phrase opens recording.",
    };
    document.text(who);
    if let Some(phrase) = phrase {
        document.paragraph(vec![strong("Pass phrase: "), code(phrase)]);
    }
    if args.lan && args.certificate.is_none() {
        document.push(Block::Caution {
            signal: "NOTE".to_owned(),
            text: "Plain HTTP: whoever is in the network can listen to it, the pass phrase included. Use --certificate and --key where that matters.".to_owned(),
        });
    }
    document.paragraph(vec![plain("Ctrl-C ends it.")]);
    document
}
