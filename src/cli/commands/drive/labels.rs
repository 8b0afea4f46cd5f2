//! `drive labels`: a sheet of labels, each with a code that opens the drive's page.

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{Drive, Store};
use crate::render::labels::{Label, sheet};
use crate::web::{drive_path, qr_svg};

/// Print labels for the cabinet doors: name, place, and a code that opens the drive's page
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip drive labels --address http://192.0.2.10:8140 > labels.html
  whytrip drive labels --address https://drives.plant.example:8140 filler conveyor-3

The code holds only the address and the drive's id. Give the address under which
whytrip serve --lan can be reached for years: a fixed one.")]
pub struct Args {
    /// Drives, by id; all of them if none is named
    ids: Vec<String>,
    /// Where whytrip serve is reached: http://HOST:PORT
    #[arg(long, value_name = "ADDRESS")]
    address: String,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let address = checked(&args.address)?;
    let drives: Vec<Drive> = if args.ids.is_empty() {
        let store = context.store_to_read()?;
        let drives = store.map(|store| store.drives()).transpose();
        drives
            .map_err(|error| context.store_failure(&error))?
            .unwrap_or_default()
    } else {
        args.ids
            .iter()
            .map(|id| context.drive(id))
            .collect::<Result<_, _>>()?
    };
    if drives.is_empty() {
        return Err(Failure::usage("the register has no drives to label")
            .next("whytrip drive add --file FILE"));
    }
    let labels = drives
        .iter()
        .map(|drive| {
            let page = format!("{address}{}", drive_path(&drive.id));
            let code = qr_svg(&page, &format!("Code that opens the page of {}", drive.id));
            let too_long = || Failure::usage("the address is too long for a code");
            Ok(Label {
                id: drive.id.clone(),
                name: drive.name.clone(),
                place: drive.place.clone(),
                address: page.clone(),
                code: code.ok_or_else(too_long)?,
            })
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    context.ui.raw(&sheet(&labels))?;
    Ok(Outcome::Done)
}

/// The address without a slash at its end, if it is one.
fn checked(typed: &str) -> Result<String, Failure> {
    let address = typed.trim().trim_end_matches('/');
    let rest = address
        .strip_prefix("http://")
        .or_else(|| address.strip_prefix("https://"));
    let is_host = |host: &str| {
        !host.is_empty()
            && host.len() <= 200
            && host
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || ".-:[]".contains(c))
    };
    if rest.is_some_and(is_host) {
        return Ok(address.to_owned());
    }
    Err(
        Failure::usage(format!("\"{typed}\" is not an address of whytrip serve"))
            .next("give it as it was printed: --address http://192.0.2.10:8140"),
    )
}
