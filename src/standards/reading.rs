//! What a decoded word says.

use crate::knowledge::{Library, StateHelp};

/// A drive profile.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Profile {
    /// CiA 402, IEC 61800-7-201.
    #[default]
    Cia402,
    /// PROFIdrive, IEC 61800-7-203.
    Profile3,
}

impl Profile {
    /// The word for options and JSON.
    pub fn word(self) -> &'static str {
        match self {
            Profile::Cia402 => "cia402",
            Profile::Profile3 => "profidrive",
        }
    }

    /// The standard.
    pub fn standard(self) -> &'static str {
        match self {
            Profile::Cia402 => "CiA 402 / IEC 61800-7-201",
            Profile::Profile3 => "PROFIdrive / IEC 61800-7-203",
        }
    }
}

/// Which word it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordKind {
    /// Status word: object 6041h, or status word 1.
    Status,
    /// Control word: object 6040h, or control word 1.
    Control,
    /// Error code: object 603Fh, or the code of an emergency message.
    Error,
}

impl WordKind {
    /// The word typed before the number.
    pub fn word(self) -> &'static str {
        match self {
            WordKind::Status => "status",
            WordKind::Control => "control",
            WordKind::Error => "error",
        }
    }

    /// Its name in a profile.
    pub fn name(self, profile: Profile) -> &'static str {
        match (self, profile) {
            (WordKind::Status, Profile::Cia402) => "Status word (6041h)",
            (WordKind::Control, Profile::Cia402) => "Control word (6040h)",
            (WordKind::Status, Profile::Profile3) => "Status word 1",
            (WordKind::Control, Profile::Profile3) => "Control word 1",
            (WordKind::Error, _) => "Error code (603Fh)",
        }
    }
}

/// A bit of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bit {
    /// 0 to 15.
    pub number: u8,
    /// Its name.
    pub name: &'static str,
    /// Whether it is 1.
    pub set: bool,
    /// What it says as it stands; empty where the name says it all.
    pub says: &'static str,
}

/// A decoded word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The profile it was read by.
    pub profile: Profile,
    /// Which word it is.
    pub kind: WordKind,
    /// The word.
    pub word: u16,
    /// The state, the command or the meaning; none if the profile defines none.
    pub state: Option<String>,
    /// Whether the profile knows just this word: false where only its group or class is known.
    pub exact: bool,
    /// How the state follows from the word, or where the code was found.
    pub because: String,
    /// Its bits, from 0; none for an error code.
    pub bits: Vec<Bit>,
    /// What the drive waits for.
    pub wants: Option<String>,
    /// The next control word.
    pub send: Option<String>,
    /// What usually holds it there.
    pub blocked_by: Vec<String>,
    /// The classes to walk, the likelier one first.
    pub classes: Vec<String>,
    /// What to ask where the word alone can't tell which class.
    pub ask: Option<String>,
    /// What else is worth knowing.
    pub notes: Vec<String>,
    /// What to be careful with before believing it.
    pub warnings: Vec<String>,
    /// Ids of cautions that stand before the next control word.
    pub cautions: Vec<String>,
}

impl Reading {
    /// A reading that says nothing yet.
    pub(super) fn new(profile: Profile, kind: WordKind, word: u16) -> Reading {
        Reading {
            profile,
            kind,
            word,
            state: None,
            exact: false,
            because: String::new(),
            bits: Vec::new(),
            wants: None,
            send: None,
            blocked_by: Vec::new(),
            classes: Vec::new(),
            ask: None,
            notes: Vec::new(),
            warnings: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// The word as it is written: `0237h`.
    pub fn shown(&self) -> String {
        format!("{:04X}h", self.word)
    }

    /// Whether it means anything in the profile.
    pub fn means_something(&self) -> bool {
        self.state.is_some()
    }

    /// Adds what a drive in this state waits for.
    pub(super) fn help(&mut self, help: &StateHelp) {
        self.wants = Some(help.wants.clone());
        self.send.clone_from(&help.send);
        self.blocked_by.clone_from(&help.blocked_by);
        self.classes.clone_from(&help.classes);
        self.notes.extend(help.note.clone());
        self.cautions.clone_from(&help.cautions);
    }

    /// Adds the help of a state by its id.
    pub(super) fn help_of(&mut self, library: &Library, state: &str) {
        if let Some(help) = library.state(state) {
            self.help(help);
        }
    }

    /// Puts a class in front: what the word shows decides before what the state suggests.
    pub(super) fn first_class(&mut self, class: &str) {
        self.classes.retain(|other| other != class);
        self.classes.insert(0, class.to_owned());
    }
}

/// Whether a bit is 1.
pub(super) fn is_set(word: u16, bit: u8) -> bool {
    word >> bit & 1 == 1
}

/// Names and sayings of bits: name, what 1 says, what 0 says.
pub(super) type BitNames = [(&'static str, &'static str, &'static str); 16];

/// The bits of a word by their names.
pub(super) fn bits(word: u16, names: &BitNames) -> Vec<Bit> {
    names
        .iter()
        .zip(0u8..)
        .map(|((name, one, zero), number)| {
            let set = is_set(word, number);
            Bit {
                number,
                name,
                set,
                says: if set { one } else { zero },
            }
        })
        .collect()
}

/// A row of a mask table: the word AND the mask must be the value.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub mask: u16,
    pub value: u16,
    pub name: &'static str,
}

impl Row {
    /// The row of a table that a word fits.
    pub fn of(table: &[Row], word: u16) -> Option<Row> {
        table
            .iter()
            .copied()
            .find(|row| word & row.mask == row.value)
    }

    /// How it was found: `0237h AND 006Fh = 0027h`.
    pub fn because(self, word: u16) -> String {
        format!("{word:04X}h AND {:04X}h = {:04X}h", self.mask, self.value)
    }
}
