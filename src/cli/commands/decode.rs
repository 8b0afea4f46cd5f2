//! `decode`: status words, control words and error codes of the open drive profiles.

use std::io::BufRead;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::render::decode::{self as render, Decoded};
use crate::render::json;
use crate::standards::typed::{self, Typed};
use crate::standards::{Profile, WordKind};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip decode status 0x0237
  whytrip decode error 3210h
  whytrip decode control 000Fh
  whytrip decode status 0250h 0231h 0233h      how a start went on
  whytrip decode status decimal 567
  whytrip decode emergency 10 32               low byte first
  whytrip decode 0x0237                        says what it may be
  whytrip decode --profile profidrive status 0231h

Only open standards are decoded: CiA 301, CiA 402 (IEC 61800-7-201) and
PROFIdrive (IEC 61800-7-203). What a display shows, such as F7 or E05, is its
maker's. Exit code 1 means that a word has no meaning in the profile.")]
pub struct Args {
    /// The word as 0x0237, 0237h, 16#0237 or decimal 567; status, control or error in front says which
    /// word it is
    #[arg(value_name = "WORD", allow_negative_numbers = true)]
    words: Vec<String>,
    /// This is an error code (603Fh, or of an emergency message)
    #[arg(long, value_name = "CODE")]
    error: Vec<String>,
    /// The drive profile of the words
    #[arg(long, value_enum, default_value_t, value_name = "PROFILE")]
    profile: ProfileName,
    /// Decode standard input line by line
    #[arg(long, conflicts_with_all = ["words", "error"])]
    stdin: bool,
}

/// A profile by its name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum ProfileName {
    /// CiA 402, IEC 61800-7-201
    #[default]
    Cia402,
    /// PROFIdrive, IEC 61800-7-203
    Profidrive,
}

impl From<ProfileName> for Profile {
    fn from(name: ProfileName) -> Profile {
        match name {
            ProfileName::Cia402 => Profile::Cia402,
            ProfileName::Profidrive => Profile::Profile3,
        }
    }
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let profile = Profile::from(args.profile);
    if args.stdin {
        return lines(&library, profile, context);
    }
    let mut text = args.words.join(" ");
    if !args.error.is_empty() {
        text = format!("{text} error {}", args.error.join(" "));
    }
    if text.trim().is_empty() {
        if context.json || !context.ui.is_interactive() {
            return Err(Failure::usage("which word should be decoded?")
                .next("whytrip decode status 0x0237"));
        }
        text = context
            .ui
            .ask("Which word was read, such as status 0237h or error 3210h? ")?
            .unwrap_or_default();
    }
    let typed = typed::read(&text);
    if let Some(failure) = not_understood(&typed) {
        return Err(failure);
    }
    let decoded = Decoded::of(&library, profile, typed.words);
    if context.json {
        let document = render::all_json(&library, &decoded, None);
        context.ui.raw(&json::document(document))?;
    } else {
        show(&library, &decoded, context)?;
    }
    Ok(outcome(&decoded))
}

/// One line of standard input after the other; a line that is not understood is told, and the next
/// one is read.
fn lines(library: &Library, profile: Profile, context: &Context) -> Result<Outcome, Failure> {
    let mut all_good = true;
    for (index, line) in std::io::stdin().lock().split(b'\n').enumerate() {
        let line = String::from_utf8_lossy(&line?).into_owned();
        if line.trim().is_empty() {
            continue;
        }
        let typed = typed::read(&line);
        let error = not_understood(&typed).map(|failure| failure.message);
        if let Some(error) = &error {
            all_good = false;
            context.ui.note(&format!("line {}: {error}", index + 1));
        }
        let decoded = Decoded::of(library, profile, typed.words);
        all_good &= outcome(&decoded) == Outcome::Done;
        if context.json {
            // A line for each line, so that they can be counted off.
            let document = render::all_json(library, &decoded, error.as_deref());
            context.ui.raw(&json::line(document))?;
        } else {
            show(library, &decoded, context)?;
        }
    }
    Ok(if all_good { Outcome::Done } else { Outcome::No })
}

fn show(library: &Library, decoded: &[Decoded], context: &Context) -> Result<(), Failure> {
    for (place, word) in decoded.iter().enumerate() {
        let mut document = render::answer(library, word);
        if place + 1 < decoded.len() {
            document.gap();
        }
        context.ui.show(&document)?;
    }
    Ok(())
}

fn outcome(decoded: &[Decoded]) -> Outcome {
    if decoded.iter().all(Decoded::means_something) {
        Outcome::Done
    } else {
        Outcome::No
    }
}

/// What could not be read, with what was understood before it.
fn not_understood(typed: &Typed) -> Option<Failure> {
    let error = typed.error.as_ref()?;
    let failure = Failure::usage(error.to_string()).next(error.remedy());
    let understood: Vec<String> = typed
        .words
        .iter()
        .map(|word| {
            let kind = word.kind.map_or("", WordKind::word);
            format!("{kind} {:04X}h", word.value).trim().to_owned()
        })
        .collect();
    Some(if understood.is_empty() {
        failure
    } else {
        failure.because(format!("understood before it: {}", understood.join(", ")))
    })
}
