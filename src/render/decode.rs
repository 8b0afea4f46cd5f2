//! A decoded word as a document and as JSON.

use serde::Serialize;

use super::doc::{Block, Document, code, plain, quiet, strong};
use super::item::push_cautions;
use super::json::{CautionJson, cautions};
use crate::knowledge::Library;
use crate::standards::typed::TypedWord;
use crate::standards::{self, Profile, Reading, WordKind};

/// A word with everything it may be: one reading if it was said which word it is.
#[derive(Debug)]
pub struct Decoded {
    /// As typed.
    pub typed: String,
    /// How the number was taken.
    pub note: Option<String>,
    /// Its readings, the likeliest first; never empty.
    pub readings: Vec<Reading>,
}

impl Decoded {
    /// Words with everything that each may be; a profile that a word names wins over `profile`.
    pub fn of(library: &Library, profile: Profile, words: Vec<TypedWord>) -> Vec<Decoded> {
        words
            .into_iter()
            .map(|word| {
                let profile = word.profile.unwrap_or(profile);
                let readings = match word.kind {
                    Some(kind) => vec![standards::decode(library, profile, kind, word.value)],
                    None => standards::every_reading(library, profile, word.value),
                };
                Decoded {
                    typed: word.typed,
                    note: word.note,
                    readings,
                }
            })
            .collect()
    }

    /// The reading that is meant: the only one, or the only one of status word and error code that
    /// means something. None if that is open.
    pub fn meant(&self) -> Option<&Reading> {
        if let [only] = self.readings.as_slice() {
            return Some(only);
        }
        let mut sure = self
            .readings
            .iter()
            .filter(|reading| reading.kind != WordKind::Control)
            .filter(|reading| reading.exact || is_makers(reading));
        match (sure.next(), sure.next()) {
            (Some(reading), None) => Some(reading),
            _ => None,
        }
    }

    /// Whether it means anything at all.
    pub fn means_something(&self) -> bool {
        self.readings.iter().any(Reading::means_something)
    }
}

/// Left to the maker by the profile.
fn is_makers(reading: &Reading) -> bool {
    reading.kind == WordKind::Error && reading.word >= crate::knowledge::FIRST_OF_THE_MAKER
}

/// The decoded word for people.
pub fn answer(library: &Library, decoded: &Decoded) -> Document {
    let mut document = Document::new();
    if let Some(note) = &decoded.note {
        document.paragraph(vec![quiet(note)]);
    }
    match decoded.meant() {
        Some(reading) => {
            whole(&mut document, library, reading);
            others(&mut document, decoded, reading);
        }
        None => choice(&mut document, decoded),
    }
    document
}

/// Everything that a reading says.
fn whole(document: &mut Document, library: &Library, reading: &Reading) {
    document.heading(1, headline(reading));
    document.paragraph(vec![quiet(format!(
        "{}: {}.",
        reading.profile.standard(),
        reading.because
    ))]);
    for warning in &reading.warnings {
        document.labelled("Careful", warning);
    }
    let told = reading
        .bits
        .iter()
        .filter(|bit| bit.set || !bit.says.is_empty());
    for bit in told {
        let mut spans = vec![
            strong(format!("bit {:<2} {}  ", bit.number, u8::from(bit.set))),
            plain(bit.name),
        ];
        if !bit.says.is_empty() {
            spans.push(plain(format!(": {}", bit.says)));
        }
        document.item(spans);
    }
    for note in &reading.notes {
        document.text(note);
    }
    if let Some(wants) = &reading.wants {
        document.gap();
        document.labelled("It waits for", format!("{wants}."));
    }
    if let Some(send) = &reading.send {
        push_cautions(document, library, &reading.cautions);
        document.labelled("Next control word", format!("{send}."));
    }
    if !reading.blocked_by.is_empty() {
        document.text("What usually holds it up (common practice, no source):");
        for blocker in &reading.blocked_by {
            document.item(vec![plain(blocker)]);
        }
    }
    lead_on(document, library, reading);
}

fn headline(reading: &Reading) -> String {
    let name = reading.kind.name(reading.profile);
    let says = reading.state.as_deref().unwrap_or_else(|| nothing(reading));
    format!("{name} {}: {says}", reading.shown())
}

/// What to say where the profile defines nothing.
fn nothing(reading: &Reading) -> &'static str {
    match reading.kind {
        WordKind::Error if is_makers(reading) || reading.profile == Profile::Profile3 => {
            "the maker's own, not decoded"
        }
        WordKind::Error => "not an error code of the profile",
        WordKind::Status | WordKind::Control => "not a defined state",
    }
}

/// The classes to walk, or the question that must come first.
fn lead_on(document: &mut Document, library: &Library, reading: &Reading) {
    document.gap();
    if let Some(ask) = &reading.ask {
        document.paragraph(vec![
            strong("The code alone can't tell which. "),
            plain(ask.clone()),
        ]);
    }
    let walk = |id: &str| code(format!("whytrip walk {id}"));
    match reading.classes.as_slice() {
        [] if reading.kind == WordKind::Error && reading.word != 0 => {
            document.paragraph(vec![
                strong("Next: "),
                plain("go by what else it shows: "),
                code("whytrip find WORDS"),
            ]);
            if is_makers(reading) {
                code_sheet(document, &reading.shown());
            }
        }
        [] => {}
        [first, rest @ ..] if reading.ask.is_none() => {
            document.paragraph(vec![strong("Next: "), walk(first)]);
            if !rest.is_empty() {
                document.paragraph(vec![quiet(format!("Or: {}", rest.join(", ")))]);
            }
        }
        classes => {
            for id in classes {
                let title = library.class(id).map_or("", |class| class.title.as_str());
                document.item(vec![plain(title)]);
                document.push(Block::Command(format!("    whytrip walk {id}")));
            }
        }
    }
}

fn code_sheet(document: &mut Document, shown: &str) {
    document.paragraph(vec![
        plain("Once its meaning is known, the plant's code sheet can keep it: "),
        code(format!("whytrip code add \"{shown}\" --class ID")),
    ]);
}

/// What else the word would be, had it been another one.
fn others(document: &mut Document, decoded: &Decoded, meant: &Reading) {
    let others: Vec<String> = decoded
        .readings
        .iter()
        .filter(|reading| reading.kind != meant.kind)
        .map(|reading| {
            let says = reading.state.as_deref().unwrap_or_else(|| nothing(reading));
            format!("{}: {says}", reading.kind.word())
        })
        .collect();
    if others.is_empty() {
        return;
    }
    document.gap();
    document.paragraph(vec![quiet(format!(
        "It was not said which word this is. As another one it would be {}. Put status, error or control in \
         front to choose.",
        others.join("; ")
    ))]);
}

/// Where it is open which word it is: each with the command that chooses it.
fn choice(document: &mut Document, decoded: &Decoded) {
    let Some(first) = decoded.readings.first() else {
        return;
    };
    document.heading(1, format!("{}: which word is it?", first.shown()));
    document.paragraph(vec![quiet(format!("{}.", first.profile.standard()))]);
    for reading in &decoded.readings {
        let says = reading.state.as_deref().unwrap_or_else(|| nothing(reading));
        let mut spans = vec![
            strong(format!("{}: ", reading.kind.name(reading.profile))),
            plain(says),
        ];
        if reading.means_something() && !reading.exact {
            spans.push(quiet(" (only its group or class is known)"));
        }
        document.item(spans);
        if reading.means_something() {
            document.push(Block::Command(format!(
                "    whytrip decode {} {}{}",
                reading.kind.word(),
                reading.shown(),
                option(reading.profile)
            )));
        }
    }
}

/// The option that names the profile, where it is not the usual one.
fn option(profile: Profile) -> &'static str {
    match profile {
        Profile::Cia402 => "",
        Profile::Profile3 => " --profile profidrive",
    }
}

/// A bit as printed.
#[derive(Serialize)]
struct BitJson {
    bit: u8,
    name: &'static str,
    set: bool,
    says: &'static str,
}

/// A reading as printed.
#[derive(Serialize)]
struct ReadingJson<'a> {
    profile: &'static str,
    kind: &'static str,
    word: String,
    state: Option<&'a str>,
    exact: bool,
    because: &'a str,
    bits: Vec<BitJson>,
    wants: Option<&'a str>,
    next_control_word: Option<&'a str>,
    blocked_by: &'a [String],
    classes: &'a [String],
    ask: Option<&'a str>,
    note: String,
    warnings: &'a [String],
    cautions: Vec<CautionJson<'a>>,
}

/// A word as printed: the likeliest reading, and below `readings` every one.
#[derive(Serialize)]
pub struct DecodedJson<'a> {
    typed: &'a str,
    /// Whether it is open which word it is.
    open: bool,
    #[serde(flatten)]
    first: Option<ReadingJson<'a>>,
    readings: Vec<ReadingJson<'a>>,
}

/// All words of a command line: the first one at the top, and below `words` every one.
#[derive(Serialize)]
pub struct AllJson<'a> {
    #[serde(flatten)]
    first: Option<DecodedJson<'a>>,
    words: Vec<DecodedJson<'a>>,
    /// What was not understood in a line of several.
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<&'a str>,
}

/// A decoded word for machines.
pub fn json<'a>(library: &'a Library, decoded: &'a Decoded) -> DecodedJson<'a> {
    let of = |reading| reading_json(library, reading, decoded.note.as_deref());
    DecodedJson {
        typed: &decoded.typed,
        open: decoded.meant().is_none(),
        first: decoded.meant().or(decoded.readings.first()).map(of),
        readings: decoded.readings.iter().map(of).collect(),
    }
}

/// Several decoded words for machines.
pub fn all_json<'a>(
    library: &'a Library,
    decoded: &'a [Decoded],
    error: Option<&'a str>,
) -> AllJson<'a> {
    AllJson {
        first: decoded.first().map(|word| json(library, word)),
        words: decoded.iter().map(|word| json(library, word)).collect(),
        error,
    }
}

fn reading_json<'a>(
    library: &'a Library,
    reading: &'a Reading,
    taken: Option<&str>,
) -> ReadingJson<'a> {
    let notes: Vec<&str> = taken
        .into_iter()
        .chain(reading.notes.iter().map(String::as_str))
        .collect();
    ReadingJson {
        profile: reading.profile.word(),
        kind: reading.kind.word(),
        word: format!("0x{:04X}", reading.word),
        state: reading.state.as_deref(),
        exact: reading.exact,
        because: &reading.because,
        bits: reading
            .bits
            .iter()
            .map(|bit| BitJson {
                bit: bit.number,
                name: bit.name,
                set: bit.set,
                says: bit.says,
            })
            .collect(),
        wants: reading.wants.as_deref(),
        next_control_word: reading.send.as_deref(),
        blocked_by: &reading.blocked_by,
        classes: &reading.classes,
        ask: reading.ask.as_deref(),
        note: notes.join(" "),
        warnings: &reading.warnings,
        cautions: cautions(library, &reading.cautions),
    }
}
